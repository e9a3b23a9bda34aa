"""A batch's rows as the growth engine takes them: weighings of the whole flock, feed eaten by a bird."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise

from flocks import weighings as measured
from flocks.batch_forecast import days
from flocks.headcount import alive_after, departures
from flocks.models import Batch, FeedRecord, Loss, Processing, Weighing
from flocks.own_strain import base_key
from flocks.parted import RestOfFlock, Taken
from flocks.sexes import EVEN, over_flock_mean, strain_of_sexes
from flocks.strains import Strain

LONGEST_FILLING_DAYS = 14
"""Longest time between two feed records that one filling is taken to last [day]. A choice."""
ONE_SEX = ("-male", "-female")
"""Ends of the keys of strains that name a sex."""


def names_a_sex(strain_key: str) -> bool:
    """Tell whether a strain is of males or of females only."""
    return base_key(strain_key).endswith(ONE_SEX)


def male_share(batch: Batch) -> float | None:
    """Return the share of males, where it was told and the strain does not name a sex [1]."""
    if batch.males is None or names_a_sex(batch.strain):
        return None
    return min(1.0, batch.males / batch.chicks)


def of_its_sexes(batch: Batch, strain: Strain) -> Strain:
    """Return a batch's strain, moved to its own share of males where that is known."""
    share = male_share(batch)
    return strain if share is None else strain_of_sexes(strain, share)


def rest_of_flock(batch: Batch, on: date, bird_cv: float) -> RestOfFlock:
    """Return what the birds left on a day are beside the whole flock, by whose heaviest were taken."""
    parted = [row for row in batch.processing_set.all() if row.heaviest and row.on <= on]
    gone = departures(batch)
    # Two lines of one day, of two pens, are one parting.
    taken = {
        day: sum(row.count for row in parted if row.on == day) for day in {r.on for r in parted}
    }
    return RestOfFlock.after(
        (
            Taken(batch.age_days(day), alive_after(batch, day, gone) + birds, birds)
            for day, birds in taken.items()
        ),
        bird_cv,
    )


def engine_weighing(batch: Batch, row: Weighing, rest: RestOfFlock) -> measured.Weighing:
    """Turn a weighing into one of the whole flock: of both sexes, and as if no bird had been picked out."""
    age = batch.age_days(row.on)
    share = rest.share_at(age)
    if row.sex and not names_a_sex(batch.strain):
        males = male_share(batch)
        share *= over_flock_mean(row.sex, EVEN if males is None else males, age)
    if row.weights_g:
        weighed = measured.Weighing.of_birds(age, row.weights_g)
    else:
        weighed = measured.Weighing(age, row.mean_g, row.count)
    return weighed if share == 1.0 else replace(weighed, mean_g=weighed.mean_g / share)


def engine_feed_records(
    batch: Batch, given: Iterable[FeedRecord], gone: Sequence[Loss | Processing]
) -> list[measured.FeedRecord]:
    """Turn feed given into feed eaten by a bird.

    A filling is taken to be eaten from its own day up to the day of the next filling, in whichever
    pen, by the birds alive on those days. The last filling is left out: how much of it is eaten
    nobody knows yet. A filling followed by more than `LONGEST_FILLING_DAYS` without a record is
    left out too: it is likelier that nobody logged than that nobody fed.
    """
    given_kg: dict[date, float] = {}
    for row in sorted(given, key=lambda row: row.on):
        given_kg[row.on] = given_kg.get(row.on, 0.0) + row.mass_kg
    fillings = list(given_kg)
    records = []
    for day, next_day in pairwise(fillings):
        bird_days = sum(alive_after(batch, eaten_on, gone) for eaten_on in days(day, next_day))
        span = (next_day - day).days
        if bird_days and span <= LONGEST_FILLING_DAYS:
            ages = batch.age_days(day), batch.age_days(next_day)
            records.append(measured.FeedRecord(*ages, 1000 * given_kg[day] * span / bird_days))
    return records
