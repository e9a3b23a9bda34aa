"""What a drawing is made of: outlines, words, and the sheet that holds them.

PURE. Units are those of the picture, y running down, as SVG has it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from garden.unit_sizes import INCH_MM
from garden.unit_text import exactly, mixed_fraction, rounded
from garden.units import System

Point = tuple[float, float]

CHARACTER = 0.6
"""Mean width of a character as a share of the text's size: a wide sans. Our choice, on the safe side."""

TEXT = 14
"""Size of the words on a drawing: some 13 px on a phone. Our choice."""

MARGIN = 6
LEAST_WIDE = 390
"""Of a sheet, in its units: near a phone's width. Our choice."""

PRINT_SCALES = (2, 5, 10, 15, 20, 25, 30, 40, 50, 100)
"""One to how much a drawing may be printed. Our choice; all are on a folding rule's scale."""

PAPER_WIDTH_MM, PAPER_HEIGHT_MM = 178.0, 105.0
"""Room for a drawing where two go on a page of A4 (210 × 297) or Letter (216 × 279). Derived."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its near and its far corner."""

    left: float
    top: float
    right: float
    bottom: float

    def touches(self, other: "Box", gap: float = 0.0) -> bool:
        """Whether two boxes come closer than `gap`."""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.top < other.bottom + gap
            and other.top < self.bottom + gap
        )


@dataclass(frozen=True, slots=True)
class Outline:
    """A polygon, or an open line; `kind` is its class in the style sheet."""

    points: tuple[Point, ...]
    kind: str
    is_open: bool = False


@dataclass(frozen=True, slots=True)
class Disc:
    """A round spot: the ground of a letter, a feeder, the worst point of a floor."""

    x: float
    y: float
    radius: float
    kind: str


@dataclass(frozen=True, slots=True)
class Words:
    """A text by the middle of its base line; `upright` runs from bottom to top."""

    x: float
    y: float
    text: str
    kind: str = "dim"
    size: float = TEXT
    upright: bool = False

    @property
    def box(self) -> Box:
        """The room it takes, a little more than its letters."""
        half, above, below = text_width(self.text, self.size) / 2, 0.8 * self.size, 0.25 * self.size
        if self.upright:
            return Box(self.x - above, self.y - half, self.x + below, self.y + half)
        return Box(self.x - half, self.y - above, self.x + half, self.y + below)


Shape = Outline | Disc | Words


@dataclass(frozen=True, slots=True)
class Sheet:
    """A drawing. `mm_per_unit` is what one unit of the picture is on the pen itself [mm]."""

    title: str
    told: str
    shapes: tuple[Shape, ...]
    frame: Box
    mm_per_unit: float

    @property
    def width(self) -> float:
        """Of the picture, in its units."""
        return round(self.frame.right - self.frame.left, 1)

    @property
    def height(self) -> float:
        """Of the picture, in its units."""
        return round(self.frame.bottom - self.frame.top, 1)

    @property
    def one_to(self) -> int:
        """The largest scale of `PRINT_SCALES` at which two such drawings go on a page, A4 or Letter."""
        for scale in PRINT_SCALES:
            shrunk = self.mm_per_unit / scale
            if self.width * shrunk <= PAPER_WIDTH_MM and self.height * shrunk <= PAPER_HEIGHT_MM:
                return scale
        return PRINT_SCALES[-1]

    @property
    def printed_width_mm(self) -> float:
        """Width on paper at `one_to` [mm]."""
        return round(self.width * self.mm_per_unit / self.one_to, 2)

    @property
    def printed_height_mm(self) -> float:
        """Height on paper at `one_to` [mm]."""
        return round(self.height * self.mm_per_unit / self.one_to, 2)

    def words(self) -> list[Words]:
        """Return every text on the sheet."""
        return [shape for shape in self.shapes if isinstance(shape, Words)]


def text_width(text: str, size: float = TEXT) -> float:
    """Return about how wide a text is, in units of the picture."""
    return len(text) * size * CHARACTER


def box_of(points: Iterable[Point]) -> Box:
    """Return the smallest box round some points, at least one."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def reach_of(shapes: Iterable[Shape], margin: float) -> Box:
    """Return the box round everything on a sheet, with a margin."""
    corners: list[Point] = []
    for shape in shapes:
        if isinstance(shape, Outline):
            corners += shape.points
        elif isinstance(shape, Disc):
            far = shape.radius
            corners += [(shape.x - far, shape.y - far), (shape.x + far, shape.y + far)]
        else:
            corners += [(shape.box.left, shape.box.top), (shape.box.right, shape.box.bottom)]
    whole = box_of(corners)
    return Box(whole.left - margin, whole.top - margin, whole.right + margin, whole.bottom + margin)


def frame_of(shapes: Iterable[Shape]) -> Box:
    """Return a sheet's frame: at least `LEAST_WIDE`, so that words are as large on every sheet."""
    reach = reach_of(shapes, MARGIN)
    spare = max(0.0, LEAST_WIDE - (reach.right - reach.left)) / 2
    return Box(reach.left - spare, reach.top, reach.right + spare, reach.bottom)


def length_words(length_mm: float, system: System) -> str:
    """Write a length for a drawing, where every character counts: ``1124`` or ``44 1/4″``."""
    return f"{length_mm:.0f}" if system == "metric" else inch_words(length_mm)


def inch_words(length_mm: float) -> str:
    """Write a length as a tape shows it, to the nearest sixteenth: ``44 1/4″``."""
    return f"{mixed_fraction(rounded(exactly(length_mm) / INCH_MM, Fraction(1, 16)))}″"
