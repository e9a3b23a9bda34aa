"""From when a planting may be picked after birds or raw manure, asked of the floors that know of birds.

This floor may not import them, so each registers what it knows when it starts, as with `garden.giving_up`.
"""

from collections.abc import Callable
from datetime import date

from garden.models import Garden, Planting

SafeDay = Callable[[Garden, Planting], date | None]
"""Takes a garden and a planting of it; gives the first day on which it may be picked, or None."""

_known_by: list[SafeDay] = []


def tells_safe_day(knows: SafeDay) -> SafeDay:
    """Register what a floor knows; usable as a decorator."""
    _known_by.append(knows)
    return knows


def safe_day(garden: Garden, planting: Planting) -> date | None:
    """Return the first day on which a planting may be picked; None where nothing has to be waited for."""
    days = (knows(garden, planting) for knows in _known_by)
    return max(filter(None, days), default=None)
