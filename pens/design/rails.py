"""Pieces of wood laid along the axes of a pen: the short way of saying where each one goes.

PURE.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import sqrt

from pens.design.lumber import Profile
from pens.design.values import CutLine, Hole, Piece, Point, Vector

X: Vector = (1.0, 0.0, 0.0)
Y: Vector = (0.0, 1.0, 0.0)
Z: Vector = (0.0, 0.0, 1.0)

SCREWS_MM = (32, 41, 51, 64, 76, 102, 127)
"""Lengths of wood screws on sale [mm]: 1 1/4, 1 5/8, 2, 2 1/2, 3, 4 and 5 in. From memory."""

LEAST_HOLD_MM = 19
"""What a screw must go into the second piece, and into end grain twice that [mm]. From memory."""

SLIM_BIT_MM, BIT_MM = 2.5, 3.0
"""Drill for screws up to 51 mm, and for longer ones, in soft wood [mm]. From memory."""


@dataclass(frozen=True, slots=True)
class Wood:
    """A section turned one way: what it measures `across` and `up`. [mm]"""

    profile: str
    across_mm: int
    up_mm: int

    @classmethod
    def on_edge(cls, profile: Profile) -> "Wood":
        """Its thin side across, its wide side up."""
        return cls(profile.key, profile.thickness_mm, profile.width_mm)

    @classmethod
    def flat(cls, profile: Profile) -> "Wood":
        """Its wide side across, its thin side up."""
        return cls(profile.key, profile.width_mm, profile.thickness_mm)

    def lay(
        self,
        name: str,
        part: str,
        length_mm: int,
        start: Point,
        along: Vector = X,
        across: Vector = Y,
        up: Vector = Z,
        cuts_deg: tuple[int, int] = (0, 0),
        holes: Iterable[Hole] = (),
    ) -> Piece:
        """Return a piece in its place, without a letter yet."""
        return Piece(
            "", name, part, self.profile, length_mm, self.across_mm, self.up_mm,
            tuple(float(value) for value in start),  # type: ignore[arg-type]
            along, across, up, cuts_deg, tuple(sorted(holes, key=lambda hole: hole.at_mm)),
        )  # fmt: skip


def screw_for(through_mm: int, into_mm: int, *, end_grain: bool = False) -> tuple[int, float]:
    """Return the screw that holds a piece to another, and its drill.

    Parameters
    ----------
    through_mm : int
        Thickness of the piece that is drilled. [mm]
    into_mm : int
        Depth of the piece behind it; the screw's point stays 3 mm within. [mm]
    end_grain : bool
        Whether the screw goes along the grain of the second piece, where it holds half as well.

    Returns
    -------
    tuple of int and float
        Length of the screw and of the drill. [mm]
    """
    wish_mm = through_mm + LEAST_HOLD_MM * (2 if end_grain else 1)
    most_mm = through_mm + into_mm - 3
    fitting = [length for length in SCREWS_MM if length <= most_mm] or [SCREWS_MM[0]]
    length = next((length for length in fitting if length >= wish_mm), fitting[-1])
    return length, SLIM_BIT_MM if length <= SCREWS_MM[2] else BIT_MM


def hole(at_mm: int, side: str, through_mm: int, into_mm: int, *, end_grain: bool = False) -> Hole:
    """Return a hole for the screw that fits; see `screw_for`."""
    screw_mm, bit_mm = screw_for(through_mm, into_mm, end_grain=end_grain)
    return Hole(at_mm, side, screw_mm, bit_mm)  # type: ignore[arg-type]


def evenly(length_mm: int, every_mm: int, edge_mm: int = 40) -> list[int]:
    """Return places along a piece, at most `every_mm` apart, the outer ones near its ends."""
    if length_mm <= 3 * edge_mm:
        return [length_mm // 2]
    stretch = length_mm - 2 * edge_mm
    gaps = max(1, -(-stretch // every_mm))
    return [edge_mm + round(number * stretch / gaps) for number in range(gaps + 1)]


def slanted(one: Vector, other: Vector) -> Vector:
    """Return the direction half-way between two that are at right angles."""
    return tuple((a + b) / sqrt(2) for a, b in zip(one, other, strict=True))  # type: ignore[return-value]


def lettered(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """Give every piece its letter: alike in name, wood, length, ends and holes, alike in letter."""
    letters: dict[tuple, str] = {}
    named = []
    for piece in pieces:
        letter = letters.setdefault(_kind(piece), letter_of(len(letters)))
        named.append(replace(piece, letter=letter))
    return tuple(named)


def cut_lines(pieces: Iterable[Piece]) -> tuple[CutLine, ...]:
    """Count the pieces of each letter, in the order of the letters."""
    counts: dict[tuple, int] = {}
    for piece in pieces:
        key = (piece.letter, *_kind(piece))
        counts[key] = counts.get(key, 0) + 1
    return tuple(
        CutLine(letter, name, profile, length_mm, count, cuts_deg, holes)
        for (letter, name, profile, length_mm, cuts_deg, holes), count in counts.items()
    )


def letter_of(number: int) -> str:
    """Return A to Z for 0 to 25, then A2 to Z2 and on."""
    again, place = divmod(number, 26)
    return chr(ord("A") + place) + (str(again + 1) if again else "")


def _kind(piece: Piece) -> tuple:
    return piece.name, piece.profile, piece.length_mm, piece.cuts_deg, piece.holes
