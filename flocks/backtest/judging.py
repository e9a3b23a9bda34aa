"""Forecasts of flocks whose end is known, scored.

PURE. No flock's later weights enter its own forecast. The strains rest on published tables that hold none
of these flocks; `learnt_from_others` gives a strain that the flocks of all other trials taught.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from flocks.backtest.baselines import BASELINES
from flocks.backtest.trials import Flock
from flocks.growth import Forecast, forecast
from flocks.own_strain import PastBatch, own_strain
from flocks.strains import Strain, built_in_strains
from flocks.weighings import FeedRecord, Weighing

LEVELS = (0.5, 0.8, 0.9)
GREATEST_HORIZON_DAYS = 30
"""Longest forecast that is judged [day]: a processing slot is booked three weeks ahead."""
LEAST_LAST_AGE = 5
"""A flock is judged once it was weighed at this age or later [day]."""
SINGLES_WEIGHED_UP_TO = 24
"""Age up to which single birds count as weighed, later ones as the truth [day]."""


@dataclass(frozen=True)
class Case:
    """One forecast beside what came."""

    flock: Flock
    last_age: int
    """Age at the latest weighing [day]."""
    age: int
    """Age forecast [day]."""
    truth_g: float
    median_g: float
    below: float
    """Share of the equally likely flocks below the truth [1]: evenly spread where intervals are right."""
    date_off_days: float
    """Day on which the flock should have had that weight, less the day on which it had [day]."""
    guesses_g: Mapping[str, float]
    """What each of `BASELINES` says [g]."""

    @property
    def error(self) -> float:
        """Return how far the median is off [1]."""
        return abs(self.median_g / self.truth_g - 1.0)

    def held(self, level: float) -> bool:
        """Tell whether the interval of a level holds the truth."""
        return abs(self.below - 0.5) <= level / 2.0


def cases(
    flocks: Iterable[Flock],
    strain: Strain | None = None,
    *,
    count: int | None = None,
    first_age: int = LEAST_LAST_AGE,
) -> Iterator[Case]:
    """Forecast each flock from each of its weighings to each later one.

    Parameters
    ----------
    flocks : iterable of Flock
        What to forecast.
    strain : Strain, optional
        Expected of all; each flock's own key unless given.
    count : int, optional
        Birds on the scale at each weighing after hatch; all the flock's unless given.
    first_age : int, optional
        Least age of the latest weighing [day].
    """
    for flock in flocks:
        ages = [age for age, _ in flock.weights_g]
        for last, last_age in enumerate(ages):
            if last_age < first_age:
                continue
            seen = flock.weights_g[: last + 1]
            for age, truth_g in flock.weights_g[last + 1 :]:
                if age - last_age <= GREATEST_HORIZON_DAYS:
                    yield _case(flock, strain, seen, age, truth_g, count or flock.birds)


def _case(
    flock: Flock,
    strain: Strain | None,
    seen: Sequence[tuple[int, float]],
    age: int,
    truth_g: float,
    count: int,
) -> Case:
    told = forecast(
        strain or built_in_strains()[flock.strain],
        weighings=[Weighing(a, g, flock.birds if a == 0 else count) for a, g in seen],
        ages=[age],
        target_g=truth_g,
    )
    reached = told.target_age_days.median
    weights_g = told.paths.weight_g[np.searchsorted(told.paths.age_days, age)]
    return Case(
        flock=flock,
        last_age=seen[-1][0],
        age=age,
        truth_g=truth_g,
        median_g=float(told.flock_mean_g.median[0]),
        below=float((weights_g < truth_g).mean()),
        date_off_days=(150.0 if reached is None else reached) - age,
        guesses_g={name: guess(seen, age) for name, guess in BASELINES.items()},
    )


def single_birds(flocks: Iterable[Flock]) -> Iterator[Case]:
    """Forecast single birds from a hatch weight and the few birds weighed one by one at three weeks."""
    for flock in flocks:
        early = [(age, g) for age, g in flock.singles_g if age <= SINGLES_WEIGHED_UP_TO]
        late = [(age, g) for age, g in flock.singles_g if age > SINGLES_WEIGHED_UP_TO]
        if not early or not late:
            continue
        days = sorted({age for age, _ in early})
        sampled = [Weighing.of_birds(day, [g for age, g in early if age == day]) for day in days]
        weighings = [Weighing(0, flock.weights_g[0][1], flock.birds), *sampled]
        ages = sorted({age for age, _ in late})
        told = forecast(built_in_strains()[flock.strain], weighings=weighings, ages=ages)
        yield from (_bird(flock, told, days[-1], age, g) for age, g in late)


def _bird(flock: Flock, told: Forecast, last_age: int, age: int, truth_g: float) -> Case:
    at = np.searchsorted(told.paths.age_days, age)
    birds_g = told.paths.weight_g[at] * told.paths.bird_factor
    below = float((birds_g < truth_g).mean())
    return Case(flock, last_age, age, truth_g, float(np.median(birds_g)), below, 0.0, {})


@dataclass(frozen=True)
class FeedCase:
    """Feed eaten by a bird to an age, as forecast and as it was [g]."""

    flock: Flock
    age: int
    truth_g: float
    median_g: float
    below: float

    @property
    def error(self) -> float:
        """Return how far the median is off [1]."""
        return abs(self.median_g / self.truth_g - 1.0)

    def held(self, level: float) -> bool:
        """Tell whether the interval of a level holds the truth."""
        return abs(self.below - 0.5) <= level / 2.0


def feed_cases(flocks: Iterable[Flock], *, unrecorded: int | None = None) -> Iterator[FeedCase]:
    """Forecast the feed eaten up to a flock's last weighing.

    From the weighings alone, or with the feed records of all but so many last stretches between weighings.
    """
    for flock in flocks:
        if len(flock.feed_g) <= (unrecorded or 0):
            continue
        age, truth_g = flock.feed_g[-1]
        records = [] if unrecorded is None else _records(flock)[: len(flock.feed_g) - unrecorded]
        told = forecast(
            built_in_strains()[flock.strain],
            weighings=[Weighing(a, g, flock.birds) for a, g in flock.weights_g if a <= age],
            feed_records=records,
            ages=[age],
        )
        eaten_g = told.paths.feed_g[np.searchsorted(told.paths.age_days, age)]
        median_g = float(told.feed_per_bird_g.median[0])
        yield FeedCase(flock, age, truth_g, median_g, float((eaten_g < truth_g).mean()))


def _records(flock: Flock) -> list[FeedRecord]:
    from_day, before_g, records = 0, 0.0, []
    for age, eaten_g in flock.feed_g:
        records.append(FeedRecord(from_day, age, eaten_g - before_g))
        from_day, before_g = age, eaten_g
    return records


def learnt_from_others(flocks: Sequence[Flock], trial: str, table: str) -> Strain:
    """Return the strain of a table as the flocks of all trials but one teach it.

    The flocks of one trial and strain count as one batch: they share its house and its feed.
    """
    others: dict[tuple[str, str], list[Flock]] = {}
    for flock in flocks:
        if flock.trial != trial and flock.strain.split("-")[0] == table.split("-")[0]:
            others.setdefault((flock.trial, flock.strain), []).append(flock)
    past = [
        PastBatch(tuple(Weighing(a, g, f.birds) for f in group for a, g in f.weights_g if a > 0))
        for group in others.values()
    ]
    learnt = own_strain(built_in_strains()[table], past)
    return built_in_strains()[table] if learnt is None else learnt.strain
