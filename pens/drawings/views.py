"""The pen from above, from each side and from the end, to scale with its lengths and a tape beneath.

PURE.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from garden.units import System
from garden.words import local_mark
from pens.design.values import Piece
from pens.drawings.dimensions import Span, below, beside
from pens.drawings.letters import Mark, lettered
from pens.drawings.shapes import (
    Box,
    Disc,
    Outline,
    Point,
    Shape,
    Sheet,
    Words,
    box_of,
    frame_of,
    length_words,
    reach_of,
)
from pens.drawings.solids import Solid, View, far_first

MOST_WIDE, MOST_HIGH = 330.0, 300.0
"""Room for the pen itself on a sheet some 400 wide. Our choice."""

SHORTEST_TOLD_MM = 60
"""A length below this is the wood's own thickness, which the cut list tells. Our choice."""

_TAPE_MM = {
    "metric": (100.0, 200.0, 500.0, 1000.0, 2000.0),
    "us": (152.4, 304.8, 609.6, 1219.2, 2438.4),
}
"""Steps that a tape is labelled in: the first that gives six labels at most. Our choice."""


@dataclass(frozen=True)
class Scene:
    """Pieces of a pen seen from one side, at a scale."""

    view: View
    solids: tuple[Solid, ...]
    scale: float

    @classmethod
    def of(cls, solids: Sequence[Solid], view: View) -> "Scene":
        """See pieces as large as a sheet allows."""
        whole = box_of(point for solid in solids for point in view.hull(solid))
        width, height = whole.right - whole.left, whole.bottom - whole.top
        scale = min(MOST_WIDE / width, MOST_HIGH / max(height, 1.0))
        return cls(view, tuple(solids), scale)

    @property
    def mm_per_unit(self) -> float:
        """What a unit of the picture is on the pen [mm]."""
        return 1 / self.scale

    def at(self, place: tuple[float, float, float]) -> Point:
        """Return where a point of the pen is drawn."""
        x, y = self.view.flat(place)
        return x * self.scale, y * self.scale

    def outlines(self) -> list[Shape]:
        """Draw every piece, what is nearer over what is farther."""
        drawn: list[Shape] = []
        for solid in far_first(self.solids, self.view):
            points = [(x * self.scale, y * self.scale) for x, y in self.view.hull(solid)]
            drawn.append(Outline(tuple(points), solid.kind))
        return drawn

    def bodies(self) -> list[Shape]:
        """Draw every piece with the three sides that show."""
        return [
            Outline(tuple((x * self.scale, y * self.scale) for x, y in side), solid.kind)
            for solid in far_first(self.solids, self.view)
            for side in self.view.sides(solid)
        ]

    def marks(self, solids: Iterable[Solid]) -> list[Mark]:
        """Offer places for the letters of some pieces: the middle, then nearer to the ends."""
        marks = []
        for solid in solids:
            start = _mean([self.at(corner) for corner in solid.corners[:4]])
            end = _mean([self.at(corner) for corner in solid.corners[4:]])
            places = [_between(start, end, share) for share in (0.5, 0.3, 0.7, 0.15, 0.85)]
            marks.append(Mark(solid.letter, tuple(dict.fromkeys(places))))
        return marks


def solid_of(piece: Piece, kind: str = "timber") -> Solid:
    """Return a piece of wood as a body to draw."""
    return Solid(piece.corners, piece.letter, kind)


def one_of_each(solids: Iterable[Solid]) -> list[Solid]:
    """Keep the first piece of each letter."""
    return list({solid.letter: solid for solid in reversed(list(solids))}.values())[::-1]


def chain(edges: Iterable[tuple[float, float]], scale: float, system: System) -> list[Span]:
    """Return the clear lengths between neighbours along a side, thin ones left out.

    Parameters
    ----------
    edges : iterable of (float, float)
        From where to where each piece reaches [mm]; those that overlap count as one.
    scale : float
        Units of the picture for each millimetre; negative where the picture runs the other way.
    system : {"metric", "us"}
        Units of the words.
    """
    merged: list[list[float]] = []
    for start, end in sorted(edges):
        if merged and start <= merged[-1][1]:
            merged[-1][1] = max(merged[-1][1], end)
        else:
            merged.append([start, end])
    return [
        span(left_end, right_start, scale, system)
        for (_, left_end), (right_start, _) in pairwise(merged)
        if right_start - left_end >= SHORTEST_TOLD_MM
    ]


def span(start_mm: float, end_mm: float, scale: float, system: System) -> Span:
    """Return one length for a drawing."""
    start, end = sorted((start_mm * scale, end_mm * scale))
    return Span(round(start, 2), round(end, 2), length_words(abs(end_mm - start_mm), system))


def tape(left: float, length_mm: float, scale: float, top: float, system: System) -> list[Shape]:
    """Draw a tape along a drawing: the bar that tells its scale."""
    width, height = length_mm * scale, 12.0
    corners = ((left, top), (left + width, top), (left + width, top + height), (left, top + height))
    shapes: list[Shape] = [Outline(corners, "ruler")]
    step_mm = next((step for step in _TAPE_MM[system] if length_mm / step <= 6), length_mm)
    for number in range(1, int(length_mm * 5 / step_mm - 0.01) + 1):
        x, is_whole = left + number * step_mm / 5 * scale, number % 5 == 0
        foot = top + (height if is_whole else height / 2)
        shapes.append(Outline(((x, top), (x, foot)), "ruler-tick", is_open=True))
        if is_whole:
            label = _tape_label(number // 5 * step_mm, system)
            shapes.append(Words(x, top + height + 13, label, "tape-word", 12))
    return shapes


def finished(
    title: str,
    told: str,
    scene: Scene,
    shapes: Sequence[Shape],
    letters: Sequence[Mark] = (),
    system: System = "metric",
) -> Sheet:
    """Put the letters in, the tape beneath, and a frame round it all."""
    taken = [shape.box for shape in shapes if isinstance(shape, Words)]
    taken += [reach_of([shape], 1) for shape in shapes if isinstance(shape, Disc)]
    all_shapes = [*shapes, *lettered(letters, taken)]
    reach = reach_of(all_shapes, 0)
    drawn = box_of(
        (x * scene.scale, y * scene.scale)
        for solid in scene.solids
        for x, y in scene.view.hull(solid)
    )
    length_mm = (drawn.right - drawn.left) / scene.scale
    ruler = tape(drawn.left, length_mm, scene.scale, reach.bottom + 10, system)
    all_shapes += ruler
    return Sheet(title, told, tuple(all_shapes), frame_of(all_shapes), scene.mm_per_unit)


def dimensioned(drawn: Box, along: Sequence[Span], up: Sequence[Span]) -> list[Shape]:
    """Draw lengths under a drawing and to its left."""
    under = below(along, drawn)
    # Short lengths have wide words: what hangs out on the left below keeps those beside it away.
    hangs_out = max(0.0, drawn.left - reach_of(under, 2).left)
    return under + beside(up, drawn, hangs_out)


def _tape_label(at_mm: float, system: System) -> str:
    return local_mark(f"{at_mm / 1000:g} m" if system == "metric" else f"{at_mm / 304.8:g} ft")


def _between(start: Point, end: Point, share: float) -> Point:
    return (
        round(start[0] + (end[0] - start[0]) * share, 1),
        round(start[1] + (end[1] - start[1]) * share, 1),
    )


def _mean(points: Sequence[Point]) -> Point:
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
