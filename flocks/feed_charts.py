"""Charts of feed: each day, in all, for each kilogram gained, and the store against the need."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from flocks.batch_charts import FEED_AXES, WEEK
from flocks.engine_rows import LONGEST_FILLING_DAYS
from flocks.feed_shopping import Shopping
from flocks.forecasting import LEVEL, strain_of
from flocks.growth import LAST_DAY
from flocks.headcount import alive_after, departures
from flocks.models import Batch
from flocks.paths import FlockPaths
from garden.charts import Axis, Band, Chart, Line, Points, Series
from garden.day_words import day_words
from garden.models import Garden
from garden.units import FEED_MASS
from garden.words import gettext as _

Array = NDArray[np.float64]

LEAST_GAIN_G = 60.0
"""Gain since hatch from which feed for each kilogram gained says something [g]. A choice."""
TAIL = (1 - LEVEL) / 2


@dataclass(frozen=True)
class FlockFeed:
    """What a whole batch eats by its forecast, and what it was given."""

    batch: Batch
    paths: FlockPaths
    on: date
    end_day: date
    """Day of processing."""

    @cached_property
    def last_age(self) -> int:
        """Return the age at which the charts end [day]."""
        age = max(WEEK, self.batch.age_days(max(self.end_day, self.on)))
        return min(WEEK * -(-age // WEEK), LAST_DAY)

    @cached_property
    def alive(self) -> Array:
        """Return the birds on each day of age: those logged, and from today on those alive now."""
        gone = departures(self.batch)
        ages = range(self.last_age)
        return np.array(
            [alive_after(self.batch, self.batch.hatch_on + timedelta(age), gone) for age in ages],
            dtype=float,
        )

    @cached_property
    def daily_kg(self) -> Array:
        """Return what the flock eats on each day of age, (days, flocks) [kg]."""
        grams = np.diff(self.paths.feed_g[: self.last_age + 1], axis=0)
        return grams * self.alive[:, None] / 1000

    @cached_property
    def given_kg(self) -> dict[int, float]:
        """Return what was given by age, rising [kg]."""
        given: dict[int, float] = {}
        for row in sorted(self.batch.feedrecord_set.all(), key=lambda row: row.on):
            age = self.batch.age_days(row.on)
            if 0 <= age < self.last_age:
                given[age] = given.get(age, 0.0) + row.mass_kg
        return given

    def given_a_day_kg(self) -> dict[int, float]:
        """Return for each filling what it comes to a day, up to the next one."""
        return {
            age: self.given_kg[age] / (later - age)
            for age, later in pairwise(self.given_kg)
            if later - age <= LONGEST_FILLING_DAYS
        }

    def conversion(self) -> Array:
        """Return feed eaten for each kilogram gained since hatch, (ages, flocks), from day 0 on."""
        weight_g = self.paths.weight_g[: self.last_age + 1]
        gained = weight_g - strain_of(self.batch.strain).hatch_g
        eaten = self.paths.feed_g[: self.last_age + 1]
        return np.where(gained >= LEAST_GAIN_G, eaten / np.maximum(gained, 1.0), np.nan)

    def conversion_logged(self) -> dict[int, float]:
        """Return the same from the records: feed given so far over what the weighed birds gained."""
        hatch_g = strain_of(self.batch.strain).hatch_g
        told = {}
        for row in sorted(self.batch.weighing_set.all(), key=lambda row: row.on):
            age = self.batch.age_days(row.on)
            fed_kg = sum(mass_kg for day, mass_kg in self.given_kg.items() if day < age)
            if age <= self.last_age and fed_kg and row.mean_g - hatch_g >= LEAST_GAIN_G:
                birds = float(self.alive[:age].mean())
                told[age] = 1000 * fed_kg / birds / (row.mean_g - hatch_g)
        return told


def _band(name: str, style: str, x: list[int], by_path: Array) -> tuple[Band, Line]:
    low, median, high = np.quantile(by_path, [TAIL, 0.5, 1 - TAIL], axis=1).tolist()
    return Band(name, style, x, low, high), Line(_("Likeliest"), "line-1", x, median)


def _points(name: str, values: dict[int, float]) -> tuple[Series, ...]:
    y = list(values.values())
    return (Points(name, list(values), y, y, y),) if values else ()


def _feed_chart(flock: FlockFeed, key: str, title: str, says: str, series: tuple) -> Chart:
    batch = flock.batch
    system = batch.garden.unit_system
    return Chart(
        key=key,
        title=title.format(batch=batch.name),
        says=says,
        x_axis=Axis(_("day")),
        y_axis=FEED_AXES[system],
        x_end=flock.last_age,
        x_step=WEEK,
        series=series,
        write_x=lambda age: f"{age:g}, {day_words(batch.hatch_on + timedelta(days=age))}",
        write_y=lambda mass_kg: FEED_MASS.show(mass_kg, system),
        today=None if batch.finished_on else batch.age_days(flock.on),
    )


def daily_chart(flock: FlockFeed) -> Chart:
    """Return what the flock eats on each day, with what the fillings come to a day."""
    ages = list(range(flock.last_age))
    return _feed_chart(
        flock,
        "feed-daily",
        _("Feed a day of {batch}"),
        _("What all birds eat on a day of age, and each filling divided by the days it lasted."),
        (
            *_band(_("All birds, a day"), "band-1", ages, flock.daily_kg),
            *_points(_("Given a day"), flock.given_a_day_kg()),
        ),
    )


def cumulative_chart(flock: FlockFeed) -> Chart:
    """Return all that the flock has eaten by a day, with all that was given."""
    ages = list(range(flock.last_age + 1))
    eaten = np.vstack([np.zeros((1, flock.daily_kg.shape[1])), np.cumsum(flock.daily_kg, axis=0)])
    total, given = 0.0, {}
    for age, mass_kg in flock.given_kg.items():
        if total:
            given[age] = total
        total += mass_kg
    return _feed_chart(
        flock,
        "feed-total",
        _("Feed in all of {batch}"),
        _(
            "Feed eaten since hatch, and what was given before each filling, so that the feeders were empty."
        ),
        (
            *_band(_("Eaten since hatch"), "band-1", ages, eaten),
            *_points(_("Given by then"), given),
        ),
    )


def conversion_chart(flock: FlockFeed) -> Chart:
    """Return feed for each kilogram gained, by age."""
    ratio = flock.conversion()
    first = int(np.flatnonzero(~np.isnan(ratio).any(axis=1))[0])
    ages = list(range(first, flock.last_age + 1))
    return Chart(
        key="conversion",
        title=_("Feed for each kilogram gained, {batch}").format(batch=flock.batch.name),
        says=_("Feed eaten since hatch over weight gained since hatch: it rises with age."),
        x_axis=Axis(_("day")),
        y_axis=Axis("kg/kg" if flock.batch.garden.unit_system == "metric" else "lb/lb"),
        x_end=flock.last_age,
        x_step=WEEK,
        series=(
            *_band(_("Since hatch"), "band-1", ages, ratio[first:]),
            *_points(_("By your records"), flock.conversion_logged()),
        ),
        write_x=lambda age: f"{age:g}",
        write_y=lambda share: f"{share:.2f}",
        today=None if flock.batch.finished_on else flock.batch.age_days(flock.on),
    )


def store_chart(garden: Garden, shopping: Shopping) -> Chart:
    """Return what will be needed from today on, against what is there and will be bought."""
    needed = shopping.all_needed()
    days = list(range(len(needed)))
    bought = [0.0] * len(days)
    for purchase in shopping.plan.purchases if shopping.plan else ():
        for day in days[purchase.day :]:
            bought[day] += purchase.bags * purchase.feed.bag_kg
    supply = [shopping.stock_kg + mass_kg for mass_kg in bought]
    return Chart(
        key="store",
        title=_("Feed needed and feed at hand"),
        says=_(
            "Feed needed from today up to each day, and what is in the store with what the plan buys by then."
        ),
        x_axis=Axis(_("day")),
        y_axis=FEED_AXES[garden.unit_system],
        x_end=WEEK * -(-max(WEEK, len(days)) // WEEK),
        x_step=WEEK,
        series=(
            *_band(_("Needed"), "band-1", days, needed),
            Line(_("In the store and bought"), "line-2", days, supply),
        ),
        write_x=lambda day: day_words(shopping.on + timedelta(days=day)),
        write_y=lambda mass_kg: FEED_MASS.show(mass_kg, garden.unit_system),
    )
