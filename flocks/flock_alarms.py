"""Losses of a batch, and plain warnings: sudden deaths, and birds lighter than they should be.

A warning points to somebody who can look at the birds; it never names an illness.
"""

from collections.abc import Iterator
from datetime import date, timedelta

from flocks.forecasting import forecast_of, strain_of
from flocks.headcount import alive_after, birds_alive, departures
from flocks.models import Batch, Loss
from flocks.survival import Day, Survivors, is_sudden, survivors
from flocks.weighing_advice import error_share
from garden.day_words import day_words
from garden.units import BIRD_MASS
from garden.words import gettext as _

FRESH_DAYS = 3
"""Days for which a sudden loss is told [day]. A choice."""
WEIGHED_DAYS = 7
"""Days for which a weighing below the band is told [day]. A choice."""
NO_ILLNESS = {Loss.Cause.PREDATOR, Loss.Cause.CULLED}
"""Losses whose cause somebody has seen: they call for a fence, not for a vet."""


def survivors_of(batch: Batch, on: date) -> Survivors:
    """Return how many birds should be left on the processing day, by the batch's own losses so far."""
    first_day = max(on, batch.hatch_on)
    return survivors(
        birds_alive(batch, on),
        batch.age_days(first_day),
        max(batch.age_days(batch.processing_on), batch.age_days(first_day)),
        past=_past_days(batch, first_day),
    )


def _past_days(batch: Batch, end_day: date) -> list[Day]:
    """Return the days behind with what each took, those without a loss too."""
    gone = departures(batch)
    lost: dict[date, int] = {}
    for row in batch.loss_set.all():
        lost[row.on] = lost.get(row.on, 0) + row.count
    days = [batch.hatch_on + timedelta(days=age) for age in range(batch.age_days(end_day))]
    # Whoever is processed on a day was alive at its start, as was whoever died.
    return [
        Day(age, alive_after(batch, day - timedelta(days=1), gone), lost.get(day, 0))
        for age, day in enumerate(days)
    ]


def flock_alarms(batch: Batch, on: date) -> list[str]:
    """Return what somebody should look at now, as plain sentences."""
    return [*_sudden_losses(batch, on), *_too_light(batch, on)]


def _sudden_losses(batch: Batch, on: date) -> Iterator[str]:
    gone = departures(batch)
    unexplained: dict[date, int] = {}
    for row in batch.loss_set.all():
        if row.cause not in NO_ILLNESS:
            unexplained[row.on] = unexplained.get(row.on, 0) + row.count
    for day, lost in sorted(unexplained.items()):
        alive = alive_after(batch, day - timedelta(days=1), gone)
        if 0 <= (on - day).days <= FRESH_DAYS and is_sudden(lost, alive, batch.age_days(day)):
            yield (
                _(
                    "{lost} of {alive} birds died on {day}, more than chance explains. Look at the "
                    "others and at water, feed, heat and air now, and call a vet or your extension service "
                    "today. Keep the dead birds cool and apart, wear gloves, and move no birds."
                ).format(lost=lost, alive=alive, day=day_words(day))
            )


def _too_light(batch: Batch, on: date) -> Iterator[str]:
    # Females alone are lighter, and nothing ails them.
    mixed = [row for row in batch.weighing_set.all() if not row.sex]
    rows = sorted(mixed, key=lambda row: (row.on, row.pk or 0))
    if not rows or not 0 <= (on - rows[-1].on).days <= WEIGHED_DAYS:
        return
    day = rows[-1].on
    newest = [row for row in rows if row.on == day]
    birds = sum(row.count for row in newest)
    mean_g = sum(row.count * row.mean_g for row in newest) / birds
    earlier = [row for row in rows if row.on < day]
    expected = forecast_of(batch, day, weighings=earlier).weight_g(day)
    error = error_share(strain_of(batch.strain).bird_cv, batch.chicks, birds)
    if mean_g * (1 + error) < expected.low:
        system = batch.garden.unit_system
        yield (
            _(
                "The birds weighed on {day} average {weight}; at least {least} was to be expected. "
                "Weigh again, look at feed, water and room, and ask a vet or your extension service if they "
                "eat less or look dull."
            ).format(
                day=day_words(day),
                weight=BIRD_MASS.show(mean_g, system),
                least=BIRD_MASS.show(expected.low, system),
            )
        )
