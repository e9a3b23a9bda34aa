"""How many birds to weigh, and when to weigh next.

PURE.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from flocks.growth import LAST_DAY
from flocks.passage import first_passage_days
from flocks.paths import FlockPaths
from flocks.weighings import HANDLING_CV, Weighing

Array = NDArray[np.float64]

PRECISION = 0.05
"""How near the weighed mean should be to the flock's [1]."""
LEVEL = 0.8
"""How often it should be that near, told as “8 times in 10” [1]."""
WORTH_SHARE = 0.8
"""The next weighing is the first that narrows the answer by this share of what the best one does [1]. A choice:
an answer early is worth more than a slightly better one late."""
LEAST_NARROWING = 0.1
"""A weighing that narrows the answer by less is not worth catching birds for [1]. A choice."""


def birds_enough(bird_cv: float, birds: int, precision: float = PRECISION) -> int | None:
    """Return how many birds to weigh so that their mean is near enough to the flock's.

    Parameters
    ----------
    bird_cv : float
        Coefficient of variation between the birds, above 0 [1].
    birds : int
        Birds in the flock, at least 1: who weighs all of them knows their mean.
    precision : float
        Half the width of the interval that should hold the mean `LEVEL` of the time [1].

    Returns
    -------
    int or None
        At least 1 and at most `birds`; None where not even all birds are enough, because of what
        all weighings share (`flocks.weighings.HANDLING_CV`).

    Notes
    -----
    Sampling without putting back: ``variance = cv² / n * (N - n) / (N - 1) + handling²``.
    """
    wanted = (precision / float(ndtri((1 + LEVEL) / 2))) ** 2 - HANDLING_CV**2
    if wanted <= 0.0:
        return None
    loose = bird_cv**2 / wanted
    # Solved for n; for one bird there is nothing to sample.
    number = loose * birds / (loose + birds - 1) if birds > 1 else 1.0
    return min(birds, max(1, math.ceil(number - 1e-9)))


def error_share(bird_cv: float, birds: int, count: int) -> float:
    """Return how far the mean of some of the birds may be from that of all, `LEVEL` of the time [1].

    By the formula of `birds_enough`, so that the two agree. Who weighed some of them twice weighed them all.
    """
    left_out = max(0, birds - count) / max(1, birds - 1)
    return float(ndtri((1 + LEVEL) / 2)) * math.hypot(
        bird_cv * math.sqrt(left_out / count), HANDLING_CV
    )


@dataclass(frozen=True)
class Narrowing:
    """What weighing some birds at an age would do to the ready day."""

    age_days: int
    width_before: float
    """Days between the ends of the interval of the ready day now [day]."""
    width_after: float
    """The same once the birds were weighed, on average [day]."""

    @property
    def whole_days_after(self) -> int:
        """Return the width afterwards as it is told [day]."""
        return round(self.width_after)

    @property
    def share(self) -> float:
        """Return the part of the interval that the weighing takes away [1]."""
        return 1.0 - self.width_after / self.width_before if self.width_before > 0.0 else 0.0


def narrowings(
    paths: FlockPaths, mean_wanted_g: float, ages: Iterable[int], count: int
) -> tuple[Narrowing, ...]:
    """Return what a weighing at each of some ages would do to the ready day.

    Parameters
    ----------
    paths : FlockPaths
        Equally likely flocks, at every whole day.
    mean_wanted_g : float
        Average at which the flock is ready [g].
    ages : iterable of int
        Ages at which one could weigh, 1 to `LAST_DAY` [day].
    count : int
        Birds that would be weighed, at least 1.

    Notes
    -----
    Over the paths the ready day goes with the logarithm of the weight at the age weighed; a correlation r
    and a weighing that explains the share s of that weight's variance leave ``sqrt(1 - s r²)`` of the
    interval. Ranks are correlated, so that a few strange flocks do not decide.
    """
    ready = np.minimum(first_passage_days(paths.age_days, paths.weight_g, mean_wanted_g), LAST_DAY)
    tail = (1.0 - LEVEL) / 2.0
    width = float(np.diff(np.quantile(ready, [tail, 1.0 - tail]))[0])
    found = []
    for age in ages:
        log_g = np.log(paths.weight_g[np.searchsorted(paths.age_days, age)])
        explained = _rank_correlation(log_g, ready) ** 2 * _told(log_g, paths, count)
        found.append(Narrowing(age, width, width * math.sqrt(max(0.0, 1.0 - explained))))
    return tuple(found)


def _told(log_g: Array, paths: FlockPaths, count: int) -> float:
    """Return the share of the weight's variance that a weighing explains [1]."""
    low, high = np.quantile(log_g, [0.1, 0.9])
    variance = ((high - low) / 2 / float(ndtri(0.9))) ** 2
    error = Weighing(0.0, float(np.exp(np.median(log_g))), count).log_variance(
        paths.posterior.bird_cv
    )
    return variance / (variance + error)


def _rank_correlation(a: Array, b: Array) -> float:
    ranks = [np.argsort(np.argsort(each, kind="stable"), kind="stable") for each in (a, b)]
    return float(np.corrcoef(*ranks)[0, 1]) if np.ptp(a) and np.ptp(b) else 0.0


def next_weighing(told: Iterable[Narrowing]) -> Narrowing | None:
    """Return the earliest weighing that does nearly what the best does; None where none is worth it."""
    told = sorted(told, key=lambda each: each.age_days)
    best = max((each.share for each in told), default=0.0)
    if best < LEAST_NARROWING:
        return None
    return next(each for each in told if each.share >= WORTH_SHARE * best)
