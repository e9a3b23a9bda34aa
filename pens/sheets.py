"""What the Build page tells of each pen: its beds, its places, its birds. Rows in, values out."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from garden.models import Bed, Garden
from pens.drawing import PenDrawing, pen_drawing, shortened
from pens.fit import Fit, fit_pen
from pens.models import Pen
from pens.suggestion import suggested_size_mm

EXAMPLE_BIRD_G = 2400
"""Live weight of the bird that a pen's room is told in [g]. Our choice, as an example."""


@dataclass(frozen=True)
class FitLine:
    """Beds of one size with how the pen fits each of them."""

    beds: str
    fit: Fit

    @property
    def places(self) -> int:
        """How many pens of this size stand on one of the beds."""
        return len(self.fit.places)


@dataclass(frozen=True)
class PenSheet:
    """One pen; `drawing` is None where it fits no bed."""

    pen: Pen
    room: int
    lines: tuple[FitLine, ...]
    drawn_on: str
    drawing: PenDrawing | None


def pen_sheets(garden: Garden, pens: Iterable[Pen], beds: Sequence[Bed]) -> list[PenSheet]:
    """Work out every pen's sheet; beds of one size and kind share a line."""
    sizes: dict[tuple[float, float, str], list[Bed]] = {}
    for bed in beds:
        sizes.setdefault((bed.length_mm, bed.width_mm, bed.kind), []).append(bed)
    return [_sheet(garden, pen, list(sizes.values())) for pen in pens]


def _sheet(garden: Garden, pen: Pen, groups: list[list[Bed]]) -> PenSheet:
    fits = [(group, _fit(garden, pen, group[0])) for group in groups]
    fits.sort(key=lambda pair: not pair[1].places)
    lines = [FitLine(shortened([bed.name for bed in group]), fit) for group, fit in fits]
    room = int(pen.floor_m2 * garden.density_limit_kg_m2 * 1000 / EXAMPLE_BIRD_G + 1e-9)
    group, fit = fits[0] if fits else ([], Fit(()))
    drawing = _drawing(garden, pen, group[0], fit) if fit.places else None
    return PenSheet(pen, room, tuple(lines), group[0].name if drawing else "", drawing)


def _fit(garden: Garden, pen: Pen, bed: Bed) -> Fit:
    return fit_pen(
        bed.length_mm, bed.width_mm, pen.length_mm, pen.width_mm, garden.clearance_mm, bed.kind
    )


def _drawing(garden: Garden, pen: Pen, bed: Bed, fit: Fit) -> PenDrawing:
    across_mm = pen.length_mm if fit.places[0].turned else pen.width_mm
    return pen_drawing(bed.length_mm, bed.width_mm, across_mm, fit, garden.unit_system)


def suggestion_for(garden: Garden, beds: Iterable[Bed]) -> dict[str, float]:
    """Return a pen's size for the most common kind of bed, as a form's initial values [mm]."""
    sizes = Counter((bed.length_mm, bed.width_mm, bed.kind) for bed in beds)
    if not sizes:
        return {}
    [((length_mm, width_mm, kind), _)] = sizes.most_common(1)
    longer_mm, shorter_mm = suggested_size_mm(length_mm, width_mm, garden.clearance_mm, kind)
    return {"length_mm": longer_mm, "width_mm": shorter_mm}
