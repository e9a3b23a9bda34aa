"""Feeders and drinkers: how large for so many birds, and where they stand within reach of the doors.

PURE. Whole millimetres.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, pi

import numpy as np
from numpy.typing import NDArray

from garden.words import gettext as _
from garden.words import mark
from pens.design.choices import PenDesign
from pens.design.reach import Floor, distance_mm, distances_mm
from pens.design.values import Door, Sill

FEEDER_MM_PER_BIRD = 51.0
DRINKER_MM_PER_BIRD = 19.0
"""Edge of a feeder and of a drinker for each bird in weeks 5 to 8 [mm]: 2 in and 3/4 in. P. J. Clauer,
"Small scale poultry housing", Virginia Cooperative Extension and Penn State. Published."""

FEEDER, DRINKER = mark("Feeder"), mark("Drinker")

LEAST_MM, MOST_MM = 150, 400
"""Widths of a round feeder or drinker [mm]; more birds get several. Our choice."""

_TO_WALL_MM = 40
_BETWEEN_MM = 250
_STEP_MM = 25
"""Air to the framing, air between two of them where there is room, and the grid of places tried [mm]. Our
choices."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """A round feeder or drinker: where its middle stands, how wide it is, how far a hand is. [mm]

    `number` is 0 where there is one of its kind.
    """

    name: str
    number: int
    x_mm: int
    y_mm: int
    wide_mm: int
    distance_mm: float
    within_reach: bool

    @property
    def words(self) -> str:
        """What it is called, in the reader's language."""
        return f"{_(self.name)} {self.number}" if self.number else _(self.name)


def how_many_and_wide(birds: int, mm_per_bird: float) -> tuple[int, int]:
    """Return how many round ones so many birds need, and how wide each is.

    Parameters
    ----------
    birds : int
        0 where it is not said: one of the least width.
    mm_per_bird : float
        Edge for each bird. [mm]

    Returns
    -------
    tuple of int
        Number, and width of each. [mm]
    """
    edge_mm = birds * mm_per_bird
    count = max(1, ceil(edge_mm / (pi * MOST_MM) - 1e-9))
    return count, max(LEAST_MM, ceil(edge_mm / count / pi / 10) * 10)


def fittings_of(design: PenDesign, floor: Floor, doors: Sequence[Door]) -> tuple[Fitting, ...]:
    """Stand feeders by the first door and drinkers by the last, clear of the walls and of each other.

    Parameters
    ----------
    design : PenDesign
        For its birds and its reach.
    floor : tuple of float
        The floor's rectangle: x and y of its low corner, then of its high one. [mm]
    doors : sequence of Door
        At least one.

    Returns
    -------
    tuple of Fitting
        Feeders first. Where the floor is too small for all, they stand as far apart as it lets them.
    """
    sills = [sill for door in doors for sill in door.sills]
    placed: list[Fitting] = []
    for name, mm_per_bird, by in (
        (FEEDER, FEEDER_MM_PER_BIRD, list(doors)),
        (DRINKER, DRINKER_MM_PER_BIRD, list(doors)[::-1]),
    ):
        count, wide = how_many_and_wide(design.birds, mm_per_bird)
        for number in range(count):
            near = by[number % len(by)].sills
            x, y = _place(floor, wide, near, sills, design.reach_mm, placed)
            away = distance_mm(x, y, sills)
            own = 0 if count == 1 else number + 1
            placed.append(
                Fitting(name, own, round(x), round(y), wide, round(away), away <= design.reach_mm)
            )
    return tuple(placed)


def _place(
    floor: Floor,
    wide: int,
    near: Sequence[Sill],
    sills: Sequence[Sill],
    reach_mm: int,
    placed: Sequence[Fitting],
) -> tuple[float, float]:
    """Return the place within reach and apart from the others that is handiest at a door."""
    columns, rows = (_steps(floor[axis], floor[axis + 2], wide) for axis in (0, 1))
    grid = np.meshgrid(columns, rows)
    xs, ys = grid[0].ravel(), grid[1].ravel()
    apart = np.full(xs.shape, float(_BETWEEN_MM))
    for one in placed:
        air = np.hypot(xs - one.x_mm, ys - one.y_mm) - (wide + one.wide_mm) / 2
        np.minimum(apart, air, out=apart)
    beyond = np.maximum(0.0, distances_mm(xs, ys, sills) - reach_mm)
    off_middle = np.min(
        [np.hypot(xs - (s.x0 + s.x1) / 2, ys - (s.y0 + s.y1) / 2) for s in near], axis=0
    )
    best = np.lexsort((off_middle, beyond, -apart))[0]
    return float(xs[best]), float(ys[best])


def _steps(low: float, high: float, wide: int) -> NDArray[np.float64]:
    """Return places along a side that leave the wall free; the middle where there is no room."""
    first, last = low + wide / 2 + _TO_WALL_MM, high - wide / 2 - _TO_WALL_MM
    if last <= first:
        return np.array([(low + high) / 2])
    return np.linspace(first, last, max(2, round((last - first) / _STEP_MM) + 1))
