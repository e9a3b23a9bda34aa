"""What a pen is before it is built: what was chosen for it, its pieces, doors, wire and cover.

PURE. Whole millimetres. x runs along the pen's length from 0 to `length_mm`, y across it from 0 to
`width_mm`, z up from the soil. The front wall lies in y = 0, the back in y = width, the left end in
x = 0, the right end in x = length.
"""

from dataclasses import dataclass
from math import radians, tan
from typing import Literal

Point = tuple[float, float, float]
"""x, y, z. [mm]"""

Vector = tuple[float, float, float]
"""A direction of length 1."""

Face = Literal["front", "back", "left", "right", "roof", "skirt"]


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole to drill before screwing, with the screw that goes in.

    Attributes
    ----------
    at_mm : int
        Middle of the hole from the piece's start. [mm]
    side : {"across", "up"}
        Which way it goes through the piece.
    screw_mm : int
        Length of the screw. [mm]
    bit_mm : float
        Drill for it. [mm]
    """

    at_mm: int
    side: Literal["across", "up"]
    screw_mm: int
    bit_mm: float


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of wood in its place; pieces cut and drilled alike share a letter.

    Attributes
    ----------
    letter : str
        A, B, … in the order in which they are first used.
    name : str
        What the trade calls it.
    part : str
        ``base``, ``post``, ``top``, ``brace``, ``roof``, ``roost``, ``skid``, ``strap``,
        ``stop`` or ``door 1``, ``door 2`` …
    profile : str
        Key of the wood.
    length_mm : int
        Over all, to the tips of slanted ends. [mm]
    across_mm, up_mm : int
        The other two sizes as placed. [mm]
    start : Point
        The corner from which `along`, `across` and `up` lead. [mm]
    along, across, up : Vector
        Which way length, `across_mm` and `up_mm` run; at right angles to each other.
    cuts_deg : tuple of int
        How much each end is off square: 0 or 45. A slanted end is shorter on the `up` side.
    holes : tuple of Hole
    """

    letter: str
    name: str
    part: str
    profile: str
    length_mm: int
    across_mm: int
    up_mm: int
    start: Point
    along: Vector
    across: Vector
    up: Vector
    cuts_deg: tuple[int, int] = (0, 0)
    holes: tuple[Hole, ...] = ()

    @property
    def corners(self) -> tuple[Point, ...]:
        """The eight corners: four of the start, then four of the end; each low, across, both, up."""
        first = self.up_mm * tan(radians(self.cuts_deg[0]))
        last = self.length_mm - self.up_mm * tan(radians(self.cuts_deg[1]))
        return tuple(
            self._point(along_mm if up_mm else end_mm, across_mm, up_mm)
            for end_mm, along_mm in ((0.0, first), (float(self.length_mm), last))
            for across_mm, up_mm in (
                (0, 0),
                (self.across_mm, 0),
                (self.across_mm, self.up_mm),
                (0, self.up_mm),
            )
        )

    @property
    def middle(self) -> Point:
        """Where its weight acts. [mm]"""
        points = self.corners
        return tuple(sum(p[axis] for p in points) / 8 for axis in range(3))  # type: ignore[return-value]

    @property
    def low(self) -> Point:
        """The least x, y and z of it. [mm]"""
        return tuple(min(p[axis] for p in self.corners) for axis in range(3))  # type: ignore[return-value]

    @property
    def high(self) -> Point:
        """The greatest x, y and z of it. [mm]"""
        return tuple(max(p[axis] for p in self.corners) for axis in range(3))  # type: ignore[return-value]

    def _point(self, along_mm: float, across_mm: float, up_mm: float) -> Point:
        steps = ((along_mm, self.along), (across_mm, self.across), (up_mm, self.up))
        return tuple(  # type: ignore[return-value]
            round(self.start[axis] + sum(size * way[axis] for size, way in steps), 3)
            for axis in range(3)
        )


@dataclass(frozen=True, slots=True)
class CutLine:
    """Pieces that are cut and drilled alike: a line of the cut list."""

    letter: str
    name: str
    profile: str
    length_mm: int
    count: int
    cuts_deg: tuple[int, int]
    holes: tuple[Hole, ...]


@dataclass(frozen=True, slots=True)
class Opening:
    """A rectangle on a face of the pen.

    u runs along x on the front, back and roof, and along y on the ends; v runs along z on the
    walls and along y on the roof. [mm]
    """

    face: Face
    u0: int
    v0: int
    u1: int
    v1: int

    @property
    def width_mm(self) -> int:
        """Along u."""
        return self.u1 - self.u0

    @property
    def height_mm(self) -> int:
        """Along v."""
        return self.v1 - self.v0

    def holds(self, other: "Opening") -> bool:
        """Whether another rectangle of the same face lies within this one."""
        return (
            self.face == other.face
            and self.u0 <= other.u0
            and self.v0 <= other.v0
            and self.u1 >= other.u1
            and self.v1 >= other.v1
        )


@dataclass(frozen=True, slots=True)
class Sill:
    """A stretch of the pen's outer edge, on the plan, over which a hand goes in. [mm]"""

    x0: int
    y0: int
    x1: int
    y1: int


@dataclass(frozen=True, slots=True)
class Door:
    """A door: the hole in the frame, what closes it, and where one stands to use it.

    Attributes
    ----------
    number : int
        From 1; its pieces are of the part ``door 1``.
    opening : Opening
        Between the members around it.
    leaf : Opening
        The door's own frame: the opening less the gap on each side.
    hinge_side : {"u0", "u1", "v0", "v1"}
        Which edge of the opening the hinges are on.
    hinges_at_mm, latches_at_mm : tuple of int
        Along the hinge edge and the edge opposite, from its u0 or v0 end. [mm]
    sills : tuple of Sill
        Where a hand goes in.
    """

    number: int
    opening: Opening
    leaf: Opening
    hinge_side: Literal["u0", "u1", "v0", "v1"]
    hinges_at_mm: tuple[int, ...]
    latches_at_mm: tuple[int, ...]
    sills: tuple[Sill, ...]


@dataclass(frozen=True, slots=True)
class Reach:
    """How far the floor is from the doors' sills, on the plan.

    Attributes
    ----------
    worst_x_mm, worst_y_mm : int
        The point of the floor that is hardest to reach. [mm]
    worst_mm : float
        How far it is from the nearest sill. [mm]
    most_mm : float
        No point of the floor is farther than this: the worst found, and what a grid can miss. [mm]
    reach_mm : int
        How far the grower reaches. [mm]
    """

    worst_x_mm: int
    worst_y_mm: int
    worst_mm: float
    most_mm: float
    reach_mm: int

    @property
    def covered(self) -> bool:
        """Whether every point of the floor is within reach."""
        return self.most_mm <= self.reach_mm
