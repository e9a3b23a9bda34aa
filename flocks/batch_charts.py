"""A batch's two charts: what the birds weigh and what they eat, in the garden's units."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from math import ceil
from typing import Any

from flocks.forecasting import BatchForecast, days, strain_of
from flocks.growth import LAST_DAY
from flocks.headcount import alive_after, departures
from flocks.models import Batch, Weighing
from flocks.weighing_advice import error_share
from garden.chart_drawing import Drawing, draw
from garden.charts import Axis, Band, Bars, Chart, Line, Points, Series, figure
from garden.day_words import day_words
from garden.unit_sizes import POUND_G
from garden.units import BIRD_MASS, FEED_MASS
from garden.words import gettext as _

WEEK = 7
MOST_WEEKS = LAST_DAY // WEEK + 1
"""Weeks of feed shown at most: as far as birds are forecast."""
BIRD_AXES = {"metric": Axis("kg", 1000.0), "us": Axis("lb", float(POUND_G))}
FEED_AXES = {"metric": Axis("kg"), "us": Axis("lb", float(POUND_G) / 1000)}
"""Axes by the garden's units; birds are held in g, feed in kg."""


@dataclass(frozen=True)
class PageChart:
    """A chart as a page needs it: drawn, and as a figure to explore."""

    drawing: Drawing
    figure: dict[str, Any]

    @property
    def chart(self) -> Chart:
        """Return the numbers behind both."""
        return self.drawing.chart


def page_chart(chart: Chart) -> PageChart:
    """Draw a chart and build its figure."""
    return PageChart(draw(chart), figure(chart))


def weight_chart(batch: Batch, forecast: BatchForecast, on: date, says: str) -> Chart:
    """Return weight by age: the flock, one bird, what was weighed, the target.

    Parameters
    ----------
    says : str
        One sentence that tells what the chart shows.
    """
    system = batch.garden.unit_system
    end = _last_shown_age(batch, forecast, on)
    flock, bird = forecast.flock_g, forecast.bird_g

    def shown(by_age: Any) -> list[float]:
        return by_age[: end + 1].tolist()

    ages = list(range(end + 1))
    return Chart(
        key="weight",
        title=_("Weight of {batch} by age").format(batch=batch.name),
        says=says,
        x_axis=Axis(_("day")),
        y_axis=BIRD_AXES[system],
        x_end=end,
        x_step=WEEK,
        series=_with_points(
            Band(_("One bird"), "band-wide", ages, shown(bird.low), shown(bird.high)),
            Band(_("Flock average"), "band-1", ages, shown(flock.low), shown(flock.high)),
            Line(_("Likeliest average"), "line-1", ages, shown(flock.median)),
            _weighed(
                batch,
                [row for row in batch.weighing_set.all() if batch.age_days(row.on) <= end],
                strain_of(batch.strain).bird_cv,
            ),
        ),
        write_x=lambda age: f"{age:g}, {day_words(batch.hatch_on + timedelta(days=age))}",
        write_y=lambda grams: BIRD_MASS.show(grams, system),
        level=(
            _("wanted {weight}").format(weight=BIRD_MASS.show(batch.target_g, system)),
            batch.target_g,
        ),
        today=None if batch.finished_on else batch.age_days(on),
    )


def _with_points(*series: Series) -> tuple[Series, ...]:
    """Leave out series that have nothing to show yet."""
    return tuple(one for one in series if one.x)


def _last_shown_age(batch: Batch, forecast: BatchForecast, on: date) -> int:
    reached = [batch.processing_on, on, forecast.ready_on.high or forecast.ready_on.median]
    age = max(batch.age_days(day) for day in reached if day)
    return min(WEEK * ceil(age / WEEK), len(forecast.flock_g.median) - 1)


def _weighed(batch: Batch, rows: Sequence[Weighing], bird_cv: float) -> Points:
    """Return one point for each day on which birds were weighed, with the error of their mean."""
    means: list[float] = []
    ages: list[int] = []
    errors: list[float] = []
    in_order = sorted(rows, key=lambda row: row.on)
    for on, group in groupby(in_order, key=lambda row: row.on):
        same = list(group)
        birds = sum(row.count for row in same)
        ages.append(batch.age_days(on))
        means.append(sum(row.count * row.mean_g for row in same) / birds)
        errors.append(error_share(bird_cv, batch.chicks, birds))
    return Points(
        _("Weighed"),
        ages,
        means,
        [mean / (1 + error) for mean, error in zip(means, errors, strict=True)],
        [mean * (1 + error) for mean, error in zip(means, errors, strict=True)],
        spread=_("8 times in 10"),
    )


def feed_chart(batch: Batch, forecast: BatchForecast, on: date) -> Chart:
    """Return feed by week of age: what the birds should eat and what was given."""
    system = batch.garden.unit_system
    end_day = batch.finished_on or max(batch.processing_on, on + timedelta(days=1))
    weeks = min(ceil(max(1, batch.age_days(end_day)) / WEEK), MOST_WEEKS)
    given = _given_by_week(batch, batch.hatch_on + timedelta(days=WEEK * weeks))
    return Chart(
        key="feed",
        title=_("Feed of {batch} by week").format(batch=batch.name),
        says=_("Each week's expected feed as an open bar, with what was given inside it."),
        x_axis=Axis(_("week")),
        y_axis=FEED_AXES[system],
        x_end=weeks,
        x_step=1,
        series=_with_points(
            Bars(
                _("Expected"),
                "bar-open",
                list(range(1, weeks + 1)),
                _expected_by_week(batch, forecast, weeks, end_day),
            ),
            Bars(_("Given"), "bar", list(given), list(given.values())),
        ),
        write_x=lambda week: f"{week:g}",
        write_y=lambda mass_kg: FEED_MASS.show(mass_kg, system),
    )


def _expected_by_week(
    batch: Batch, forecast: BatchForecast, weeks: int, end_day: date
) -> list[float]:
    gone = departures(batch)
    return [
        sum(
            forecast.feed_kg(alive_after(batch, day, gone), day)
            for day in _week(batch, week)
            if day < end_day
        )
        for week in range(1, weeks + 1)
    ]


def _week(batch: Batch, week: int) -> list[date]:
    first_day = batch.hatch_on + timedelta(days=WEEK * (week - 1))
    return list(days(first_day, first_day + timedelta(days=WEEK)))


def _given_by_week(batch: Batch, end_day: date) -> dict[int, float]:
    given: dict[int, float] = {}
    for row in sorted(batch.feedrecord_set.all(), key=lambda row: row.on):
        if row.on < end_day:
            week = batch.age_days(row.on) // WEEK + 1
            given[week] = given.get(week, 0.0) + row.mass_kg
    return given
