"""Forecasts of flocks whose end is known, scored.

PURE. No flock's later weights enter its own forecast. The strains rest on published tables that hold none
of these flocks; `learnt_from_others` gives a strain that the flocks of all other trials taught.

A trial's table tells the mean of all its birds. Where a sample is to be judged, its mean is moved off that
by as much as so many birds usually are, drawn with a fixed seed.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from flocks.backtest.baselines import BASELINES
from flocks.backtest.trials import Flock, Singles
from flocks.growth import Forecast, forecast
from flocks.own_strain import PastBatch, own_strain
from flocks.strains import Spread, Strain, built_in_strains
from flocks.weighings import FeedRecord, Weighing

LEVELS = (0.5, 0.8, 0.9)
GREATEST_HORIZON_DAYS = 30
"""Longest forecast that is judged [day]: a processing slot is booked three weeks ahead."""
LONGEST_GAP_DAYS = 14
"""Longest time between two weighings between which a weight is read off [day]. A choice."""
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
    to_age: int | None = None,
    draws: int = 1,
) -> Iterator[Case]:
    """Forecast each flock from each of its weighings to each later one.

    Parameters
    ----------
    flocks : iterable of Flock
        What to forecast.
    strain : Strain, optional
        Expected of all; each flock's own key unless given.
    count : int, optional
        Birds on the scale at each weighing after hatch, a sample; all the flock's unless given.
    first_age : int, optional
        Least age of the latest weighing [day].
    to_age : int, optional
        The one age to forecast instead, which may lie between two weighings, see `weight_at` [day].
    draws : int, optional
        Samples tried of each flock; one is enough where all birds are weighed.
    """
    for flock in flocks:
        for draw in range(draws):
            seen = flock.weights_g if count is None else _sampled(flock, count, draw)
            for last, (last_age, _) in enumerate(seen):
                if last_age < first_age:
                    continue
                for age, truth_g in _truths(flock, last_age, to_age):
                    yield _case(flock, strain, seen[: last + 1], age, truth_g, count or flock.birds)


def _truths(flock: Flock, last_age: int, to_age: int | None) -> Iterator[tuple[int, float]]:
    if to_age is None:
        for age, truth_g in flock.weights_g:
            if 0 < age - last_age <= GREATEST_HORIZON_DAYS:
                yield age, truth_g
        return
    truth_g = weight_at(flock, to_age)
    if truth_g is not None and last_age < to_age:
        yield to_age, truth_g


def weight_at(flock: Flock, age: int) -> float | None:
    """Return what a flock weighed at an age, read off between two weighings where need be [g].

    What it weighed over its strain's table changes evenly between the two. None outside of them, and where
    they are more than `LONGEST_GAP_DAYS` apart.
    """
    usual = built_in_strains()[flock.strain].curve
    ages = np.array([day for day, _ in flock.weights_g if day > 0], dtype=float)
    weights_g = np.array([g for day, g in flock.weights_g if day > 0])
    after = int(np.searchsorted(ages, age))
    if after == len(ages) or (ages[after] != age and after == 0):
        return None
    if ages[after] != age and ages[after] - ages[after - 1] > LONGEST_GAP_DAYS:
        return None
    ratio = np.interp(age, ages, np.log(weights_g / usual.weight_g(ages)))
    return float(usual.weight_g(age) * math.exp(ratio))


def _sampled(flock: Flock, count: int, draw: int) -> tuple[tuple[int, float], ...]:
    """Return the weights as means of so many birds, other ones each time; hatched chicks as they are."""
    seed = zlib.crc32(f"{flock.trial} {flock.name} {draw}".encode())
    log_sd = Spread(1.0, built_in_strains()[flock.strain].bird_cv).log_sd / math.sqrt(count)
    off = np.random.default_rng(seed).normal(0.0, log_sd, len(flock.weights_g))
    return tuple(
        (age, g if age == 0 else g * math.exp(stray))
        for (age, g), stray in zip(flock.weights_g, off, strict=True)
    )


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
    """Forecast single birds from a hatch weight and the birds weighed one by one at three weeks.

    The birds weighed later stand at evenly spread quantiles of a log-normal of their mean and spread.
    """
    for flock in flocks:
        early = [day for day in flock.singles if day.age <= SINGLES_WEIGHED_UP_TO]
        late = [day for day in flock.singles if day.age > SINGLES_WEIGHED_UP_TO]
        if not early or not late:
            continue
        sampled = [Weighing(d.age, d.mean_g, d.birds, d.sd_g / d.mean_g) for d in early]
        weighings = [Weighing(0, flock.weights_g[0][1], flock.birds), *sampled]
        strain = built_in_strains()[flock.strain]
        told = forecast(strain, weighings=weighings, ages=[day.age for day in late])
        for day in late:
            for truth_g in _spread_out(day):
                yield _bird(flock, told, early[-1].age, day.age, float(truth_g))


def _spread_out(day: Singles) -> NDArray[np.float64]:
    spread = Spread(day.mean_g, day.sd_g / day.mean_g)
    at = ndtri((np.arange(day.birds) + 0.5) / day.birds)
    return day.mean_g * np.exp(spread.log_sd * at - spread.log_sd**2 / 2)


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
