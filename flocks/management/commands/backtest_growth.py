"""``manage.py backtest_growth``: how far forecasts are off on flocks whose end is known."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser

from flocks.backtest.judging import cases, feed_cases, learnt_from_others, single_birds
from flocks.backtest.table import by_span, feed_row, markdown, row, to_one_day
from flocks.backtest.trials import Flock, broilers, chicks

WEIGHED_BIRDS = 10
"""Birds on the scale where a grower weighs a sample."""
SAMPLES = 4
"""Such samples tried of each flock."""
BOOKED_DAY = 35
"""Age that is forecast from each weighing before it [day]."""

FEED_ROWS = (
    ("feed eaten, from weighings alone", None),
    ("feed eaten, with feed records to the day", 0),
    ("feed eaten, feed records end a stretch before", 1),
)
"""Rows about feed, with the last stretches between weighings that were not recorded."""


class Command(BaseCommand):
    """Print the table that stands in DEVELOPERS.md."""

    help = "Hold the growth model against published flocks and print a Markdown table."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the folder of the data and the quick form."""
        data = Path(settings.BASE_DIR) / "tests" / "data"
        parser.add_argument("--data", type=Path, default=data, help="folder with the trials")
        parser.add_argument(
            "--quick", action="store_true", help="every fifteenth flock only, to see that it runs"
        )

    def handle(self, *_: Any, **options: Any) -> None:
        """Read, forecast, score and print."""
        try:
            flocks, birds = broilers(options["data"]), chicks(options["data"])
        except OSError as error:
            raise CommandError(f"cannot read {error.filename}: {error.strerror}") from None
        if options["quick"]:
            flocks, birds = flocks[::15], birds[::15]
        samples = 1 if options["quick"] else SAMPLES
        self.stdout.write(markdown(_rows(flocks, birds, samples)))


def _rows(flocks: tuple[Flock, ...], birds: tuple[Flock, ...], samples: int) -> list[list[str]]:
    meat = [flock for flock in flocks if flock.strain != "any"]
    ten = {"count": WEIGHED_BIRDS, "draws": samples}
    sampled, whole = list(cases(meat, **ten)), list(cases(meat))
    others = [
        case
        for trial in dict.fromkeys(flock.trial for flock in meat)
        for table in dict.fromkeys(flock.strain for flock in meat if flock.trial == trial)
        for case in cases(
            [flock for flock in meat if (flock.trial, flock.strain) == (trial, table)],
            learnt_from_others(meat, trial, table),
            **ten,
        )
    ]
    rows = to_one_day(list(cases(meat, to_age=BOOKED_DAY, first_age=14, **ten)), "ten birds")
    rows += to_one_day(list(cases(meat, to_age=BOOKED_DAY, first_age=14)), "every bird")
    rows += by_span(sampled)
    rows.append(row("all of them", sampled))
    rows.append(row("all, every bird weighed", whole))
    rows.append(row("all, strain learnt from the other trials", others))
    for share in (0.75, 1.25):
        off = [flock.scaled(share) for flock in meat if flock.trial.startswith("pens")]
        told = list(cases(off, first_age=21, **ten))
        rows.append(row(f"pens at {100 * share:.0f} % of their weight, day 21 to 35", told))
    for key in ("unknown", "any"):
        pens = [replace(flock, strain=key) for flock in meat if flock.trial.startswith("pens")]
        told = list(cases(pens, first_age=21, **ten))
        rows.append(row(f"fast pens taken for “{key}”, day 21 to 35", told))
    pens = [flock for flock in meat if flock.singles]
    rows.append(row("single birds, day 20-22 to 34-37", list(single_birds(pens))))
    rows += _unlike(flocks, birds)
    for name, unrecorded in FEED_ROWS:
        rows.append(feed_row(name, list(feed_cases(meat, unrecorded=unrecorded))))
    return rows


def _weighed_to_14(bird: Flock) -> Flock:
    kept = tuple((age, g) for age, g in bird.weights_g if age <= 14 or age == 21)
    return replace(bird, weights_g=kept)


def _unlike(flocks: tuple[Flock, ...], birds: tuple[Flock, ...]) -> list[list[str]]:
    """Return the rows about birds that no meat strain fits."""
    layers = list(cases([flock for flock in flocks if flock.strain == "any"]))
    rows = [row("layer pullets, any strain", layers)] if layers else []
    to_21 = list(cases([_weighed_to_14(bird) for bird in birds], first_age=14))
    return [*rows, row("single layer-type chicks, any strain, day 14 to 21", to_21)]
