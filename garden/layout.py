"""Where on the map a new bed goes when nobody says: side by side in rows, with paths between.

PURE. Metres, east and south of the map's corner.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

Point = tuple[float, float]

PATH_M = 0.6
"""Path between two beds [m]: wide enough for a person who carries one end of a pen. Our choice."""

ROW_M = 8.0
"""Length at which a row of beds ends and the next begins [m]. Our choice: it draws well on a phone."""


@dataclass(frozen=True, slots=True)
class Plot:
    """A rectangle of ground from its north-west corner. [m]"""

    x_m: float
    y_m: float
    east_m: float
    south_m: float

    @property
    def right_m(self) -> float:
        """East edge. [m]"""
        return self.x_m + self.east_m

    @property
    def bottom_m(self) -> float:
        """South edge. [m]"""
        return self.y_m + self.south_m

    def overlaps(self, other: "Plot") -> bool:
        """Whether both cover some of the same ground; a shared edge is none."""
        return (
            self.x_m < other.right_m
            and other.x_m < self.right_m
            and self.y_m < other.bottom_m
            and other.y_m < self.bottom_m
        )


def turned(point: Point, about: Point, degrees: float) -> Point:
    """Return a point turned clockwise about another, in any unit; east and south are positive."""
    angle = radians(degrees)
    east, south = point[0] - about[0], point[1] - about[1]
    return (
        about[0] + east * cos(angle) - south * sin(angle),
        about[1] + east * sin(angle) + south * cos(angle),
    )


def turned_plot(plot: Plot, degrees: float) -> Plot:
    """Return the smallest upright rectangle round a plot turned about its middle."""
    if not degrees:
        return plot
    across, along = abs(cos(radians(degrees))), abs(sin(radians(degrees)))
    east_m = plot.east_m * across + plot.south_m * along
    south_m = plot.east_m * along + plot.south_m * across
    return Plot(
        plot.x_m + (plot.east_m - east_m) / 2,
        plot.y_m + (plot.south_m - south_m) / 2,
        east_m,
        south_m,
    )


def next_plot(taken: Sequence[Plot], east_m: float, south_m: float) -> Plot:
    """Return a free plot for one more bed.

    Parameters
    ----------
    taken : sequence of Plot
        The beds there are, the newest last.
    east_m, south_m : float
        Size of the new bed on the map, greater than 0. [m]

    Returns
    -------
    Plot
        East of the newest bed with a path between, unless the row is full or the ground is taken:
        then at the start of a new row, south of every bed.
    """
    if not taken:
        return Plot(0.0, 0.0, east_m, south_m)
    newest = taken[-1]
    beside = Plot(round(newest.right_m + PATH_M, 3), newest.y_m, east_m, south_m)
    if beside.right_m <= ROW_M and not any(beside.overlaps(plot) for plot in taken):
        return beside
    below_m = max(plot.bottom_m for plot in taken) + PATH_M
    return Plot(0.0, round(below_m, 3), east_m, south_m)
