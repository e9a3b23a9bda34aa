"""A flock whose heaviest birds were taken: what the rest weighs beside the whole flock.

PURE. Forecasts are made for the whole flock, as if nobody had gone: whoever is weighed later is turned into
what the whole flock would weigh, and what is told of later days is turned back.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from flocks.batch_forecast import BatchForecast
from flocks.growth import Band
from flocks.paths import FlockPaths
from flocks.ready import take_heaviest

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Taken:
    """The heaviest birds of a flock, gone on a day."""

    age_days: int
    birds: int
    """Birds there were that morning."""
    taken: int


@dataclass(frozen=True)
class RestOfFlock:
    """Mean of the birds left over that of the whole flock, from each age on at which the heaviest went."""

    steps: tuple[tuple[int, float], ...] = ()
    """Rising ages, each with the share from the next day on [1]."""

    @classmethod
    def after(cls, partings: Iterable[Taken], bird_cv: float) -> RestOfFlock:
        """Return the shares after some partings, in any order; those that left no bird say nothing."""
        steps, share, spread = [], 1.0, bird_cv
        for each in sorted(partings, key=lambda taken: taken.age_days):
            part = take_heaviest(each.birds, min(each.taken, each.birds), spread)
            if part.left_mean is None or part.left_cv is None:
                break
            share, spread = share * part.left_mean, part.left_cv
            steps.append((each.age_days, share))
        return cls(tuple(steps))

    def share_at(self, age_days: float) -> float:
        """Return the share at an age; on the day of parting itself all are still there [1]."""
        return next((share for age, share in reversed(self.steps) if age_days > age), 1.0)

    def shares(self, count: int) -> Array:
        """Return the shares at the ages 0, 1, 2, … [1]."""
        return np.array([self.share_at(age) for age in range(count)])

    def of(self, whole: Band) -> Band:
        """Return a band about the rest, from one of the whole flock by whole days from hatch."""
        shares = self.shares(len(whole.median))
        return Band(whole.low * shares, whole.median * shares, whole.high * shares)

    @property
    def share(self) -> float:
        """Return the share that stands in the end [1]."""
        return self.steps[-1][1] if self.steps else 1.0


def forecast_of_rest(whole: BatchForecast, rest: RestOfFlock) -> BatchForecast:
    """Return a forecast of the whole flock as one of the birds that are left on each day.

    Lighter birds are taken to eat and to drop as much less as they weigh less.
    """
    if not rest.steps:
        return whole
    shares = rest.shares(len(whole.feed_g.median))
    return replace(
        whole,
        flock_g=rest.of(whole.flock_g),
        bird_g=rest.of(whole.bird_g),
        eaten_g=Band(*(_running(eaten_g, rest) for eaten_g in _parts(whole.eaten_g))),
        feed_g=rest.of(whole.feed_g),
        nitrogen_g=rest.of(whole.nitrogen_g),
        nitrogen_quantiles_g={
            quantile: shares * grams for quantile, grams in whole.nitrogen_quantiles_g.items()
        },
        nitrogen_seasons_g=(shares[:, None] * whole.nitrogen_seasons_g).astype(np.float32),
    )


def paths_of_rest(whole: FlockPaths, rest: RestOfFlock) -> FlockPaths:
    """Return the paths of the birds left, who were as much lighter all along."""
    return replace(
        whole,
        weight_g=whole.weight_g * rest.share,
        feed_g=whole.feed_g * rest.share,
    )


def _parts(band: Band) -> tuple[Array, Array, Array]:
    return band.low, band.median, band.high


def _running(eaten_g: Array, rest: RestOfFlock) -> Array:
    daily = np.diff(eaten_g) * rest.shares(len(eaten_g) - 1)
    return np.concatenate([eaten_g[:1], eaten_g[0] + np.cumsum(daily)])
