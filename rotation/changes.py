"""What differs between two plans, in sentences a grower can act on.

PURE. A plan is given as what each pen does on each day, already in words.
"""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import groupby

from garden.day_words import day_words
from garden.words import gettext as _

MOST_SENTENCES = 12
"""Differences told before the rest is only counted; more would not be read. Our choice."""

Doings = Mapping[tuple[str, date], str]
"""Pen and day -> where it stands, such as ``Bed 4, place 2``."""


def sentences(was: Doings, now: Doings) -> list[str]:
    """Return one sentence for each run of days on which a pen is told something else.

    Days that only one of the plans speaks of are left out: a plan that reaches further is no change.
    """
    said = [
        _("{pen}, {days}: {to} instead of {before}").format(
            pen=pen, days=_span(days), to=to, before=before
        )
        for pen in sorted({pen for pen, _day in now})
        for (before, to), days in _changed(pen, was, now)
    ]
    surplus = len(said) - MOST_SENTENCES
    more = _("and {n} more changes").format(n=surplus)
    return said if surplus <= 0 else [*said[:MOST_SENTENCES], more]


def _changed(pen: str, was: Doings, now: Doings) -> Iterator[tuple[tuple[str, str], list[date]]]:
    days = sorted(day for name, day in now if name == pen and (pen, day) in was)

    def key(numbered: tuple[int, date]) -> tuple[str, str, date]:
        place, day = numbered
        # Consecutive days have the same day less their place in the list, so a gap begins a new group.
        return was[pen, day], now[pen, day], day - timedelta(days=place)

    differing = [day for day in days if was[pen, day] != now[pen, day]]
    for (before, to, _run), group in groupby(enumerate(differing), key=key):
        yield (before, to), [day for _place, day in group]


def _span(days: list[date]) -> str:
    first, last = day_words(days[0]), day_words(days[-1])
    return first if first == last else _("{first_day} to {last}").format(first_day=first, last=last)
