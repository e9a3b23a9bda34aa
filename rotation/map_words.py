"""Words on a drawing: as large as the shape allows, turned where it is narrow, left out where not.

PURE. Everything is in the drawing's own units.
"""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

LARGEST, SMALLEST = 30, 23
"""Type sizes on a map 660 units wide: 30 is 16 px on a phone, and below 23 nobody reads in the sun.
Our choice, looked at."""

_DETAIL_SHARE = 0.84
_LINE_HEIGHT = 1.22
_LETTER, _WIDE_LETTER = 0.59, 1.05
"""Width of a letter over the type's size: the usual one of a bold sans, and a full-width one.
Measured in Chromium with its own sans; a little generous."""

_MARGIN = 7


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its upper left corner."""

    x: float
    y: float
    width: float
    height: float

    @property
    def middle(self) -> tuple[float, float]:
        """Return the centre."""
        return self.x + self.width / 2, self.y + self.height / 2

    def inset(self, margin: float) -> "Box":
        """Return the box made smaller on every side, never below nothing."""
        return Box(
            self.x + margin,
            self.y + margin,
            max(0.0, self.width - 2 * margin),
            max(0.0, self.height - 2 * margin),
        )


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text, centred on its label; `y` is its base line."""

    text: str
    size: int
    y: int


@dataclass(frozen=True, slots=True)
class Label:
    """Lines centred on a point; `plate` is the room they take, `turned` labels read upwards."""

    x: int
    y: int
    lines: tuple[Line, ...]
    plate: Box
    turned: bool = False


def text_width(text: str, size: float) -> float:
    """Estimate how wide a text is; marks that stand over a letter take no room."""
    return size * _width_by_size(text)


@lru_cache(maxsize=4096)  # a map asks for each of its words at many sizes
def _width_by_size(text: str) -> float:
    return sum(
        _WIDE_LETTER if unicodedata.east_asian_width(letter) in "WF" else _LETTER
        for letter in text
        if not unicodedata.combining(letter)
    )


def label(box: Box, texts: Sequence[str], *, largest: int = LARGEST) -> Label | None:
    """Set a text with its details into a box.

    Parameters
    ----------
    box : Box
        Where it must stay.
    texts : sequence of str
        The word first, then what may be dropped from the end where there is no room.
    largest : int, default 30
        The size of the word where there is room for it.

    Returns
    -------
    Label or None
        None where not even the word fits. Upright where that fits as much, else turned.
    """
    inner = box.inset(_MARGIN)
    for count in range(len(texts), 0, -1):
        for turned in (False, True):
            width, height = (inner.height, inner.width) if turned else (inner.width, inner.height)
            size = _size_that_fits(texts[:count], width, height, largest)
            if size:
                return _set(box, texts[:count], size, turned=turned)
    return None


def _size_that_fits(texts: Sequence[str], width: float, height: float, largest: int) -> int | None:
    def fits(size: int) -> bool:
        return _block_width(texts, size) <= width and _block_height(texts, size) <= height

    # Most labels of a large garden do not fit at all: ask that first.
    if not fits(SMALLEST):
        return None
    return next(size for size in range(largest, SMALLEST - 1, -1) if fits(size))


def _sizes(texts: Sequence[str], size: int) -> list[int]:
    return [size, *(max(SMALLEST, round(size * _DETAIL_SHARE)) for _ in texts[1:])]


def _block_width(texts: Sequence[str], size: int) -> float:
    return max(text_width(text, s) for text, s in zip(texts, _sizes(texts, size), strict=True))


def _block_height(texts: Sequence[str], size: int) -> float:
    return _LINE_HEIGHT * sum(_sizes(texts, size))


def _set(box: Box, texts: Sequence[str], size: int, *, turned: bool) -> Label:
    x, y = box.middle
    width, height = _block_width(texts, size), _block_height(texts, size)
    lines, top = [], y - height / 2
    for text, line_size in zip(texts, _sizes(texts, size), strict=True):
        # The base line lies so that letters without a tail look centred in their line.
        lines.append(Line(text, line_size, round(top + 0.92 * line_size)))
        top += _LINE_HEIGHT * line_size
    plate = Box(round(x - width / 2 - 5), round(y - height / 2), round(width + 10), round(height))
    return Label(round(x), round(y), tuple(lines), plate, turned)
