"""When a flock is ready, what each day more costs in feed, and what taking the heaviest leaves.

PURE. Everything works on the equally likely flocks of a forecast (`flocks.growth.Forecast.paths`)::

    ready_age(paths, Target(2700), level=0.8) -> TargetAge            # the flock's mean
    ready_age(paths, Target(2500, share_of_birds=0.8)) -> TargetAge   # 8 birds in 10 over 2.5 kg
    ready_age(paths, Target(1900, carcass=True)) -> TargetAge         # a dressed weight
    chance_ready(paths, target) -> (ages,)                            # chance at each of paths.age_days
    daily_margins(paths, level=0.8) -> DailyMargins                   # gain, feed, feed per gained gram
    waiting(paths, from_day, to_day, level=0.8) -> Waiting            # gain and feed between two ages
    take_heaviest(birds, taken, bird_cv) -> Parting                   # the n heaviest and the rest
    carcass_g(live_g), live_for_carcass_g(carcass_g, yield_share=None)

Money is left to the caller: marginal cost of a day = `feed_per_gain` times the price of a kilogram of
feed, against the price of a kilogram of live weight.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from flocks.passage import TargetAge, target_age
from flocks.paths import FlockPaths
from flocks.strains import Spread

__all__ = [
    "Band",
    "DailyMargins",
    "Parting",
    "Target",
    "TargetAge",
    "Waiting",
    "carcass_g",
    "chance_ready",
    "daily_margins",
    "live_for_carcass_g",
    "mean_wanted_g",
    "ready_age",
    "take_heaviest",
    "waiting",
]

Array = NDArray[np.float64]

YIELD_AT_1600_G = 0.705
YIELD_PER_KG = 0.020
YIELD_RANGE = (0.66, 0.76)
"""Carcass over live weight is `YIELD_AT_1600_G` at 1.6 kg, `YIELD_PER_KG` more for each kilogram, within
`YIELD_RANGE` [1, 1/kg]. Derived: a line through eviscerated yields by weight that are from memory; within
about 4 points of the published 71.8 % at 1,346 g, 74.3 % at 1,483 g and about 75 % for dressed birds."""

LEAST_GAIN_G = 0.5
"""Gain of a bird in a day below which feed per gain says nothing [g]. A choice."""


@dataclass(frozen=True)
class Target:
    """What a flock is grown for."""

    mass_g: float
    """Mass wanted, above 0 [g]."""
    share_of_birds: float | None = None
    """Share of the birds that must have it, above 0 and below 1; None: the flock's mean [1]."""
    carcass: bool = False
    """Whether the mass is a dressed carcass's."""
    yield_share: float | None = None
    """Carcass over live weight where the garden knows its own, 0.4 to 0.9 [1]."""

    def __post_init__(self) -> None:
        """Refuse what cannot be wanted."""
        share, own = self.share_of_birds, self.yield_share
        if not self.mass_g > 0.0:
            raise ValueError("the mass wanted must be above 0 g")
        if share is not None and not 0.0 < share < 1.0:
            raise ValueError("the share of birds must be above 0 and below 1")
        if own is not None and not 0.4 <= own <= 0.9:
            raise ValueError("a carcass is between 40 and 90 % of the live weight")

    @property
    def live_g(self) -> float:
        """Return the live weight that is wanted of the mean, or of each of that share of birds [g]."""
        return live_for_carcass_g(self.mass_g, self.yield_share) if self.carcass else self.mass_g


@dataclass(frozen=True)
class Band:
    """Low, median and high figure at each age."""

    low: Array
    median: Array
    high: Array


@dataclass(frozen=True)
class DailyMargins:
    """What a bird gains and eats on each day; entry d is about the day that starts at age d."""

    age_days: Array
    gain_g: Band
    feed_g: Band
    feed_per_gain: Band
    """Feed eaten for each gram gained on that day [g/g]: it rises with age."""

    def last_paying_day(self, feed_price: float, live_price: float) -> int | None:
        """Return the last age at which a day's gain is worth its feed; None where no day is.

        Parameters
        ----------
        feed_price, live_price : float
            Of a kilogram of feed, and of a kilogram of live weight, in the same money.
        """
        pays = self.feed_per_gain.median * feed_price <= live_price
        return int(self.age_days[pays][-1]) if pays.any() else None


@dataclass(frozen=True)
class Waiting:
    """What a bird gains and eats between two ages, each as low, median and high [g]."""

    gain_g: tuple[float, float, float]
    feed_g: tuple[float, float, float]


@dataclass(frozen=True)
class Parting:
    """A flock parted into the heaviest birds and the rest; masses are shares of the whole flock's mean."""

    taken: int
    left: int
    taken_mean: float | None
    """Mean of the birds taken over the mean of all [1]; None where none is taken."""
    left_mean: float | None
    """Mean of the birds left over the mean of all [1]; None where none is left."""
    left_cv: float | None
    """Coefficient of variation of the birds left [1]."""
    lightest_taken: float | None
    """Lightest bird taken over the mean of all [1]: whoever is above it goes."""


def ready_age(paths: FlockPaths, target: Target, level: float = 0.8) -> TargetAge:
    """Return the age at which a flock first meets a target, with its interval [day].

    Raises
    ------
    ValueError
        When the level is out of its range.
    """
    if not 0.0 < level < 1.0:
        raise ValueError("level must be above 0 and below 1")
    wanted_g = mean_wanted_g(target, paths.posterior.bird_cv)
    return target_age(paths.age_days, paths.weight_g, wanted_g, level)


def chance_ready(paths: FlockPaths, target: Target) -> Array:
    """Return the chance that a flock meets a target, at each of `FlockPaths.age_days` [1]."""
    wanted_g = mean_wanted_g(target, paths.posterior.bird_cv)
    return (paths.weight_g >= wanted_g).mean(axis=1)


def mean_wanted_g(target: Target, bird_cv: float) -> float:
    """Return the flock's mean at which a target is met [g].

    Notes
    -----
    Birds are log-normal about their flock's mean. A share p of them is over a mass m once the mean is
    ``m * exp(s * z(p) + s**2 / 2)``, with s the standard deviation of the logarithm and z the normal
    quantile: at a variation of 11 % eight birds in ten are over m when the mean is 10 % above it.
    """
    if target.share_of_birds is None:
        return target.live_g
    log_sd = Spread(1.0, bird_cv).log_sd
    return target.live_g * math.exp(log_sd * ndtri(target.share_of_birds) + log_sd**2 / 2)


def daily_margins(paths: FlockPaths, level: float = 0.8) -> DailyMargins:
    """Return gain, feed and feed per gained gram of each whole day as far as ages were asked."""
    ages = paths.age_days
    at = np.flatnonzero((ages == np.floor(ages)) & np.isin(ages + 1.0, ages))
    after = np.searchsorted(ages, ages[at] + 1.0)
    gain_g = paths.weight_g[after] - paths.weight_g[at]
    feed_g = paths.feed_g[after] - paths.feed_g[at]
    return DailyMargins(
        age_days=ages[at],
        gain_g=_band(gain_g, level),
        feed_g=_band(feed_g, level),
        feed_per_gain=_band(feed_g / np.maximum(gain_g, LEAST_GAIN_G), level),
    )


def waiting(paths: FlockPaths, from_day: float, to_day: float, level: float = 0.8) -> Waiting:
    """Return what a bird gains and eats from one age of the forecast to a later one [g].

    Raises
    ------
    ValueError
        When an age is not among `FlockPaths.age_days`, or the second is before the first.
    """
    start, end = np.searchsorted(paths.age_days, [from_day, to_day])
    known = end < len(paths.age_days) and [*paths.age_days[[start, end]]] == [from_day, to_day]
    if not known or to_day < from_day:
        raise ValueError("waiting needs two ages of the forecast, the later one second")
    tail = (1.0 - level) / 2.0
    quantiles = [
        tuple(np.quantile(by_path[end] - by_path[start], [tail, 0.5, 1.0 - tail]).tolist())
        for by_path in (paths.weight_g, paths.feed_g)
    ]
    return Waiting(*quantiles)


def take_heaviest(birds: int, taken: int, bird_cv: float) -> Parting:
    """Return what taking the n heaviest birds does to the mean and the spread of the rest.

    Parameters
    ----------
    birds : int
        Birds alive, at least 0.
    taken : int
        Birds taken, 0 to `birds`.
    bird_cv : float
        Coefficient of variation between the birds, at least 0 [1].

    Raises
    ------
    ValueError
        When more birds are taken than there are.

    Notes
    -----
    The birds stand at evenly spread quantiles of a log-normal distribution of mean 1, and the upper ones
    go: exact in the mean over such flocks to 1 % of the spread for ten birds or more. It takes the
    scale for the judge; birds picked by eye leave the rest a little heavier and less even. Times the
    forecast of the whole flock, `left_mean` is that of the rest, as far as birds keep their places.
    """
    if not 0 <= taken <= birds or bird_cv < 0.0:
        raise ValueError("at most as many birds can be taken as there are")
    if not birds:
        return Parting(0, 0, None, None, None, None)
    shares = np.exp(Spread(1.0, bird_cv).log_sd * ndtri((np.arange(birds) + 0.5) / birds))
    shares /= shares.mean()
    left, gone = shares[: birds - taken], shares[birds - taken :]
    return Parting(
        taken=taken,
        left=birds - taken,
        taken_mean=float(gone.mean()) if gone.size else None,
        left_mean=float(left.mean()) if left.size else None,
        left_cv=float(left.std() / left.mean()) if left.size else None,
        lightest_taken=float(gone[0]) if gone.size else None,
    )


def carcass_g(live_g: float) -> float:
    """Return the dressed weight of a live bird, see `YIELD_AT_1600_G` [g]."""
    return live_g * _yield_at(live_g)


def live_for_carcass_g(carcass_g: float, yield_share: float | None = None) -> float:
    """Return the live weight that gives a dressed weight [g].

    Parameters
    ----------
    carcass_g : float
        Dressed weight, at least 0 [g].
    yield_share : float, optional
        The garden's own carcass over live weight; by live weight as in `carcass_g` unless given [1].
    """
    if yield_share is not None:
        return carcass_g / yield_share
    live_g = carcass_g / YIELD_AT_1600_G
    for _ in range(20):
        # The yield hardly rises with weight, so this closes in by a factor of twenty a round.
        live_g = carcass_g / _yield_at(live_g)
    return live_g


def _yield_at(live_g: float) -> float:
    least, greatest = YIELD_RANGE
    return min(max(YIELD_AT_1600_G + YIELD_PER_KG * (live_g / 1000 - 1.6), least), greatest)


def _band(by_path: Array, level: float) -> Band:
    tail = (1.0 - level) / 2.0
    return Band(*np.quantile(by_path, [tail, 0.5, 1.0 - tail], axis=1))
