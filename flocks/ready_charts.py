"""The chart of what a day more costs and brings."""

from flocks.readiness import Readiness
from flocks.ready import daily_margins
from garden.charts import Axis, Band, Chart, Line
from garden.day_words import day_words
from garden.words import gettext as _

WEEK = 7


def day_cost_chart(asked: Readiness) -> Chart:
    """Return feed for each kilogram gained on each day, or its money where both prices are known."""
    days = asked.days
    ages = [day.age for day in days]
    if days and days[0].pays is not None:
        return _chart(
            asked,
            title=_("What a day more costs and brings"),
            says=_(
                "For one bird: the feed of a day, and what the gain of that day is worth dressed."
            ),
            unit=_("money"),
            series=(
                Line(_("Worth of the gain"), "line-1", ages, [float(day.worth) for day in days]),
                Line(_("Feed of the day"), "line-2", ages, [float(day.cost) for day in days]),
            ),
        )
    ratio = daily_margins(asked.paths).feed_per_gain
    low, high = (list(map(float, edge[ages[0] : ages[-1] + 1])) for edge in (ratio.low, ratio.high))
    return _chart(
        asked,
        title=_("Feed for the gain of each day"),
        says=_(
            "Feed eaten on a day over weight gained on that day: each day’s gain costs more than the last."
        ),
        unit="kg/kg",
        series=(
            Band(_("That day"), "band-1", ages, low, high),
            Line(_("Likeliest"), "line-1", ages, [day.feed_per_gain for day in days]),
        ),
    )


def _chart(asked: Readiness, *, title: str, says: str, unit: str, series: tuple) -> Chart:
    first = WEEK * (asked.days[0].age // WEEK)
    on_day = {day.age: day.on for day in asked.days}
    return Chart(
        key="day-cost",
        title=f"{title}, {asked.batch.name}",
        says=says,
        x_axis=Axis(_("day")),
        y_axis=Axis(unit),
        x_start=first,
        x_end=WEEK * -(-asked.days[-1].age // WEEK),
        x_step=WEEK,
        series=series,
        write_x=lambda age: f"{age:g}, {day_words(on_day[int(age)])}",
        write_y=lambda value: f"{value:.2f}",
        today=asked.batch.age_days(asked.on),
    )
