"""When a batch is ready, what waiting costs, and what taking the heaviest leaves: rows meet `flocks.ready`."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property
from math import ceil, floor
from typing import Any

import numpy as np

from flocks.batch_forecast import Estimate
from flocks.day_costs import DayCost, Prices, WeekMore, day_costs, last_paying_on, week_more
from flocks.forecasting import LEVEL, paths_of
from flocks.growth import LAST_DAY
from flocks.headcount import birds_alive
from flocks.models import Batch
from flocks.passage import target_age
from flocks.paths import FlockPaths
from flocks.ready import Parting, Target, TargetAge, mean_wanted_g, take_heaviest
from garden.models import Garden
from garden.unit_sizes import POUND_G

DAYS_SHOWN = 28
"""Days whose cost is told at most. A choice."""
DAYS_BEFORE = 7
"""Days before the likeliest one from which costs are told. A choice."""
WEEK = 7


@dataclass(frozen=True)
class Readiness:
    """A batch asked when it meets a target."""

    batch: Batch
    on: date
    target: Target
    prices: Prices

    @cached_property
    def paths(self) -> FlockPaths:
        """Return the equally likely flocks."""
        return paths_of(self.batch, self.on)

    @cached_property
    def mean_wanted_g(self) -> float:
        """Return the flock's average at which the target is met [g]."""
        return mean_wanted_g(self.target, self.paths.posterior.bird_cv)

    @cached_property
    def age(self) -> TargetAge:
        """Return the age at which it is met."""
        return self._age_of_mean(self.mean_wanted_g)

    def _age_of_mean(self, mean_g: float) -> TargetAge:
        return target_age(self.paths.age_days, self.paths.weight_g, mean_g, LEVEL)

    def day(self, age_days: float | None) -> date | None:
        """Return the first whole day of an age."""
        return None if age_days is None else self.batch.hatch_on + timedelta(days=ceil(age_days))

    @property
    def low_on(self) -> date | None:
        """Return the day by which one flock in ten is ready."""
        return self.day(self.age.low)

    @property
    def ready_on(self) -> date | None:
        """Return the likeliest first day."""
        return self.day(self.age.median)

    @property
    def high_on(self) -> date | None:
        """Return the day by which nine flocks in ten are ready."""
        return self.day(self.age.high)

    @cached_property
    def alive(self) -> int:
        """Return the birds there are."""
        return birds_alive(self.batch, self.on)

    @property
    def _ready_age(self) -> int:
        """Return the age that costs are told around: the likeliest, or the planned one."""
        asked = self.ready_on or self.batch.processing_on
        age = self.batch.age_days(max(asked, self.on, self.batch.hatch_on))
        return min(age, LAST_DAY - WEEK)

    @cached_property
    def days(self) -> tuple[DayCost, ...]:
        """Return the days from now, or a week before it is ready, up to three weeks after."""
        first = max(0, self.batch.age_days(self.on), self._ready_age - DAYS_BEFORE)
        last = min(LAST_DAY, first + DAYS_SHOWN)
        return day_costs(self.paths, self.batch.hatch_on, range(first, last), self.prices)

    @property
    def last_paying_on(self) -> date | None:
        """Return the last day of those whose gain is worth its feed."""
        return last_paying_on(self.days)

    @property
    def last_told_on(self) -> date:
        """Return the last of the days told."""
        return self.days[-1].on

    @property
    def last_told_age(self) -> int:
        """Return the age on that day [day]."""
        return self.days[-1].age

    @cached_property
    def week(self) -> WeekMore:
        """Return what a week after the ready day takes and brings."""
        return week_more(self.paths, self.batch.hatch_on, self._ready_age, self.alive, self.prices)

    def part(self, taken: int, on: date) -> "PartProcessed":
        """Return what taking the heaviest birds on a day does."""
        return PartProcessed(self, taken, on)

    def chance_on(self, day: date) -> float:
        """Return the chance that the target is met by a day [1]."""
        age = min(max(0, self.batch.age_days(day)), LAST_DAY)
        return float((self.paths.weight_g[age] >= self.mean_wanted_g).mean())

    @property
    def chance_percent(self) -> int:
        """Return the chance by the day that processing is planned for, told in whole parts of 100 [%]."""
        return floor(100 * self.chance_on(self.batch.processing_on) + 0.5)


@dataclass(frozen=True)
class PartProcessed:
    """The heaviest birds taken on a day, and the rest."""

    asked: Readiness
    taken: int
    on: date

    @cached_property
    def parting(self) -> Parting:
        """Return the shares of the flock's average."""
        return take_heaviest(self.asked.alive, self.taken, self.asked.paths.posterior.bird_cv)

    def _mean(self, share: float | None) -> Estimate | None:
        if share is None:
            return None
        age = self.asked.batch.age_days(self.on)
        tails = [(1 - LEVEL) / 2, 0.5, (1 + LEVEL) / 2]
        return Estimate(*(share * np.quantile(self.asked.paths.weight_g[age], tails)).tolist())

    @property
    def taken_g(self) -> Estimate | None:
        """Return the average of those taken [g]."""
        return self._mean(self.parting.taken_mean)

    @property
    def left_g(self) -> Estimate | None:
        """Return the average of the rest, that day [g]."""
        return self._mean(self.parting.left_mean)

    @property
    def lightest_g(self) -> float | None:
        """Return the weight from which a bird is among those taken [g]."""
        lightest = self._mean(self.parting.lightest_taken)
        return lightest and lightest.median

    @cached_property
    def rest_age(self) -> TargetAge | None:
        """Return the age at which the rest meets the target."""
        parting = self.parting
        if parting.left_mean is None:
            return None
        wanted_g = mean_wanted_g(self.asked.target, parting.left_cv) / parting.left_mean
        return self.asked._age_of_mean(wanted_g)

    @property
    def rest_on(self) -> date | None:
        """Return the likeliest first day on which the rest meets the target."""
        return self.rest_age and self.asked.day(self.rest_age.median)

    @property
    def saved_kg(self) -> float:
        """Return the feed that those taken no longer eat up to the day of processing [kg]."""
        batch, feed_g = self.asked.batch, self.asked.paths.feed_g
        end = min(LAST_DAY, max(batch.age_days(self.on), batch.age_days(batch.processing_on)))
        eaten_g = np.median(feed_g[end] - feed_g[batch.age_days(self.on)])
        return self.taken * float(eaten_g) / 1000


def known_prices(batch: Batch) -> dict[str, Any]:
    """Return the prices of the feed list and the garden's habits, in its own units. One query."""
    rows = list(
        Garden.objects.filter(pk=batch.garden_id).values_list(
            "feed_habits__meat_price_per_kg", "feeds__price", "feeds__bag_kg", "feeds__retired_on"
        )
    )
    meat = rows[0][0]
    per_kg = [
        price / Decimal(f"{bag_kg:.4f}")
        for _, price, bag_kg, retired_on in rows
        if price and not retired_on
    ]
    unit = unit_kg(batch.garden.unit_system)
    return {
        "feed_price": (min(per_kg) * unit).quantize(Decimal("0.01")) if per_kg else None,
        "meat_price": None if meat is None else (meat * unit).quantize(Decimal("0.01")),
    }


def unit_kg(system: str) -> Decimal:
    """Return what prices are for: a kilogram, or a pound [kg]."""
    if system == "metric":
        return Decimal(1)
    return Decimal(str(float(POUND_G))) / 1000


def prices_per_kg(batch: Batch, values: dict[str, Any]) -> Prices:
    """Return prices as typed, for a kilogram."""
    unit = unit_kg(batch.garden.unit_system)

    def per_kg(price: Decimal | None) -> Decimal | None:
        return None if price is None else price / unit

    return Prices(per_kg(values.get("feed_price")), per_kg(values.get("meat_price")))
