"""The garden's frosts: days of the year on which the last spring frost and the first autumn one fall.

PURE. A day of the year is written ``MM-DD``, so that its texts sort as its days do. The time
between the two frosts may run across New Year, as it does south of the equator.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta

from garden.crops_reference import Frost
from garden.day_words import MONTHS, date_words, month_names
from garden.words import gettext as _
from garden.words import mark

NOT_A_DAY = mark("Write a day and a month, such as 20 April.")
NOT_EVERY_YEAR = mark("Give a day that every year has: 28 February or 1 March.")

_A_YEAR_WITH_ITS_29TH = 2028
_NUMBERS = re.compile(r"(?P<month>\d{1,2})-(?P<day>\d{1,2})")
_DAY_FIRST = re.compile(
    r"(?P<day>\d{1,2})(?:st|nd|rd|th)?\.?\s*(?:(?:of|de)\s+)?(?P<name>[^\W\d_]{3,10})\.?"
)
_MONTH_FIRST = re.compile(r"(?P<name>[^\W\d_]{3,10})\.?\s*(?P<day>\d{1,2})(?:st|nd|rd|th)?")


def read_month_day(text: str) -> str:
    """Return ``MM-DD`` for a day of the year as people write it.

    Parameters
    ----------
    text : str
        ``20 April``, ``April 20th``, ``20 Apr`` or ``04-20``. Figures alone are read month first and
        only with a dash, because 4/5 means one thing in Dublin and another in Denver.

    Raises
    ------
    ValueError
        `NOT_A_DAY`, or `NOT_EVERY_YEAR` for 29 February.
    """
    text = text.strip().lower()
    found = next(
        (m for form in (_NUMBERS, _DAY_FIRST, _MONTH_FIRST) if (m := form.fullmatch(text))), None
    )
    if found is None:
        raise ValueError(_(NOT_A_DAY))
    parts = found.groupdict()
    month = int(parts["month"]) if "month" in parts else _month_of(parts["name"])
    try:
        day = date(_A_YEAR_WITH_ITS_29TH, month, int(parts["day"]))
    except ValueError:
        raise ValueError(_(NOT_A_DAY)) from None
    if (day.month, day.day) == (2, 29):
        raise ValueError(_(NOT_EVERY_YEAR))
    return f"{day:%m-%d}"


def _month_of(name: str) -> int:
    """Return a month's number by its name or the beginning of it, the reader's or English; 0 for no month."""
    named = [(n, month) for months in (month_names(), MONTHS) for n, month in enumerate(months, 1)]
    return next((n for n, month in named if month.lower().startswith(name)), 0)


def month_day_words(month_day: str) -> str:
    """Write ``04-20`` as ``20 April``."""
    return date_words(date.fromisoformat(f"{_A_YEAR_WITH_ITS_29TH}-{month_day}"))


def next_on(month_day: str, on: date) -> date:
    """Return the first day from `on` that falls on a day of the year, `on` itself included."""
    month, day = (int(part) for part in month_day.split("-"))
    this_year = date(on.year, month, day)
    return this_year if this_year >= on else date(on.year + 1, month, day)


@dataclass(frozen=True, slots=True)
class Frosts:
    """A garden's average last frost of spring and first frost of autumn, each as ``MM-DD``."""

    last_spring: str
    first_autumn: str


EARLIEST_OUT_DAYS = {
    Frost.VERY_HARDY: -42,
    Frost.FROST_TOLERANT: -21,
    Frost.TENDER: 0,
    Frost.WARM_LOVING: 7,
}
"""Earliest planting, in days after the last spring frost: 6 weeks before it, 3 weeks before, on the
day, 1 week after. Published: Purdue Extension HO-203, as `crops_reference.Frost` tells it."""

LATEST_STANDING_DAYS = {
    Frost.VERY_HARDY: 60,
    Frost.FROST_TOLERANT: 30,
    Frost.TENDER: 0,
    Frost.WARM_LOVING: -7,
}
"""How long after the first autumn frost the last harvest may come [days]. From memory: very hardy
crops stand some two months of frosts, tolerant ones some weeks of light frost; warm-loving ones
stop growing about a week before it."""


@dataclass(frozen=True, slots=True)
class GrowingTime:
    """Days ``[first_day, end_day)`` on which a crop of some hardiness may stand."""

    first_day: date
    end_day: date


def growing_times(frosts: Frosts, hardiness: Frost, on: date) -> tuple[GrowingTime, GrowingTime]:
    """Return the growing time that holds a day or comes after it, and the one of the year after.

    Parameters
    ----------
    frosts : Frosts
        The garden's.
    hardiness : Frost
        How much cold the crop bears.
    on : date
        The day looked from.
    """
    times = []
    for year in range(on.year - 1, on.year + 4):
        spring = next_on(frosts.last_spring, date(year, 1, 1))
        autumn = next_on(frosts.first_autumn, spring + timedelta(days=1))
        time = GrowingTime(
            spring + timedelta(days=EARLIEST_OUT_DAYS[hardiness]),
            autumn + timedelta(days=LATEST_STANDING_DAYS[hardiness]),
        )
        if time.first_day < time.end_day and time.end_day > on:
            times.append(time)
    return times[0], times[1]
