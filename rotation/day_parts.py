"""Which part of the day it is, by the garden's clock and its sun, and what that puts first.

PURE.
"""

from datetime import time, timedelta

from garden.sun import SunDay
from garden.words import gettext as _
from garden.words import mark
from rotation.chores import Chore, Part

MIDDAY_FROM = time(11)
EVENING_FROM = time(17)
"""Where the sun is not known. Our choice."""
EARLIEST_EVENING, LATEST_EVENING = time(14), time(20)
BEFORE_DUSK = timedelta(hours=2)
"""How long before sunset the evening's work begins. Our choice: time to carry, feed and shut up by daylight."""

BIRDS_NEED = ("feed", "water", "brooder")
"""Chores that wait for no part of the day, by the first part of their key."""


def part_at(clock: time, sun: SunDay | None) -> Part:
    """Return the part of the day that an hour of the garden's clock belongs to."""
    if clock >= _evening_from(sun):
        return Part.EVENING
    return Part.MIDDAY if clock >= MIDDAY_FROM else Part.MORNING


def _evening_from(sun: SunDay | None) -> time:
    dusk = sun.dusk_at if sun else None
    if dusk is None:
        return EVENING_FROM
    # Late in the far north the sun sets near midnight: work ends before.
    begins = (dusk - BEFORE_DUSK).time() if dusk.hour >= BEFORE_DUSK.seconds // 3600 else time(0)
    return min(max(begins, EARLIEST_EVENING), LATEST_EVENING)


def rank(chore: Chore, now: Part) -> int:
    """Return how soon a chore's turn comes in a part of the day; smaller is sooner.

    In the morning the chores keep the order of the day. Later the birds' needs come first, then what
    belongs to this part, then what was left over, then what is still to come.
    """
    if now is Part.MORNING or chore.key.partition(":")[0] in BIRDS_NEED:
        return 0
    if chore.part is now:
        return 1
    parts = list(Part)
    return 2 if parts.index(chore.part) < parts.index(now) else 3


LEFT_FROM = {
    Part.MORNING: mark("Left from the morning"),
    Part.MIDDAY: mark("Left from midday"),
}


def part_words(chore: Chore, now: Part) -> str:
    """Return a chore's part of the day as the rail says it, told from the part it is."""
    parts = list(Part)
    is_over = parts.index(chore.part) < parts.index(now)
    return _(LEFT_FROM[chore.part] if is_over else chore.part.value)
