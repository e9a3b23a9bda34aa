"""A plan tried on many seasons: in how many do the birds keep to every bed's nitrogen.

PURE. A season is one way in which every flock may grow and eat. What a room may take is fixed; what is
dropped in it differs from season to season.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from math import ceil

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

NEARLY = 0.1
"""How much of its room a bed may get too much where a plan nearly holds [1]. Our choice: no grower weighs
droppings closer than that."""
TOLERANCE_G = 1e-6
"""By how much a room may be exceeded [g]: what floats lose in adding, as in the rotation engine."""


@dataclass(frozen=True)
class Room:
    """Nitrogen that some ground may take in some time, and what is dropped on it in each season."""

    bed: str
    """What the bed is called; it may have several rooms."""
    room_g: float
    days: tuple[date, ...]
    """Rising days on which something is dropped."""
    dropped_g: Array
    """(days, seasons) [g]."""


@dataclass(frozen=True)
class BedTried:
    """A bed that gets too much in some seasons."""

    bed: str
    broken: int
    """Seasons in which it gets too much."""
    first: int
    """Seasons in which it gets too much first, alone or with others on the same day."""
    over_g: float
    """How much too much in the middle one of those seasons [g]."""
    high_over_g: float
    """How much too much at most in 9 of 10 of them [g]; a single season at the end of the forecast's tail may
    be far beyond, and tells nothing."""
    on: date
    """Day from which it has too much in the middle one of those seasons."""


@dataclass(frozen=True)
class SeasonsTried:
    """In how many seasons a plan keeps to every room, and the beds that break it."""

    seasons: int
    held: int
    nearly: int
    """Seasons in which no room gets more than `NEARLY` too much, those that are held among them."""
    beds: tuple[BedTried, ...]
    """Those that are first to get too much in most seasons come first."""

    @property
    def per_hundred(self) -> int:
        """Seasons of a hundred in which it holds, rounded down: 199 of 200 is not all."""
        return 100 * self.held // self.seasons


def try_seasons(rooms: Iterable[Room], seasons: int) -> SeasonsTried:
    """Hold what is dropped in each season against every room.

    Parameters
    ----------
    rooms : iterable of Room
        With `seasons` columns each; a plan without any room holds in every season.
    seasons : int
        Above 0.

    Returns
    -------
    SeasonsTried
        A season is held where no room gets more than it may take.
    """
    rooms = sorted(rooms, key=lambda room: room.bed)
    by_bed = {bed: _tried(list(group)) for bed, group in groupby(rooms, lambda room: room.bed)}
    if not by_bed:
        return SeasonsTried(seasons, seasons, seasons, ())
    first_days = np.min([first_day for _, first_day in by_bed.values()], axis=0)
    beds = [
        _bed_tried(bed, over_g, first_day, first_days)
        for bed, (over_g, first_day) in by_bed.items()
        if (over_g > 0).any()
    ]
    return SeasonsTried(
        seasons=seasons,
        held=int(np.isinf(first_days).sum()),
        nearly=int(np.all([_nearly(room) for room in rooms], axis=0).sum()),
        beds=tuple(sorted(beds, key=lambda bed: (-bed.first, -bed.broken, bed.bed))),
    )


def _nearly(room: Room) -> NDArray[np.bool_]:
    return room.dropped_g.sum(axis=0) <= (1 + NEARLY) * room.room_g + TOLERANCE_G


def _tried(rooms: Sequence[Room]) -> tuple[Array, Array]:
    """Return by season how much too much a bed gets at most [g], and the day from which, or infinity."""
    over_g, first_day = [], []
    for room in rooms:
        running_g = np.cumsum(room.dropped_g, axis=0)
        over = running_g > room.room_g + TOLERANCE_G
        ordinals = np.array([day.toordinal() for day in room.days], dtype=float)
        first_day.append(np.where(over.any(axis=0), ordinals[over.argmax(axis=0)], np.inf))
        over_g.append(np.where(over.any(axis=0), running_g.max(axis=0) - room.room_g, 0.0))
    return np.max(over_g, axis=0), np.min(first_day, axis=0)


def _bed_tried(bed: str, over_g: Array, first_day: Array, first_days: Array) -> BedTried:
    broken = over_g > 0
    count = int(broken.sum())
    # The upper of two middle ones, so that it is a season that was tried.
    middle, high = count // 2, ceil(0.9 * count) - 1
    in_order_g = np.sort(over_g[broken])
    return BedTried(
        bed=bed,
        broken=count,
        first=int((broken & (first_day == first_days)).sum()),
        over_g=float(in_order_g[middle]),
        high_over_g=float(in_order_g[high]),
        on=date.fromordinal(int(np.sort(first_day[broken])[middle])),
    )
