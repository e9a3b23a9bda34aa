"""Forecast of a flock: weight, feed and droppings by age, with intervals that mean what they say.

PURE. The one door to the flock engine::

    forecast(strain, weighings=[Weighing(21, 790, 8)], target_g=2700).by_day.nitrogen_g.median

What is uncertain is carried along `posterior.PATHS` equally likely flocks: the growth curve, the
flock's strays from it, what it eats to a weight, the protein of its feed and what the body keeps.
An interval is a pair of quantiles over those flocks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from flocks.feed import DietPhase, diet_programmes
from flocks.growth_warnings import GrowthWarning, growth_warnings
from flocks.passage import TargetAge, target_age
from flocks.paths import FlockPaths, flock_paths, path_quantiles
from flocks.strains import Strain
from flocks.weighings import FeedRecord, Weighing

__all__ = ["Band", "DailyBands", "Forecast", "GompertzFigures", "TargetAge", "forecast"]

Array = NDArray[np.float64]

LAST_DAY = 150
"""Age up to which anything is forecast [day]."""
LATER_STEP_DAYS = 3.0
"""Steps of age beyond all that is asked, only to find when a target is reached [day]. Derived: a straight
line across such a step is off by 0.05 days at most."""
USUAL_LAST_DAY = 84
"""Age up to which a forecast goes when no ages are asked [day]: twelve weeks, a roaster's age."""


@dataclass(frozen=True)
class Band:
    """Low, median and high figure at each age."""

    low: Array
    median: Array
    high: Array


@dataclass(frozen=True)
class GompertzFigures:
    """Medians of the flock's own growth curve."""

    mature_g: float
    rate_per_day: float
    inflection_day: float


@dataclass(frozen=True)
class DailyBands:
    """Day by day from hatch; entry d is about the day that starts at age d. Worked out when asked."""

    paths: FlockPaths
    days_at: NDArray[np.intp]
    """Where the paths have the start of each day, and the end of the last."""
    level: float

    @property
    def age_days(self) -> Array:
        """0, 1, 2, … [day]."""
        return np.arange(len(self.days_at) - 1.0)

    @cached_property
    def weight_g(self) -> Band:
        """Mean live weight at the start of the day [g]."""
        return _band(self.paths.weight_g[self.days_at[:-1]], self.level)

    @cached_property
    def feed_g(self) -> Band:
        """Feed eaten by a bird during the day [g]."""
        return self._daily(self.paths.feed_g)

    @cached_property
    def nitrogen_g(self) -> Band:
        """Nitrogen excreted by a bird during the day [g]."""
        return self._daily(self.paths.nitrogen_g)

    @cached_property
    def phosphorus_g(self) -> Band:
        """Phosphorus (as P) excreted by a bird during the day [g]."""
        return self._daily(self.paths.phosphorus_g)

    def _daily(self, cumulative: Array) -> Band:
        return _band(np.diff(cumulative[self.days_at], axis=0), self.level)


@dataclass(frozen=True)
class Forecast:
    """What a flock will weigh, eat and leave, at the ages asked and day by day."""

    age_days: Array
    """The ages asked, in the order asked [day]."""
    level: float
    """Probability that a low-high interval holds the truth [1]."""
    target_age_days: TargetAge | None
    """None when no target was asked."""
    parameters: GompertzFigures
    warnings: tuple[GrowthWarning, ...]
    """Sentences about weighings that do not fit and figures outside the range of the model."""
    paths: FlockPaths

    @cached_property
    def flock_mean_g(self) -> Band:
        """Mean live weight of the flock [g]."""
        return self._asked(self.paths.weight_g)

    @cached_property
    def bird_g(self) -> Band:
        """Live weight of one bird picked from it [g]."""
        return self._asked(self.paths.weight_g, self.paths.bird_factor)

    @cached_property
    def feed_per_bird_g(self) -> Band:
        """Feed eaten by a bird since hatch [g]."""
        return self._asked(self.paths.feed_g)

    @cached_property
    def nitrogen_excreted_per_bird_g(self) -> Band:
        """Nitrogen excreted by a bird since hatch [g]."""
        return self._asked(self.paths.nitrogen_g)

    @cached_property
    def phosphorus_excreted_per_bird_g(self) -> Band:
        """Phosphorus (as P) excreted by a bird since hatch [g]."""
        return self._asked(self.paths.phosphorus_g)

    def _asked(self, by_path: Array, factor: Array | float = 1.0) -> Band:
        at = np.searchsorted(self.paths.age_days, self.age_days)
        return _band(by_path[at] * factor, self.level)

    @cached_property
    def by_day(self) -> DailyBands:
        """Daily figures from hatch to the last age asked, at least one day."""
        return DailyBands(self.paths, self._days_at, self.level)

    @cached_property
    def nitrogen_g_by_path(self) -> Array:
        """Nitrogen excreted by a bird during each day, for each equally likely flock: (days, paths) [g]."""
        return np.diff(self.paths.nitrogen_g[self._days_at], axis=0)

    @cached_property
    def _days_at(self) -> NDArray[np.intp]:
        """Where the paths have the start of each day from hatch, and the end of the last."""
        last_day = max(1.0, np.ceil(self.age_days.max()))
        return np.searchsorted(self.paths.age_days, np.arange(last_day + 1.0))


def forecast(
    strain: Strain,
    *,
    diet: Sequence[DietPhase] | None = None,
    weighings: Sequence[Weighing] = (),
    feed_records: Sequence[FeedRecord] = (),
    ages: Sequence[float] | None = None,
    target_g: float | None = None,
    level: float = 0.8,
) -> Forecast:
    """Forecast one flock from its strain, its weighings and its feed records.

    Parameters
    ----------
    strain : Strain
        What is expected of such birds.
    diet : sequence of DietPhase, optional
        Feeds by age; the ``standard`` programme unless given.
    weighings : sequence of Weighing
        In any order.
    feed_records : sequence of FeedRecord
        In any order, those after `LAST_DAY` left aside. They correct the feed, not the growth:
        spilt feed must not make birds heavier.
    ages : sequence of float, optional
        Ages asked, 0 to 150 [day]; every day of the first 12 weeks unless given.
    target_g : float, optional
        Live weight whose age is wanted [g].
    level : float
        Probability of the intervals, above 0 and below 1 [1].

    Returns
    -------
    Forecast
        The same arguments give the same forecast. Costs about 10 ms, and half a millisecond for each
        band that is asked.

    Raises
    ------
    ValueError
        When an age, the level or the diet is out of its range.

    Notes
    -----
    Weight is Gompertz times a slowly fading disturbance, see `flocks.posterior`. Feed follows
    weight by the strain's table, times one factor for the flock. Nitrogen and phosphorus are what
    was eaten less what the body kept, day by day, see `flocks.excretion`. Figures beyond about 70
    days or 70 % of the mature weight lean on tables that were not measured there.
    """
    asked = np.asarray(range(USUAL_LAST_DAY + 1) if ages is None else ages, dtype=float)
    _check(asked, level)
    phases = tuple(diet) if diet else diet_programmes()["standard"]
    records = [record for record in feed_records if record.to_day <= LAST_DAY]
    grid = _grid(asked, records)
    paths = flock_paths(strain, phases, weighings, records, grid)
    curves = paths.posterior.curves
    return Forecast(
        age_days=asked,
        level=level,
        target_age_days=None if target_g is None else _target_age(paths, target_g, level),
        parameters=GompertzFigures(
            mature_g=float(np.median(curves.mature_g)),
            rate_per_day=float(np.median(curves.rate_per_day)),
            inflection_day=float(np.median(curves.inflection_day)),
        ),
        warnings=growth_warnings(strain, paths, records),
        paths=paths,
    )


def _check(ages: Array, level: float) -> None:
    if not ages.size or not np.isfinite(ages).all() or ages.min() < 0 or ages.max() > LAST_DAY:
        raise ValueError(f"ages must be between 0 and {LAST_DAY} days, and at least one")
    if not 0.0 < level < 1.0:
        raise ValueError("level must be above 0 and below 1")


def _grid(asked: Array, feed_records: Sequence[FeedRecord]) -> Array:
    """Return rising ages: every whole day as far as anything is asked, and all that was named."""
    recorded = [day for record in feed_records for day in (record.from_day, record.to_day)]
    named = np.concatenate([asked, np.asarray(recorded, dtype=float)])
    last_day = np.ceil(max(1.0, named.max()))
    return np.union1d(np.arange(last_day + 1.0), named)


def _target_age(paths: FlockPaths, target_g: float, level: float) -> TargetAge:
    """Return when a target is reached, if need be after all ages asked: up to `LAST_DAY`, by longer steps."""
    ages, weight_g = paths.age_days, paths.weight_g
    if ages[-1] < LAST_DAY and (weight_g[-1] >= target_g).mean() <= 0.5 + level / 2.0:
        later = np.append(
            np.arange(ages[-1] + LATER_STEP_DAYS, LAST_DAY, LATER_STEP_DAYS), LAST_DAY
        )
        ages = np.concatenate([ages, later])
        weight_g = np.concatenate([weight_g, paths.weight_later_g(later)])
    return target_age(ages, weight_g, target_g, level)


def _band(by_path: Array, level: float) -> Band:
    """Return the quantiles of (ages, paths) over the paths."""
    tail = (1.0 - level) / 2.0
    return Band(*path_quantiles(by_path, [tail, 0.5, 1.0 - tail]))
