"""What was noted of a garden's day, read by one query, since Today may not spend three: marks and weather."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple

from django.db.models import (
    CharField,
    DateField,
    DateTimeField,
    F,
    FloatField,
    IntegerField,
    QuerySet,
    Value,
)
from django.db.models.functions import Cast

from garden.models import DayWeather, Garden, MonthWeather
from garden.weather import weather_between
from garden.weather_values import Weather
from rotation.models import ChoreMark

DAYS = 3
"""Days whose weather is looked at: today, tomorrow, and the night after."""


class Mark(NamedTuple):
    """What became of a task of the day, and who says so."""

    chore: str
    mark: str
    reason: str
    marked_by: str | None
    marked_at: datetime


class _Line(NamedTuple):
    chore: str | None
    mark: str | None
    reason: str | None
    by: str | None
    at: datetime | None
    on: date | None
    month: int | None
    low_c: float | None
    high_c: float | None
    humidity_percent: float | None
    gust_m_s: float | None


@dataclass(frozen=True, slots=True)
class DayNotes:
    """The day's marks, and the weather of the day and the two after it."""

    marks: list[Mark]
    weather: list[Weather]


def day_notes(garden: Garden, on: date) -> DayNotes:
    """Read what was noted of a day; one query."""
    marks = ChoreMark.objects.filter(garden=garden, on=on)
    days = garden.day_weather.between(on, on + timedelta(days=DAYS))
    # Marks come first: they give every column of the union its type.
    union = _marks(marks).union(_days(days), _months(garden.month_weather.all()), all=True)
    lines = [_Line._make(row) for row in union]
    return DayNotes(
        marks=[Mark(*line[:5]) for line in lines if line.chore],
        weather=weather_between(on, DAYS, _days_of(lines), _months_of(lines)),
    )


def _days_of(lines: Iterable[_Line]) -> list[DayWeather]:
    return [
        DayWeather(
            on=line.on,
            low_c=line.low_c,
            high_c=line.high_c,
            humidity_percent=line.humidity_percent,
            gust_m_s=line.gust_m_s,
        )
        for line in lines
        if line.on
    ]


def _months_of(lines: Iterable[_Line]) -> list[MonthWeather]:
    return [
        MonthWeather(month=line.month, low_c=line.low_c, high_c=line.high_c)
        for line in lines
        if line.month
    ]


_TEXT, _NUMBER = Value(None, CharField()), Value(None, FloatField())
_NOT_A_MARK = (_TEXT, _TEXT, _TEXT, _TEXT, Value(None, DateTimeField()))


def _marks(marks: QuerySet[ChoreMark]) -> QuerySet[Any]:
    """Return the marks; PostgreSQL must be told the kind of every column that they leave empty."""
    number = Cast(None, FloatField())
    return marks.order_by().values_list(
        "chore", "mark", "reason", "marked_by__username", "marked_at",
        Cast(None, DateField()), Cast(None, IntegerField()), number, number, number, number,
    )  # fmt: skip


def _days(days: QuerySet[DayWeather]) -> QuerySet[Any]:
    return days.order_by().values_list(
        *_NOT_A_MARK, "on", Value(None, IntegerField()),
        "low_c", "high_c", "humidity_percent", "gust_m_s",
    )  # fmt: skip


def _months(months: QuerySet[MonthWeather]) -> QuerySet[Any]:
    return months.order_by().values_list(
        *_NOT_A_MARK, Value(None, DateField()), F("month"), "low_c", "high_c", _NUMBER, _NUMBER
    )
