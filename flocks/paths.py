"""Equally likely flocks: each a path of weight, feed and droppings from hatch on.

PURE. Arrays are (ages, paths), so that the quantiles at one age run over neighbouring memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from flocks.excretion import (
    CRUDE_PROTEIN_CV,
    NITROGEN_RETAINED_PER_GAIN,
    NITROGEN_RETAINED_SD,
    nitrogen_excreted_g,
    phosphorus_excreted_g,
)
from flocks.feed import DietPhase, FeedCurve, phase_on
from flocks.posterior import PATHS, FlockPosterior, flock_posterior
from flocks.sampling import normal_points
from flocks.strains import Spread, Strain
from flocks.weighings import FeedRecord, Weighing

Array = NDArray[np.float64]

FEED_RECORD_CV = 0.03
"""Error of a flock's whole feed record: spilling, bags not weighed [1]. Common practice, no
source."""
FEED_RECORD_SD_G = 10.0
"""Error of a feed record for each bird, whatever its length [g]. Common practice, no source."""

FEED_DRIFT_CV = 0.08
"""How far the feed of the days after the last record may be off what the records so far say [1]. A choice: in
the trials of tests/data the whole feed is 5.5 % off where its last six tenths were not recorded."""


@dataclass(frozen=True)
class FlockPaths:
    """What `posterior.PATHS` equally likely flocks weigh, eat and leave."""

    age_days: Array
    """Rising ages, every whole day among them as far as anything was asked [day]."""
    weight_g: Array
    """Mean live weight, never falling [g]."""
    feed_g: Array
    """Feed eaten by a bird since hatch [g]."""
    feed_factor: Array
    """Feed eaten to a weight over the strain's table, (paths,) [1]."""
    diet: tuple[DietPhase, ...]
    posterior: FlockPosterior

    @cached_property
    def bird_factor(self) -> Array:
        """One bird's weight over its flock's mean, log-normal with a mean of 1, (paths,) [1]."""
        log_sd = Spread(1.0, self.posterior.bird_cv).log_sd
        return np.exp(log_sd * _chances().bird - log_sd**2 / 2)

    @cached_property
    def nitrogen_g(self) -> Array:
        """Nitrogen excreted by a bird since hatch [g]. Worked out when asked, as phosphorus is."""
        crude_protein = np.array([[phase.crude_protein] for phase in self._phases])
        return _running_total(
            nitrogen_excreted_g(
                np.diff(self.feed_g, axis=0),
                np.diff(self.weight_g, axis=0),
                crude_protein * np.exp(CRUDE_PROTEIN_CV * _chances().protein),
                NITROGEN_RETAINED_PER_GAIN + NITROGEN_RETAINED_SD * _chances().keeps,
            )
        )

    @cached_property
    def phosphorus_g(self) -> Array:
        """Phosphorus excreted by a bird since hatch [g]."""
        phosphorus = np.array([[phase.phosphorus] for phase in self._phases])
        fed, gained = np.diff(self.feed_g, axis=0), np.diff(self.weight_g, axis=0)
        return _running_total(phosphorus_excreted_g(fed, gained, phosphorus))

    @property
    def _phases(self) -> list[DietPhase]:
        return [phase_on(self.diet, age) for age in self.age_days[:-1]]

    def weight_later_g(self, age_days: Array) -> Array:
        """Return the weight at rising ages beyond the last, never below what was reached by then [g]."""
        later_g = _weight_g(self.posterior, age_days)
        return np.maximum(later_g, self.weight_g[-1], out=later_g)


class _Chances(NamedTuple):
    """Standard normal figures of each path, (paths,), one for each thing that is uncertain of itself."""

    stray: Array
    eats: Array
    protein: Array
    keeps: Array
    bird: Array
    drift: Array


@cache
def _chances() -> _Chances:
    return _Chances(*np.ascontiguousarray(normal_points(PATHS, len(_Chances._fields)).T))


def flock_paths(
    strain: Strain,
    diet: Sequence[DietPhase],
    weighings: Sequence[Weighing],
    feed_records: Sequence[FeedRecord],
    age_days: Array,
) -> FlockPaths:
    """Return the paths of a flock at rising ages.

    The ages must hold every whole day from 0 on, and the days of the feed records.
    """
    posterior = flock_posterior(strain, weighings)
    weight_g = _weight_g(posterior, age_days)
    eaten_g = FeedCurve(strain.feed_at_weight, posterior.strain.hatch_g).cumulative_g(weight_g)
    feed_factor = _feed_factor(strain, feed_records, age_days, eaten_g)
    feed_g = eaten_g * feed_factor
    if feed_records:
        # What was recorded is known; appetite and spilling in the days after need not stay the same.
        last = np.searchsorted(age_days, max(record.to_day for record in feed_records))
        since_g = np.clip(feed_g - feed_g[last], 0.0, None)
        feed_g = feed_g + since_g * np.expm1(FEED_DRIFT_CV * _chances().drift)
    return FlockPaths(
        age_days=age_days,
        weight_g=weight_g,
        feed_g=feed_g,
        feed_factor=feed_factor,
        diet=tuple(diet),
        posterior=posterior,
    )


def path_quantiles(by_path: Array, shares: Sequence[float]) -> Array:
    """Return quantiles of (ages, paths) over the paths, (shares, ages), as `numpy.quantile` does.

    Sorted whole and with seven digits: four times as quick as its search for each share.
    """
    ordered = by_path.astype(np.float32)
    ordered.sort(axis=1)
    places = np.asarray(shares) * (by_path.shape[1] - 1)
    below = np.floor(places).astype(int)
    above = np.minimum(below + 1, by_path.shape[1] - 1)
    low, high = ordered[:, below].astype(float), ordered[:, above].astype(float)
    return (low + (high - low) * (places - below)).T


def _weight_g(posterior: FlockPosterior, age_days: Array) -> Array:
    """Return curve times disturbance, (ages, paths).

    One stray figure moves a path at all its ages: each age has the right spread, and a path stays
    smooth without drawing a disturbance for every day.
    """
    mean, sd = posterior.log_disturbance(age_days)
    # In place: arrays of this size are new pages of memory each time, which costs more than the sums.
    sd *= _chances().stray[:, None]
    sd += mean
    weight_g = np.exp(sd, out=sd)
    weight_g *= posterior.curves.weight_g(age_days)
    rising_g = np.ascontiguousarray(weight_g.T)
    # Row by row: numpy's own running maxima and sums along the first axis take ten times as long.
    for before, row in pairwise(rising_g):
        np.maximum(row, before, out=row)
    return rising_g


def _feed_factor(
    strain: Strain,
    feed_records: Sequence[FeedRecord],
    age_days: Array,
    eaten_g: Array,
) -> Array:
    """Return the feed factor of each path, from the strain's spread and all that was recorded.

    The records are taken together, recorded over expected: daily records of one flock share their
    errors, and forty of them must not look forty times as sure.
    """
    prior_variance = Spread(1.0, strain.feed_cv).log_sd ** 2
    expected_g = _eaten_between_g(feed_records, age_days, eaten_g)
    recorded_g = sum(record.feed_per_bird_g for record in feed_records)
    if recorded_g <= 0.0 or expected_g.min() < 1.0:
        return np.exp(np.sqrt(prior_variance) * _chances().eats)
    record_variance = FEED_RECORD_CV**2 + (FEED_RECORD_SD_G / expected_g) ** 2
    trust = prior_variance / (prior_variance + record_variance)
    mean = trust * np.log(recorded_g / expected_g)
    return np.exp(mean + np.sqrt(trust * record_variance) * _chances().eats)


def _eaten_between_g(feed_records: Sequence[FeedRecord], age_days: Array, eaten_g: Array) -> Array:
    total = np.zeros(eaten_g.shape[1])
    for record in feed_records:
        start, end = np.searchsorted(age_days, [record.from_day, record.to_day])
        total += eaten_g[end] - eaten_g[start]
    return total


def _running_total(steps: Array) -> Array:
    total = np.empty((len(steps) + 1, steps.shape[1]))
    total[0] = 0.0
    for at, step in enumerate(steps):
        np.add(total[at], step, out=total[at + 1])
    return total
