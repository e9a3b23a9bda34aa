"""Whether a hand comes to every point of the floor, and to which it comes last.

PURE. A grower stands outside and reaches in over a sill: the stretch of the pen's outer edge that a
door leaves open. The distance is taken on the plan, from the sill to the point on the floor.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pens.design.values import Reach, Sill

_FIRST_CELLS_MM = 40
_FINE_ENOUGH_MM = 0.5
"""Squares the floor is first cut into, and how well the worst point is known in the end. [mm]"""

Floor = tuple[float, float, float, float]
"""The floor's least x and y, and its greatest. [mm]"""


def distance_mm(x_mm: float, y_mm: float, sills: Sequence[Sill]) -> float:
    """Return how far a point is from the nearest sill, on the plan. [mm]"""
    return float(distances_mm(np.array([x_mm]), np.array([y_mm]), sills)[0])


def worst_reach(floor: Floor, sills: Sequence[Sill], reach_mm: int) -> Reach:
    """Find the point of a floor that is farthest from every sill.

    Parameters
    ----------
    floor : tuple of float
        The floor's rectangle: x and y of its low corner, then of its high one. [mm]
    sills : sequence of Sill
        Where hands go in; at least one.
    reach_mm : int
        How far the grower reaches. [mm]

    Returns
    -------
    Reach
        `worst_mm` is a distance that does occur; no point of the floor is beyond `most_mm`, which
        is at most half a millimetre more.

    Notes
    -----
    No distance grows faster than the point moves, so no point of a square is farther than its
    middle is, and half its diagonal. Squares that cannot hold the worst point are dropped, the
    others are cut in four.
    """
    xs, ys, half_x, half_y = _cells(floor)
    worst, at_x, at_y = -1.0, floor[0], floor[1]
    while True:
        found = distances_mm(xs, ys, sills)
        best = int(found.argmax())
        if found[best] > worst:
            worst, at_x, at_y = float(found[best]), float(xs[best]), float(ys[best])
        beyond = float(np.hypot(half_x, half_y))
        most = max(worst, float(found.max()) + beyond)
        if beyond <= _FINE_ENOUGH_MM or most <= worst + _FINE_ENOUGH_MM:
            return Reach(round(at_x), round(at_y), round(worst, 1), round(most, 1), reach_mm)
        kept = found + beyond > worst
        xs, ys = xs[kept], ys[kept]
        half_x, half_y = half_x / 2, half_y / 2
        steps = [(a * half_x, b * half_y) for a in (-1, 1) for b in (-1, 1)]
        xs = np.concatenate([xs + dx for dx, _ in steps])
        ys = np.concatenate([ys + dy for _, dy in steps])


def coarse_distances(floor: Floor, sill: Sill) -> NDArray[np.float64]:
    """Return how far the middles of the floor's first squares are from one sill. [mm]"""
    xs, ys, _, _ = _cells(floor)
    return distances_mm(xs, ys, [sill])


def _cells(floor: Floor) -> tuple[NDArray[np.float64], NDArray[np.float64], float, float]:
    x0, y0, x1, y1 = floor
    columns = max(1, round((x1 - x0) / _FIRST_CELLS_MM))
    rows = max(1, round((y1 - y0) / _FIRST_CELLS_MM))
    half_x, half_y = (x1 - x0) / columns / 2, (y1 - y0) / rows / 2
    xs, ys = np.meshgrid(
        x0 + half_x * (2 * np.arange(columns) + 1), y0 + half_y * (2 * np.arange(rows) + 1)
    )
    return xs.ravel(), ys.ravel(), half_x, half_y


def distances_mm(
    xs: NDArray[np.float64], ys: NDArray[np.float64], sills: Sequence[Sill]
) -> NDArray[np.float64]:
    """Return how far each point is from the nearest sill; sills run along x or along y. [mm]"""
    nearest = np.full(xs.shape, np.inf)
    for sill in sills:
        away_x = np.maximum(np.maximum(sill.x0 - xs, xs - sill.x1), 0.0)
        away_y = np.maximum(np.maximum(sill.y0 - ys, ys - sill.y1), 0.0)
        np.minimum(nearest, np.hypot(away_x, away_y), out=nearest)
    return nearest
