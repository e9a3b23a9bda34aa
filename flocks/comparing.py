"""Batches of a garden against each other, on the same age axis."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from flocks.batch_charts import BIRD_AXES, FEED_AXES, WEEK
from flocks.forecasting import BatchForecast, forecast_of, strain_of
from flocks.growth import LAST_DAY
from flocks.models import Batch
from flocks.production_index import production_index
from garden.charts import Axis, Chart, Line
from garden.units import BIRD_MASS, FEED_MASS
from garden.words import gettext as _

MOST_BATCHES = 4
"""Lines that one chart can tell apart. A choice."""
LEAST_GAIN_G = 60.0
"""Gain since hatch from which feed for each kilogram gained says something [g]. A choice."""


@dataclass(frozen=True)
class Compared:
    """One batch with its forecast, up to the age it has reached."""

    batch: Batch
    forecast: BatchForecast
    age: int
    """Age today, or at the end [day]."""

    @property
    def weight_g(self) -> float:
        """Return the average weight at that age [g]."""
        return float(self.forecast.flock_g.median[self.age])

    @property
    def eaten_g(self) -> float:
        """Return what a bird has eaten by then [g]."""
        return float(self.forecast.eaten_g.median[self.age])

    @property
    def feed_per_gain(self) -> float | None:
        """Return feed for each kilogram gained since hatch."""
        ratio = self.conversion()[self.age]
        return None if np.isnan(ratio) else float(ratio)

    @property
    def lost_percent(self) -> float:
        """Return the share of the chicks that was lost [%]."""
        lost = sum(row.count for row in self.batch.loss_set.all())
        return 100 * lost / self.batch.chicks

    @property
    def index(self) -> float | None:
        """Return the production index by the likeliest growth up to that age."""
        if not self.age or self.feed_per_gain is None:
            return None
        left = 100 - self.lost_percent
        return production_index(self.weight_g / 1000, left, self.age, self.feed_per_gain)

    def lost_so_far(self) -> NDArray[np.float64]:
        """Return the share of the chicks that was lost up to each age [%]."""
        by_age = np.zeros(len(self.forecast.flock_g.median))
        for row in self.batch.loss_set.all():
            by_age[min(max(0, self.batch.age_days(row.on)), len(by_age) - 1)] += row.count
        return 100 * np.cumsum(by_age) / self.batch.chicks

    def conversion(self) -> NDArray[np.float64]:
        """Return feed for each gram gained since hatch, by age; not a number in the first days."""
        gained = self.forecast.flock_g.median - strain_of(self.batch.strain).hatch_g
        eaten = self.forecast.eaten_g.median
        return np.where(gained >= LEAST_GAIN_G, eaten / np.maximum(gained, 1.0), np.nan)


def compared(batches: Sequence[Batch], today: date) -> list[Compared]:
    """Return hatched batches ready to be held against each other."""
    found = []
    for batch in batches:
        on = min(today, batch.finished_on or today)
        forecast = forecast_of(batch, on)
        age = min(max(0, batch.age_days(on)), LAST_DAY, len(forecast.flock_g.median) - 1)
        found.append(Compared(batch, forecast, age))
    return found


def comparison_charts(chosen: Sequence[Compared], system: str) -> list[Chart]:
    """Return weight, feed eaten by a bird, feed for each kilogram gained, and losses, by age."""
    return [
        _chart(
            "compare-weight",
            _("Weight by age"),
            _("The average of each batch, up to today or its end."),
            BIRD_AXES[system],
            chosen,
            lambda one: one.forecast.flock_g.median,
            lambda grams: BIRD_MASS.show(grams, system),
        ),
        _chart(
            "compare-feed",
            _("Feed eaten by a bird"),
            _("Feed since hatch, by your feed records where there are some."),
            FEED_AXES[system],
            chosen,
            lambda one: one.forecast.eaten_g.median / 1000,
            lambda mass_kg: FEED_MASS.show(mass_kg, system),
        ),
        _chart(
            "compare-conversion",
            _("Feed for each kilogram gained"),
            _("Feed over gain since hatch: lower is better, and it rises with age."),
            Axis("kg/kg" if system == "metric" else "lb/lb"),
            chosen,
            lambda one: one.conversion(),
            lambda share: f"{share:.2f}",
        ),
        _chart(
            "compare-losses",
            _("Chicks lost by age"),
            _("The share of the chicks that was lost up to each day, as logged."),
            Axis("%"),
            chosen,
            lambda one: one.lost_so_far(),
            lambda percent: f"{percent:.0f} %",
        ),
    ]


def _chart(
    key: str,
    title: str,
    says: str,
    axis: Axis,
    chosen: Sequence[Compared],
    by_age: Callable[[Compared], NDArray[np.float64]],
    write_y: Callable[[float], str],
) -> Chart:
    oldest = max((one.age for one in chosen), default=WEEK)
    return Chart(
        key=key,
        title=title,
        says=says,
        x_axis=Axis(_("day")),
        y_axis=axis,
        x_end=max(WEEK, WEEK * -(-oldest // WEEK)),
        x_step=WEEK,
        series=tuple(
            line
            for number, one in enumerate(chosen, 1)
            if (line := _line(one, number, by_age(one))).x
        ),
        write_x=lambda age: f"{age:g}",
        write_y=write_y,
    )


def _line(one: Compared, number: int, values: NDArray[np.float64]) -> Line:
    ages = [age for age in range(one.age + 1) if not np.isnan(values[age])]
    return Line(
        one.batch.name,
        f"line-{number}",
        ages,
        [float(values[age]) for age in ages],
    )
