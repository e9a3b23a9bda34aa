"""Lengths beside a drawing, in lanes, so that no two of them ever touch.

PURE. A dimension takes as much of its lane as its line or its words need, whichever is more; it goes into the
first lane where that is free, short ones next to the drawing.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pens.drawings.shapes import Box, Outline, Shape, Words, text_width

LANE = 24
"""Depth of a lane of dimensions, in units of the picture: a line with its words above it."""

GAP = 8
"""Way from the drawing to its first lane."""

BETWEEN = 2
"""Least way between two dimensions of one lane: less than a post is wide on most drawings."""

BETWEEN_WORDS = 7
"""Least way between the words of two dimensions of one lane: 10 and 66 must not read as 1066."""

TICK = 4


@dataclass(frozen=True, slots=True)
class Span:
    """A length from one place to another along a side of the drawing, and what it says."""

    start: float
    end: float
    text: str

    @property
    def room(self) -> tuple[float, float]:
        """What it takes of its lane."""
        first, last = sorted((self.start, self.end))
        return min(first, self.words[0]), max(last, self.words[1])

    @property
    def words(self) -> tuple[float, float]:
        """What its words take of its lane."""
        middle, half = (self.start + self.end) / 2, text_width(self.text) / 2
        return middle - half, middle + half


def lanes_of(spans: Sequence[Span]) -> list[list[Span]]:
    """Share spans out to lanes, the shortest nearest to the drawing.

    Parameters
    ----------
    spans : sequence of Span
        In any order; one that is told twice is drawn once.

    Returns
    -------
    list of list of Span
        No two of a lane come nearer to each other than `BETWEEN`.
    """
    lanes: list[list[Span]] = []
    for span in sorted(dict.fromkeys(spans), key=lambda span: (span.end - span.start, span.start)):
        for lane in lanes:
            if all(_apart(span, other) for other in lane):
                lane.append(span)
                break
        else:
            lanes.append([span])
    return lanes


def below(spans: Sequence[Span], drawn: Box) -> list[Shape]:
    """Draw lengths that run to the right, under a drawing."""
    shapes: list[Shape] = []
    for number, lane in enumerate(lanes_of(spans), start=1):
        line_y = drawn.bottom + GAP + number * LANE - 4
        for span in lane:
            shapes += _line((span.start, line_y), (span.end, line_y))
            shapes += _feet(span, line_y, drawn.bottom)
            shapes.append(Words((span.start + span.end) / 2, line_y - 5, span.text))
    return shapes


def beside(spans: Sequence[Span], drawn: Box, away: float = 0.0) -> list[Shape]:
    """Draw lengths that run upwards, to the left of a drawing, their words turned along them.

    The first lane stands `away` from where it would usually be.
    """
    shapes: list[Shape] = []
    for number, lane in enumerate(lanes_of(spans), start=1):
        line_x = drawn.left - away - GAP - (number - 1) * LANE - 6
        for span in lane:
            shapes += _line((line_x, span.start), (line_x, span.end))
            shapes += [
                Outline(((drawn.left - 2, y), (line_x - TICK, y)), "witness", is_open=True)
                for y in (span.start, span.end)
            ]
            middle = (span.start + span.end) / 2
            shapes.append(Words(line_x - 5, middle, span.text, upright=True))
    return shapes


def _apart(one: Span, other: Span) -> bool:
    between = ((one.room, other.room, BETWEEN), (one.words, other.words, BETWEEN_WORDS))
    return all(
        end + least <= other_start or other_end + least <= start
        for (start, end), (other_start, other_end), least in between
    )


def _feet(span: Span, line_y: float, from_y: float) -> list[Shape]:
    """Draw the thin lines from the drawing down to a dimension."""
    return [
        Outline(((x, from_y + 2), (x, line_y + TICK)), "witness", is_open=True)
        for x in (span.start, span.end)
    ]


def _line(start: tuple[float, float], end: tuple[float, float]) -> list[Shape]:
    """Draw a dimension's line with a slanted stroke at each end, as builders do."""
    strokes = [
        Outline(((x - TICK, y + TICK), (x + TICK, y - TICK)), "dim-line", is_open=True)
        for x, y in (start, end)
    ]
    return [Outline((start, end), "dim-line", is_open=True), *strokes]
