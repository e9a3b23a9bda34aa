"""Bodies in space, and how they look from a side or aslant.

PURE. Millimetres; x runs along the pen from its left end, y from its front to its back, z up from the soil.
A view turns a point into two coordinates on paper (right, up) and says how near it is to the eye.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import sqrt

from pens.drawings.shapes import Point

Place = tuple[float, float, float]

_FACES = ((0, 1, 2, 3), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7))
"""Corners of each side of a body: its two ends, and the four sides between them."""


@dataclass(frozen=True)
class Solid:
    """A straight piece by the four corners of one end, in turn, and the four of the other."""

    corners: tuple[Place, ...]
    letter: str = ""
    kind: str = "timber"

    @classmethod
    def block(cls, low: Place, high: Place, letter: str = "", kind: str = "timber") -> "Solid":
        """Return a body that lies along the pen's own directions."""
        (x0, y0, z0), (x1, y1, z1) = low, high
        ends = (((x, y0, z0), (x, y1, z0), (x, y1, z1), (x, y0, z1)) for x in (x0, x1))
        return cls(tuple(corner for end in ends for corner in end), letter, kind)

    @cached_property
    def low(self) -> Place:
        """The near corner of the block round it."""
        return tuple(min(corner[axis] for corner in self.corners) for axis in range(3))

    @cached_property
    def high(self) -> Place:
        """The far corner of the block round it."""
        return tuple(max(corner[axis] for corner in self.corners) for axis in range(3))

    @cached_property
    def middle(self) -> Place:
        """Its middle."""
        return _mean(self.corners)

    def moved(self, by: Place) -> "Solid":
        """Return it somewhere else."""
        there = [
            tuple(at + step for at, step in zip(corner, by, strict=True)) for corner in self.corners
        ]
        return Solid(tuple(there), self.letter, self.kind)


@dataclass(frozen=True)
class View:
    """How a point is drawn: right and up on paper, and how near it is to the eye."""

    right: Place
    up: Place
    near: Place

    def flat(self, place: Place) -> Point:
        """Return a point on paper, y running down [mm]."""
        return _dot(self.right, place), -_dot(self.up, place)

    def nearness(self, place: Place) -> float:
        """Return how near to the eye a point is; larger is nearer."""
        return _dot(self.near, place)

    def hull(self, solid: Solid) -> tuple[Point, ...]:
        """Return the outline of a body on paper."""
        return _hull([self.flat(corner) for corner in solid.corners])

    def sides(self, solid: Solid) -> list[tuple[Point, ...]]:
        """Return the sides of a body that face the eye, on paper."""
        faces = []
        for face in _FACES:
            corners = [solid.corners[number] for number in face]
            flat = [self.flat(corner) for corner in corners]
            out = _minus(_mean(corners), solid.middle)
            if _dot(out, self.near) > 1e-6 and abs(_area(flat)) > 1e-3:
                faces.append(tuple(flat))
        return faces


_A, _B = 1 / sqrt(2), 1 / sqrt(6)
FROM_ABOVE = View((1, 0, 0), (0, 1, 0), (0, 0, 1))
FROM_THE_FRONT = View((1, 0, 0), (0, 0, 1), (0, -1, 0))
FROM_THE_BACK = View((-1, 0, 0), (0, 0, 1), (0, 1, 0))
FROM_THE_RIGHT = View((0, 1, 0), (0, 0, 1), (1, 0, 0))
FROM_THE_LEFT = View((0, -1, 0), (0, 0, 1), (-1, 0, 0))
ASLANT = View((_A, -_A, 0), (_B, _B, 2 * _B), (-1, -1, 1))
"""Isometric, from above the front left corner: all three directions are shortened alike."""


def far_first(solids: Sequence[Solid], view: View) -> list[Solid]:
    """Order bodies so that each is drawn before what hides it.

    Of two bodies, one that lies wholly on the far side of the other, along one of the three directions that
    the eye looks along, is drawn first. Bodies that pass into one another go by their middles.
    """
    ahead = sorted(solids, key=lambda solid: view.nearness(solid.middle))
    hidden_by: dict[int, set[int]] = {number: set() for number in range(len(ahead))}
    for one, first in enumerate(ahead):
        for two in range(one + 1, len(ahead)):
            order = _which_hides(first, ahead[two], view)
            if order > 0:
                hidden_by[two].add(one)
            elif order < 0:
                hidden_by[one].add(two)
    return [ahead[number] for number in _in_turn(hidden_by)]


def _which_hides(first: Solid, second: Solid, view: View) -> int:
    """Return 1 where the second may hide the first, -1 the other way round, 0 where neither can."""
    orders = set()
    for axis, towards in enumerate(view.near):
        sense = 1 if towards > 0 else -1
        if towards and first.high[axis] <= second.low[axis] + 1e-6:
            orders.add(sense)
        elif towards and second.high[axis] <= first.low[axis] + 1e-6:
            orders.add(-sense)
    # Parted both ways round by two planes, neither can lie before the other.
    return orders.pop() if len(orders) == 1 else 0


def _in_turn(after: dict[int, set[int]]) -> list[int]:
    """Return the numbers so that each follows those it comes after; a ring is cut at its first."""
    waiting, done = dict(after), []
    drawn: set[int] = set()
    while waiting:
        free = next((number for number, before in waiting.items() if before <= drawn), None)
        number = next(iter(waiting)) if free is None else free
        del waiting[number]
        done.append(number)
        drawn.add(number)
    return done


def _dot(one: Place, other: Place) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def _minus(one: Place, other: Place) -> Place:
    return tuple(a - b for a, b in zip(one, other, strict=True))


def _mean(places: Sequence[Place]) -> Place:
    return tuple(sum(place[axis] for place in places) / len(places) for axis in range(3))


def _area(points: Sequence[Point]) -> float:
    around = zip(points, [*points[1:], points[0]], strict=True)
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in around) / 2


def _hull(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the convex outline of some points, by the monotone chain."""
    ordered = sorted({(round(x, 3), round(y, 3)) for x, y in points})
    if len(ordered) < 3:
        return tuple(ordered)
    return tuple(_half(ordered)[:-1] + _half(ordered[::-1])[:-1])


def _half(ordered: Sequence[Point]) -> list[Point]:
    chain: list[Point] = []
    for point in ordered:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(start: Point, middle: Point, end: Point) -> float:
    return (middle[0] - start[0]) * (end[1] - start[1]) - (middle[1] - start[1]) * (
        end[0] - start[0]
    )
