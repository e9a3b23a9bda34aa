"""A pen on a bed, drawn to scale from above with a tape along it.

PURE. Everything is in drawing units of a picture `WIDTH` wide; a template draws the values.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

from garden.units import System
from garden.words import gettext as _
from garden.words import local_mark
from pens.fit import Fit

WIDTH = 400
"""Width of the picture: near a phone's, so that a text of 20 units reads like the page's own."""

MARGIN = 8
TAPE_HEIGHT = 18
LABEL_HEIGHT = 26

FOOT_MM = 304.8
"""Exact, 12 × 25.4. NIST SP 811, appendix B.8."""

MOST_LABELS = 6
_STEPS_MM = {
    "metric": (500, 1000, 2000, 5000, 10_000, 20_000, 50_000),
    "us": tuple(FOOT_MM * feet for feet in (1, 2, 5, 10, 20, 50, 100, 200)),
}


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle with, perhaps, a word in its middle."""

    x: float
    y: float
    width: float
    height: float
    word: str = ""

    @property
    def middle_x(self) -> float:
        """Where the word stands."""
        return round(self.x + self.width / 2, 1)

    @property
    def middle_y(self) -> float:
        """Base line of the word, about a third of its size below the middle."""
        return round(self.y + self.height / 2 + 7, 1)


@dataclass(frozen=True, slots=True)
class Tick:
    """A line on the tape; labelled where it counts."""

    x: float
    long: bool
    label: str = ""


@dataclass(frozen=True, slots=True)
class PenDrawing:
    """The bed, the pen at each of its places, and the tape beneath."""

    height: float
    bed: Box
    pens: tuple[Box, ...]
    tape: Box
    ticks: tuple[Tick, ...]
    width: int = WIDTH

    @property
    def label_y(self) -> float:
        """Base line of the tape's labels."""
        return round(self.tape.y + self.tape.height + 20, 1)


def pen_drawing(
    bed_length_mm: float, bed_width_mm: float, across_mm: float, fit: Fit, system: System
) -> PenDrawing:
    """Draw the places of a pen on a bed.

    Parameters
    ----------
    bed_length_mm, bed_width_mm : float
        Inside of the bed. [mm]
    across_mm : float
        How much of the bed's width the pen covers. [mm]
    fit : Fit
        The pen's places on this bed.
    system : {"metric", "us"}
        Units of the tape.

    Returns
    -------
    PenDrawing
        With the bed's length from left to right.
    """
    scale = (WIDTH - 2 * MARGIN) / bed_length_mm
    bed = _box(MARGIN, MARGIN, WIDTH - 2 * MARGIN, bed_width_mm * scale)
    pens = tuple(
        _box(
            MARGIN + place.offset_mm * scale,
            MARGIN + fit.side_gap_mm * scale,
            place.length_mm * scale,
            across_mm * scale,
            str(number) if len(fit.places) > 1 else "",
        )
        for number, place in enumerate(fit.places, start=1)
    )
    tape = _box(MARGIN, bed.y + bed.height + MARGIN, bed.width, TAPE_HEIGHT)
    height = round(tape.y + TAPE_HEIGHT + LABEL_HEIGHT, 1)
    return PenDrawing(height, bed, pens, tape, tape_ticks(bed_length_mm, scale, system))


def tape_ticks(length_mm: float, scale: float, system: System) -> tuple[Tick, ...]:
    """Divide a tape: five parts to each labelled step, and at most `MOST_LABELS` labels."""
    steps = _STEPS_MM[system]
    step_mm = next((step for step in steps if length_mm / step <= MOST_LABELS), steps[-1])
    ticks = []
    for number in count(1):
        at_mm = number * step_mm / 5
        # A tick on the very end of the tape is its edge.
        if at_mm >= length_mm - 1:
            return tuple(ticks)
        whole = number % 5 == 0
        label = _tape_label(at_mm, system) if whole else ""
        ticks.append(Tick(round(MARGIN + at_mm * scale, 1), whole, label))
    raise AssertionError("count() has no end")


def _tape_label(at_mm: float, system: System) -> str:
    return local_mark(f"{at_mm / 1000:g} m" if system == "metric" else f"{at_mm / FOOT_MM:g} ft")


def _box(x: float, y: float, width: float, height: float, word: str = "") -> Box:
    return Box(round(x, 1), round(y, 1), round(width, 1), round(height, 1), word)


def shortened(names: Sequence[str], most: int = 4) -> str:
    """Write a list of names in words: ``Bed 1, Bed 2 and 3 more``."""
    if len(names) > most:
        names = [*names[: most - 1], _("{n} more").format(n=len(names) - most + 1)]
    if len(names) == 1:
        return names[0]
    return _("{names} and {last}").format(names=", ".join(names[:-1]), last=names[-1])
