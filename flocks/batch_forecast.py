"""A batch's days to come as values: what a forecast tells of each day, and of some birds on it.

PURE.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from flocks.growth import Band
from flocks.growth_warnings import GrowthWarning

PLANNING_QUANTILES = (0.5, 0.8, 0.9)
"""What of the nitrogen a plan may reckon with: as much as 5, 8 or 9 flocks in 10 drop on a day. A choice."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure with the interval that holds the truth 8 times in 10."""

    low: float
    median: float
    high: float


@dataclass(frozen=True, slots=True)
class ReadyDates:
    """Days on which the flock's mean first reaches the target; None where not within 150 days."""

    low: date | None
    median: date | None
    high: date | None


@dataclass(frozen=True)
class BatchForecast:
    """A batch day by day: entry d of every band is about the day on which the birds are d days old.

    Days before hatch have zeros; days after the last one have its figures.
    """

    hatch_on: date
    flock_g: Band
    """Mean live weight of the flock at the start of the day [g]."""
    bird_g: Band
    """Live weight of one bird at the start of the day [g]."""
    eaten_g: Band
    """Feed eaten by a bird from hatch up to the start of the day [g]."""
    feed_g: Band
    """Feed eaten by a bird during the day [g]."""
    nitrogen_g: Band
    """Nitrogen excreted by a bird during the day [g]."""
    nitrogen_quantiles_g: dict[float, NDArray[np.float64]]
    """The same at each of `PLANNING_QUANTILES`."""
    nitrogen_seasons_g: NDArray[np.float32]
    """The same for each of `SEASONS` equally likely flocks, (days, seasons)."""
    ready_on: ReadyDates
    warnings: tuple[GrowthWarning, ...]
    """What does not fit of the records."""

    @property
    def last_day(self) -> date:
        """Return the last day that was forecast."""
        return self.hatch_on + timedelta(days=len(self.feed_g.median) - 1)

    def on(self, band: Band, day: date) -> Estimate:
        """Return the entry of one of the bands for a day."""
        age = (day - self.hatch_on).days
        if age < 0:
            return Estimate(0.0, 0.0, 0.0)
        entry = min(age, len(band.median) - 1)
        return Estimate(float(band.low[entry]), float(band.median[entry]), float(band.high[entry]))

    def weight_g(self, day: date) -> Estimate:
        """Return the mean live weight at the start of a day [g]."""
        return self.on(self.flock_g, day)

    def feed_kg(self, birds: float, first_day: date, end_day: date | None = None) -> float:
        """Return what birds eat on ``[first_day, end_day)``, or on `first_day` alone [kg]."""
        return birds * sum(self._daily(self.feed_g, first_day, end_day)) / 1000

    def nitrogen_g_by_day(
        self, birds: float, first_day: date, end_day: date, *, quantile: float = 0.5
    ) -> list[float]:
        """Return the nitrogen birds drop on each day of ``[first_day, end_day)`` [g].

        `quantile`, one of `PLANNING_QUANTILES`, is the share of flocks that drop no more on such a day.
        """
        grams = self.nitrogen_quantiles_g[quantile]
        return [birds * float(each) for each in self._entries(grams, first_day, end_day)]

    def nitrogen_g_by_season(
        self, birds: float, first_day: date, end_day: date
    ) -> NDArray[np.float64]:
        """Return the same for each of the equally likely flocks, (days, seasons) [g]."""
        return birds * self._entries(self.nitrogen_seasons_g, first_day, end_day).astype(float)

    def density_kg_m2(self, birds: float, floor_m2: float, day: date) -> float:
        """Return the birds' weight on a pen's floor at the end of a day [kg/m²]."""
        return birds * self.weight_g(day + timedelta(days=1)).median / 1000 / floor_m2

    def crowded_on(
        self, birds: float, floor_m2: float, limit_kg_m2: float, first_day: date, end_day: date
    ) -> date | None:
        """Return the first day of ``[first_day, end_day)`` with a density over the limit."""
        over = (
            day
            for day in days(first_day, end_day)
            if self.density_kg_m2(birds, floor_m2, day) > limit_kg_m2
        )
        return next(over, None)

    def _daily(self, band: Band, first_day: date, end_day: date | None) -> list[float]:
        end_day = end_day or first_day + timedelta(days=1)
        return [self.on(band, day).median for day in days(first_day, end_day)]

    def _entries(self, by_age: NDArray, first_day: date, end_day: date) -> NDArray:
        """Return the entries of a daily figure for some days, zero before hatch."""
        first_age, days_asked = (first_day - self.hatch_on).days, (end_day - first_day).days
        ages = np.arange(first_age, first_age + max(0, days_asked))
        found = by_age[np.clip(ages, 0, len(by_age) - 1)]
        return np.where((ages >= 0).reshape(-1, *[1] * (by_age.ndim - 1)), found, 0)


def days(first_day: date, end_day: date) -> Iterable[date]:
    """Return the days from `first_day` up to, not including, `end_day`."""
    return (first_day + timedelta(days=d) for d in range((end_day - first_day).days))
