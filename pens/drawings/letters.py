"""A letter at each piece: on it where there is room, else aside with a line to it.

PURE. Letters never lie on one another or on other words: places round a piece are tried from near to far
until one is free, and the sheet grows with them.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from pens.drawings.shapes import Box, Disc, Outline, Point, Shape, Words, text_width

RADIUS = 9.0
"""Of the spot under a letter, in units of the picture."""

SIZE = 13.0
_WAYS = 16
_RINGS = range(1, 60)
_RING = 7.0


@dataclass(frozen=True, slots=True)
class Mark:
    """A letter and the places on paper it may stand for, the best first; `kind` is its ground's class."""

    letter: str
    at: tuple[Point, ...]
    kind: str = "spot"

    @property
    def radius(self) -> float:
        """Of its ground: wider for A2 and A10."""
        return max(RADIUS, text_width(self.letter, SIZE) / 2 + 2)


def lettered(marks: Iterable[Mark], taken: Sequence[Box] = ()) -> list[Shape]:
    """Place letters clear of each other.

    Parameters
    ----------
    marks : iterable of Mark
        In the order in which they choose.
    taken : sequence of Box
        Where nothing may stand: words that are there already.

    Returns
    -------
    list of Shape
        Lines to the pieces first, so that no line crosses a letter's ground on top.
    """
    boxes = list(taken)
    lines: list[Shape] = []
    spots: list[Shape] = []
    for mark in marks:
        piece, place = _free_place(mark, boxes)
        boxes.append(_room(place, mark.radius))
        if place != piece:
            lines.append(Outline((piece, place), "leader", is_open=True))
            lines.append(Disc(*piece, 2.0, "leader-end"))
        spots.append(Disc(*place, mark.radius, mark.kind))
        spots.append(Words(place[0], place[1] + SIZE * 0.35, mark.letter, "letter", SIZE))
    return lines + spots


def _free_place(mark: Mark, boxes: Sequence[Box]) -> tuple[Point, Point]:
    """Return the point on the piece, and the nearest place for its letter that is free."""
    for piece in mark.at:
        if _is_free(piece, mark.radius, boxes):
            return piece, piece
    for ring in _RINGS:
        for piece in mark.at:
            for place in _round(piece, mark.radius + ring * _RING):
                if _is_free(place, mark.radius, boxes):
                    return piece, place
    raise ValueError("There is no room for another letter.")


def _round(middle: Point, radius: float) -> Iterator[Point]:
    for way in range(_WAYS):
        angle = 2 * pi * way / _WAYS - pi / 4
        yield (
            round(middle[0] + radius * cos(angle), 1),
            round(middle[1] + radius * sin(angle), 1),
        )


def _is_free(place: Point, radius: float, boxes: Sequence[Box]) -> bool:
    room = _room(place, radius)
    return not any(room.touches(box, 1.5) for box in boxes)


def _room(place: Point, radius: float) -> Box:
    x, y = place
    return Box(x - radius, y - radius, x + radius, y + radius)
