"""One bed on the map: its outline, what fills it, the pens on it and the words that fit.

PURE. Beds come in millimetres and metres; boxes are in the drawing's units.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from garden.layout import Plot, turned_plot
from rotation.bed_state import BedState
from rotation.ground_days import Use
from rotation.map_words import Box, Label, label

_MARK_STRIP, _MARK = 58, 36
_SMALL = 40
_WALL = 4
"""Drawn thickness of a bed's walls, on either side of its interior's edge together."""


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of a bed [mm along it] with a pen on it, at rest, or where a pen goes next."""

    use: Use
    offset_mm: float
    stretch_mm: float
    words: tuple[str, ...] = ()
    pen: str = ""


@dataclass(frozen=True, slots=True)
class MapBed:
    """A bed by its interior and the north-west corner of it, with what is on it.

    Sizes in mm, places in metres east and south; `mark` is its short name on the map.
    """

    id: int
    name: str
    mark: str
    x_m: float
    y_m: float
    length_mm: float
    width_mm: float
    lies_across: bool
    is_turf: bool
    state: BedState
    parts: tuple[Part, ...] = ()
    turned_deg: float = 0.0

    @property
    def plot(self) -> Plot:
        """Return its ground as it lies before it is turned."""
        length_m, width_m = self.length_mm / 1000, self.width_mm / 1000
        size = (length_m, width_m) if self.lies_across else (width_m, length_m)
        return Plot(self.x_m, self.y_m, *size)

    @property
    def reach(self) -> Plot:
        """Return the upright rectangle round it as it lies."""
        return turned_plot(self.plot, self.turned_deg)


@dataclass(frozen=True, slots=True)
class DrawnPart:
    """A part of a bed on the drawing, and what is written on it."""

    use: Use
    box: Box
    label: Label | None


@dataclass(frozen=True, slots=True)
class DrawnBed:
    """A bed on the drawing; `pattern` names what fills it, empty where it is plain."""

    id: int
    name: str
    said: str
    box: Box
    pattern: str
    is_held: bool
    is_small: bool
    """Whether thin outlines and fine patterns serve it better."""
    parts: tuple[DrawnPart, ...]
    labels: tuple[Label, ...]
    turned_deg: float = 0.0

    @property
    def transform(self) -> str:
        """Return how the drawing turns it about its middle; empty where it lies straight."""
        if not self.turned_deg:
            return ""
        x, y = self.box.middle
        return f"rotate({self.turned_deg:g} {x:g} {y:g})"


def draw_bed(bed: MapBed, box: Box) -> DrawnBed:
    """Draw a bed into the box that it has on the drawing."""
    parts = []
    for part in bed.parts:
        part_box = _part_box(part, bed, box)
        parts.append(DrawnPart(part.use, part_box, label(part_box, part.words)))
    return DrawnBed(
        id=bed.id,
        name=bed.name,
        said=f"{bed.name}: {bed.state}",
        box=box,
        pattern=_pattern(bed),
        is_held=bed.state.use is Use.HELD,
        is_small=min(box.width, box.height) < _SMALL,
        parts=tuple(parts),
        labels=_soil_labels(bed, box, [part.box for part in parts if part.use is not Use.RESTING]),
        turned_deg=bed.turned_deg,
    )


def _pattern(bed: MapBed) -> str:
    if bed.state.use is Use.PLANTED:
        return "dots"
    return "grass" if bed.is_turf else ""


def _part_box(part: Part, bed: MapBed, box: Box) -> Box:
    """Return where a part lies; a bed's length runs from its north or its west end.

    It is drawn within the walls, so that the outline of the bed is seen around a pen.
    """
    wall = min(_WALL, min(box.width, box.height) // 10)
    along = (box.width if bed.lies_across else box.height) - 2 * wall
    offset = round(part.offset_mm / bed.length_mm * along)
    length = max(2, min(round(part.stretch_mm / bed.length_mm * along), along - offset))
    if bed.lies_across:
        across = max(2, box.height - 2 * wall)
        return Box(box.x + wall + offset, box.y + wall, length, across)
    across = max(2, box.width - 2 * wall)
    return Box(box.x + wall, box.y + wall + offset, across, length)


def _soil_labels(bed: MapBed, box: Box, taken: Sequence[Box]) -> tuple[Label, ...]:
    """Return the bed's mark and, where no pen stands or comes, what the bed is doing."""
    if taken:
        soil = _widest_gap(box, taken, bed.lies_across)
        return _those_that_fit(label(soil, [bed.mark], largest=_MARK))
    mark_box, words_box = _shared_out(box)
    mark = label(mark_box, [bed.mark], largest=_MARK)
    words = label(words_box, [word for word in (bed.state.word, bed.state.brief) if word])
    if mark and words:
        return mark, words
    return _those_that_fit(label(box, [bed.mark], largest=_MARK))


def _those_that_fit(*labels: Label | None) -> tuple[Label, ...]:
    return tuple(found for found in labels if found)


def _shared_out(box: Box) -> tuple[Box, Box]:
    """Return the strip for the mark, at the bed's south or west end, and the rest for words."""
    if box.height >= box.width:
        strip = min(_MARK_STRIP, box.height / 3)
        cut = box.y + box.height - strip
        return Box(box.x, cut, box.width, strip), Box(box.x, box.y, box.width, box.height - strip)
    strip = min(_MARK_STRIP, box.width / 3)
    return Box(box.x, box.y, strip, box.height), Box(
        box.x + strip, box.y, box.width - strip, box.height
    )


def _widest_gap(box: Box, taken: Iterable[Box], lies_across: bool) -> Box:
    """Return the longest part of a bed that no box in `taken` covers."""
    if lies_across:
        edges = sorted((part.x, part.x + part.width) for part in taken)
        ends = [(box.x, box.x), *edges, (box.x + box.width, box.x + box.width)]
    else:
        edges = sorted((part.y, part.y + part.height) for part in taken)
        ends = [(box.y, box.y), *edges, (box.y + box.height, box.y + box.height)]
    start, stop = max(
        ((before[1], after[0]) for before, after in pairwise(ends)), key=lambda gap: gap[1] - gap[0]
    )
    length = max(0, stop - start)
    if lies_across:
        return Box(start, box.y, length, box.height)
    return Box(box.x, start, box.width, length)
