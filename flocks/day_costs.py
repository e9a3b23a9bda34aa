"""What a day more costs in feed, and what the gain of that day is worth.

PURE. Weights are uncertain and floats; money is decimal, and is made of them at the last moment.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from itertools import takewhile

import numpy as np

from flocks.paths import FlockPaths
from flocks.ready import DailyMargins, carcass_g, daily_margins, waiting
from flocks.survival import usual_losses

CENT = Decimal("0.01")
WEEK_DAYS = 7


@dataclass(frozen=True)
class Prices:
    """Of a kilogram of feed and of a kilogram dressed, in one money; None where not known."""

    feed_per_kg: Decimal | None
    meat_per_kg: Decimal | None


def money(grams: float, price_per_kg: Decimal | None) -> Decimal | None:
    """Return what a mass costs at a price, to the cent; None without a price."""
    exact = _exact(grams, price_per_kg)
    return None if exact is None else exact.quantize(CENT, ROUND_HALF_UP)


def _exact(grams: float, price_per_kg: Decimal | None) -> Decimal | None:
    return None if price_per_kg is None else Decimal(f"{grams:.3f}") / 1000 * price_per_kg


@dataclass(frozen=True)
class DayCost:
    """One bird on one day."""

    on: date
    age: int
    weight_g: float
    """At the start of the day."""
    gain_g: float
    feed_g: float
    feed_per_gain: float
    cost: Decimal | None
    worth: Decimal | None
    """Of the gain, dressed."""
    pays: bool | None
    """Whether the gain is worth its feed, before either is rounded; None where a price is not known."""


def day_costs(
    paths: FlockPaths, hatch_on: date, ages: Iterable[int], prices: Prices
) -> tuple[DayCost, ...]:
    """Return what each day costs and brings, for the likeliest flock.

    Parameters
    ----------
    paths : FlockPaths
        Equally likely flocks, at every whole day.
    ages : iterable of int
        Ages asked, 0 up to the last day but one of the paths [day].
    """
    margins = daily_margins(paths)
    weight_g = np.median(paths.weight_g, axis=1)
    return tuple(_day_cost(margins, float(weight_g[age]), hatch_on, age, prices) for age in ages)


def _day_cost(
    margins: DailyMargins, weight_g: float, hatch_on: date, age: int, prices: Prices
) -> DayCost:
    gain_g = float(margins.gain_g.median[age])
    feed_g = float(margins.feed_g.median[age])
    dressed_g = carcass_g(weight_g + gain_g) - carcass_g(weight_g)
    spent, brought = _exact(feed_g, prices.feed_per_kg), _exact(dressed_g, prices.meat_per_kg)
    return DayCost(
        on=hatch_on + timedelta(days=age),
        age=age,
        weight_g=weight_g,
        gain_g=gain_g,
        feed_g=feed_g,
        feed_per_gain=float(margins.feed_per_gain.median[age]),
        cost=money(feed_g, prices.feed_per_kg),
        worth=money(dressed_g, prices.meat_per_kg),
        pays=None if spent is None or brought is None else brought >= spent,
    )


def last_paying_on(days: Iterable[DayCost]) -> date | None:
    """Return the last day before the first whose gain is not worth its feed.

    None where the first day is not, or a price is not known. Days in order; what the tables say of old
    birds, whose feed they do not know, decides nothing.
    """
    return max((day.on for day in takewhile(lambda day: day.pays, days)), default=None)


@dataclass(frozen=True)
class WeekMore:
    """What keeping the birds for a week longer takes and brings."""

    first_day: date
    gain_g: tuple[float, float, float]
    """Of one bird: low, median, high."""
    feed_g: tuple[float, float, float]
    feed_per_gain: float
    so_far: float | None
    """Feed for each gram gained since hatch, up to the first day."""
    birds: int
    cost: Decimal | None
    """Of the feed of all birds."""
    worth: Decimal | None
    """Of the gain of all birds, dressed."""
    likely_lost: float
    """Birds that usually die in such a week."""

    @property
    def feed_kg(self) -> float:
        """Return the feed of all birds [kg]."""
        return self.birds * self.feed_g[1] / 1000


def week_more(paths: FlockPaths, hatch_on: date, age: int, birds: int, prices: Prices) -> WeekMore:
    """Return what a week from an age on takes and brings.

    Parameters
    ----------
    age : int
        Age at the start of the week, at most a week before the end of the paths [day].
    """
    spent = waiting(paths, age, age + WEEK_DAYS)
    weight_g = float(np.median(paths.weight_g[age]))
    eaten_g = float(np.median(paths.feed_g[age]))
    gained_g = weight_g - float(np.median(paths.weight_g[0]))
    gain_g, feed_g = spent.gain_g[1], spent.feed_g[1]
    dressed_g = carcass_g(weight_g + gain_g) - carcass_g(weight_g)
    return WeekMore(
        first_day=hatch_on + timedelta(days=age),
        gain_g=spent.gain_g,
        feed_g=spent.feed_g,
        feed_per_gain=feed_g / max(gain_g, 1.0),
        so_far=eaten_g / gained_g if gained_g > weight_g / 2 else None,
        birds=birds,
        cost=money(birds * feed_g, prices.feed_per_kg),
        worth=money(birds * dressed_g, prices.meat_per_kg),
        likely_lost=usual_losses(birds, age, age + WEEK_DAYS),
    )
