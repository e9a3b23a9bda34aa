"""What the birds of a stay leave on its ground, day by day, as likely and with its interval."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from flocks.excretion_methods import DIET_DOUBT, DailyExcretion
from flocks.forecasting import BatchForecast
from flocks.headcount_days import birds_on_days
from flocks.models import Batch
from garden.npk import Npk, NpkBand
from garden.words import ngettext

TAILS = (0.1, 0.9)
"""Ends of an interval that holds the truth 8 times in 10."""


@dataclass(frozen=True)
class StayDropped:
    """What birds left on ``[first_day, end_day)``."""

    first_day: date
    end_day: date
    birds: tuple[int, ...]
    """Left at the end of each day."""
    nitrogen_g: tuple[float, ...]
    """Likely, on each day [g]."""
    mass: NpkBand
    """All together [g]."""

    @property
    def last_day(self) -> date:
        """The last day with birds."""
        return self.end_day - timedelta(days=1)

    @property
    def by_day(self) -> tuple[float, ...]:
        """Return each day's share of it all."""
        whole = sum(self.nitrogen_g)
        if not whole:
            return tuple(1 / len(self.birds) for _ in self.birds)
        return tuple(each / whole for each in self.nitrogen_g)

    @property
    def birds_told(self) -> str:
        """Say how many birds stood there, and that some left where they did."""
        first, last = self.birds[0], self.birds[-1]
        if first == last:
            return ngettext("{n} bird", "{n} birds", first).format(n=first)
        said = ngettext("{n} bird, then {left}", "{n} birds, then {left}", first)
        return said.format(n=first, left=last)


def stay_dropped(
    batch: Batch,
    pen_id: int,
    forecast: BatchForecast,
    excretion: DailyExcretion,
    first_day: date,
    end_day: date,
) -> StayDropped | None:
    """Return what a pen's birds drop on ``[first_day, end_day)``; None where it has no day.

    Nitrogen and its interval are the forecast's. Phosphorus and potassium follow the same feed and gain, and
    what a diet holds of them is less well known than its protein, so their interval is wider by `DIET_DOUBT`.
    """
    birds = tuple(birds_on_days(batch, pen_id, first_day, end_day))
    if not birds:
        return None
    each = np.array(forecast.nitrogen_g_by_day(1, first_day, end_day))
    nitrogen_g = each * birds
    first_age = batch.age_days(first_day)
    likely = Npk(float(nitrogen_g.sum()))
    for number, count in enumerate(birds):
        of_bird = excretion.on(first_age + number)
        likely += Npk(0.0, of_bird.phosphorus_g * count, of_bird.potassium_g * count)
    seasons = forecast.nitrogen_g_by_season(1, first_day, end_day)
    low, high = _tails(np.array(birds) @ seasons, likely.nitrogen_g)
    band = NpkBand(_off(likely, low, -DIET_DOUBT), likely, _off(likely, high, DIET_DOUBT))
    return StayDropped(first_day, end_day, birds, tuple(nitrogen_g.tolist()), band)


def _tails(by_season_g: NDArray[np.float64], likely_g: float) -> tuple[float, float]:
    """Return the interval's ends as shares of what is likely; they hold it always."""
    if not likely_g:
        return 1.0, 1.0
    low_g, high_g = np.quantile(by_season_g, TAILS)
    return min(1.0, float(low_g) / likely_g), max(1.0, float(high_g) / likely_g)


def _off(likely: Npk, share: float, diet: float) -> Npk:
    others = share * (1.0 + diet)
    return Npk(likely.nitrogen_g * share, likely.phosphorus_g * others, likely.potassium_g * others)


def careful_nitrogen_g(
    batch: Batch,
    pen_id: int,
    forecast: BatchForecast,
    first_day: date,
    end_day: date,
    quantile: float,
) -> float:
    """Return the nitrogen a pen's birds dropped on ``[first_day, end_day)``, counted carefully [g].

    `quantile` is the share of flocks that drop no more, as the garden plans for.
    """
    birds = birds_on_days(batch, pen_id, first_day, end_day)
    each = forecast.nitrogen_g_by_day(1, first_day, end_day, quantile=quantile)
    return sum(count * grams for count, grams in zip(birds, each, strict=True))


@dataclass(frozen=True)
class PenDroppings:
    """Nitrogen that one pen's birds dropped, added up day by day, to be asked about many stays."""

    hatch_on: date
    by_age_g: NDArray[np.float64]
    """Dropped from hatch up to the start of each day. [g]"""

    def between(self, first_day: date, end_day: date) -> float:
        """Return what was dropped on ``[first_day, end_day)`` [g]."""
        last = len(self.by_age_g) - 1
        first, end = (min(max((day - self.hatch_on).days, 0), last) for day in (first_day, end_day))
        return float(self.by_age_g[max(first, end)] - self.by_age_g[first])


def pen_droppings(
    batch: Batch, pen_id: int, forecast: BatchForecast, end_day: date, quantile: float
) -> PenDroppings:
    """Return the same as `careful_nitrogen_g` for any days before `end_day`, by one walk through them."""
    first_day = batch.hatch_on
    birds = np.fromiter(birds_on_days(batch, pen_id, first_day, end_day), float)
    each = np.array(forecast.nitrogen_g_by_day(1, first_day, end_day, quantile=quantile))
    return PenDroppings(first_day, np.concatenate([[0.0], np.cumsum(birds * each)]))
