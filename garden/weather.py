"""What weather a garden reckons with on a day: what was entered, and the month's usual where nothing was.

One query for the days and one for the months, whatever is asked.
"""

from collections.abc import Iterable
from datetime import date, timedelta

from garden.models import DayWeather, Garden, MonthWeather
from garden.weather_values import Weather


def weather_of(garden: Garden, first_day: date, days: int) -> list[Weather]:
    """Return the weather of so many days from `first_day`; two queries."""
    end_day = first_day + timedelta(days=days)
    entered = garden.day_weather.between(first_day, end_day)
    return weather_between(first_day, days, entered, garden.month_weather.all())


def weather_between(
    first_day: date, days: int, entered: Iterable[DayWeather], usual: Iterable[MonthWeather]
) -> list[Weather]:
    """Return the weather of so many days from rows that were read already."""
    by_day = {row.on: row for row in entered}
    by_month = {row.month: row for row in usual}
    wanted = [first_day + timedelta(days=n) for n in range(days)]
    return [_weather(on, by_day.get(on), by_month.get(on.month)) for on in wanted]


def _weather(on: date, day: DayWeather | None, month: MonthWeather | None) -> Weather:
    if day is None and month is None:
        return Weather(on)
    if day is None or (day.low_c is None and day.high_c is None and month is not None):
        return Weather(
            on,
            low_c=month.low_c,
            high_c=month.high_c,
            humidity_percent=day.humidity_percent if day else None,
            gust_m_s=day.gust_m_s if day else None,
            is_usual=True,
        )
    return Weather(on, day.low_c, day.high_c, day.humidity_percent, day.gust_m_s)
