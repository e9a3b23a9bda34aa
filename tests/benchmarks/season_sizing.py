"""Print what sizing a season brings in made-up gardens, beside the rule of thumb, and how long it takes.

The rule of thumb fills the pens by floor, one batch after the other. It is told as it is, and shrunk until
it has no more off-bed days than the proposal. Each proposal is planned once more with ten times the work; the
difference is printed. Run from the repository: ``python -m tests.benchmarks.season_sizing``, or with numbers of
beds.
"""

import os
import sys
from datetime import date, timedelta
from time import perf_counter, thread_time

import django

TODAY = date(2027, 1, 15)
GARDENS = ((6, 1), (12, 2), (24, 2), (60, 3), (200, 4))
"""Beds and pens."""


def main() -> None:
    """Size every garden and print a line for each."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "garden.settings")
    django.setup()
    from rotation.engine.search import ready

    ready()
    heads = (
        "beds", "pens", "seconds", "of work", "planned", "kg", "off", "batches", "rule: kg, off",
        "rule shrunk: kg", "planned again", "frontier", "limits told",
    )  # fmt: skip
    print(f"| {' | '.join(heads)} |")
    print("|" + " --: |" * len(heads))
    wanted = [int(text) for text in sys.argv[1:]] or [beds for beds, _ in GARDENS]
    for beds, pens in (pair for pair in GARDENS if pair[0] in wanted):
        print(_line(beds, pens), flush=True)


def _line(beds: int, pens: int) -> str:
    from rotation import season_sizing
    from rotation.sizing import offer_of
    from rotation.sizing_choices import by_floor_alone
    from rotation.sizing_runs import seconds_for
    from rotation.sizing_search import Asked, size_season

    ground = _ground(beds, pens)
    began, worked = perf_counter(), thread_time()
    asked = Asked(ground.bird, ground.setting, ground.looser(), seconds_for(beds))
    sized = size_season(asked)
    seconds, work = perf_counter() - began, thread_time() - worked
    rule = by_floor_alone(ground.bird, ground.limits)
    judge = ground.setting.judge
    whole = offer_of(rule, ground.bird, judge(rule))
    shrunk = _shrunk(rule, ground.bird, judge, sized.best.off_bed_days)
    season_sizing.JUDGE_ROUNDS *= 10
    again = judge(sized.best.batches).off_bed_days - sized.best.off_bed_days
    season_sizing.JUDGE_ROUNDS //= 10
    return (
        f"| {beds} | {pens} | {seconds:.1f} | {work:.1f} | {sized.judged} | {sized.best.meat_kg:.1f} "
        f"| {sized.best.off_bed_days} | {len(sized.best.batches)} | {whole.meat_kg:.1f}, {whole.off_bed_days} "
        f"| {shrunk:.1f} | {again:+d} d | {len(sized.frontier)} "
        f"| {len(sized.loosened)} of {len(sized.loosened) + len(sized.untried)} |"
    )


def _shrunk(rule: list, bird: object, judge: object, allowed: int) -> float:
    """Return the meat of the rule's first batches, all alike, as large as leave no more off-bed days."""
    from dataclasses import replace

    from rotation.sizing import LEAST_CHICKS

    for count in range(len(rule), 0, -1):
        low, high = 0, rule[0].chicks
        while low < high:
            middle = (low + high + 1) // 2
            if (
                judge([replace(batch, chicks=middle) for batch in rule[:count]]).off_bed_days
                <= allowed
            ):
                low = middle
            else:
                high = middle - 1
        if low >= LEAST_CHICKS:
            return count * low * bird.meat_kg
    return 0.0


def _bed_facts(garden: object, pk: int) -> object:
    """Return a bed; two of three have a crop, each at another time of the year."""
    from garden.harvest_interval import PlantingDates
    from garden.models import Bed
    from rotation.ground import BedFacts

    x_m, y_m = 2.0 * (pk % 20), 3.0 * (pk // 20)
    bed = Bed(pk=pk, garden=garden, length_mm=2400, width_mm=1200, x_m=x_m, y_m=y_m)
    sown_on = TODAY + timedelta(days=100 + (pk * 37) % 160)
    ripe_on, over_on = sown_on + timedelta(days=60), sown_on + timedelta(days=90)
    crop = PlantingDates("crop", sown_on, ripe_on, over_on, "touches", 120.0)
    return BedFacts(bed, (crop,) if pk % 3 else ())


def _ground(beds: int, pens: int) -> object:
    """Return a garden that is in no database: beds with a crop each, at other times of the year."""
    from garden.models import Garden
    from pens.models import Pen
    from rotation.facts import GardenFacts
    from rotation.season_limits import Wish
    from rotation.season_sizing import SizingGround

    garden = Garden(plan_for=Garden.PlanFor.MEDIAN)
    known = {pk: _bed_facts(garden, pk) for pk in range(1, beds + 1)}
    own = [
        Pen(pk=pk, garden=garden, name=f"Pen {pk}", length_mm=1170, width_mm=1170, floor_m2=1.3)
        for pk in range(1, pens + 1)
    ]

    class Ground(SizingGround):
        """A garden of values instead of rows."""

        def __init__(self) -> None:
            self.garden, self.on = garden, TODAY
            self.wish = Wish(
                strain="fast",
                target_g=2300.0,
                brooder_days=24,
                pens=tuple(pen.pk for pen in own),
                outdoors_from="04-20",
                outdoors_until="10-30",
            )
            self.facts = GardenFacts(garden, TODAY, known, (), (), ())
            self.told, self.told_off_days, self.under_way = [], 0, {}
            self.pens = {pen.pk: pen for pen in own}

    return Ground()


if __name__ == "__main__":
    main()
