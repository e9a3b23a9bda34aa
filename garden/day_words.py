"""Days as a reader says them.

PURE.
"""

from datetime import date

from garden.words import gettext as _
from garden.words import mark

_WEEKDAYS = (
    mark("Mon"), mark("Tue"), mark("Wed"), mark("Thu"), mark("Fri"), mark("Sat"), mark("Sun"),
)  # fmt: skip
MONTHS = (
    mark("January"), mark("February"), mark("March"), mark("April"), mark("May"), mark("June"), mark("July"),
    mark("August"), mark("September"), mark("October"), mark("November"), mark("December"),
)  # fmt: skip


def weekday_words(day: date) -> str:
    """Write a day's short name: Thu."""
    return _(_WEEKDAYS[day.weekday()])


def month_words(day: date) -> str:
    """Write the name of a day's month: June."""
    return _(MONTHS[day.month - 1])


def month_names() -> list[str]:
    """Return the names of the twelve months."""
    return [_(month) for month in MONTHS]


def date_words(day: date) -> str:
    """Write a day without its weekday: 12 June."""
    return _("{day} {month}").format(day=day.day, month=month_words(day))


def date_year_words(day: date) -> str:
    """Write a day of another year without its weekday: 12 June 2026."""
    return _("{day} {month} {year}").format(day=day.day, month=month_words(day), year=day.year)


def day_words(day: date) -> str:
    """Write a day near by: Thu 12 June."""
    return _("{weekday} {day} {month}").format(
        weekday=weekday_words(day), day=day.day, month=month_words(day)
    )


def day_year_words(day: date) -> str:
    """Write a day whose year is not plain: Thu 12 June 2026."""
    return _("{weekday} {day} {month} {year}").format(
        weekday=weekday_words(day), day=day.day, month=month_words(day), year=day.year
    )
