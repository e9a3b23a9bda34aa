"""What size a pen takes for a bed, which beds it fits, and how many birds it holds how long.

PURE.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor

from garden.words import gettext as _
from pens.design.choices import BedSize, DesignError, PenDesign, Standing
from pens.fit import FRAMING_MM, density_kg_m2, fit_pen

READ_MM = 0.1
"""A tenth of a millimetre is no fault of a pen: 1123.95 mm is built as 1124. Our choice."""


@dataclass(frozen=True, slots=True)
class FitRow:
    """How a pen stands on one bed, one way round.

    Attributes
    ----------
    bed : str
    turned : bool
        Whether the pen's length lies across the bed.
    places : int
        How many of it stand there; 0 where it does not fit.
    side_gap_mm, end_gap_mm : float
        Between the pen and each long wall, and each end wall and neighbour; over the walls,
        between the walls and the pen's framing. [mm]
    too_long_mm, too_wide_mm : float
        What the bed lacks, clearance counted in; over the walls, what the pen lacks. [mm]
    covered_m2 : float
        Bed that all its places cover. [m²]
    """

    bed: str
    turned: bool
    places: int
    side_gap_mm: float
    end_gap_mm: float
    too_long_mm: float
    too_wide_mm: float
    covered_m2: float


def outside_for(
    bed: BedSize,
    clearance_mm: float,
    standing: Standing = "inside",
    along: int = 1,
    framing_mm: int = FRAMING_MM,
) -> tuple[int, int]:
    """Return the outside of a pen for a bed.

    Parameters
    ----------
    bed : BedSize
    clearance_mm : float
        Gap on each side, not negative; none is needed on turf. [mm]
    standing : {"inside", "over"}
        Within the bed's walls, or around them.
    along : int
        Pens along the bed, 1 or more; over the walls, 1.
    framing_mm : int
        Thickness of the pen's walls. [mm]

    Returns
    -------
    tuple of int
        Length and width, the longer first, to the millimetre. [mm]

    Raises
    ------
    DesignError
        If the bed is smaller than two framings, or two pens are to stand over one bed's walls.
    """
    gap = 0.0 if bed.kind == "turf" else clearance_mm
    if standing == "over":
        if along != 1:
            raise DesignError("along", _("Over its walls a bed takes one pen."))
        more = 2 * (bed.wall_mm + gap + framing_mm)
        sides = [_up(bed.length_mm + more), _up(bed.width_mm + more)]
    else:
        sides = [
            _down(bed.length_mm - (along + 1) * gap, along),
            _down(bed.width_mm - 2 * gap),
        ]
    if min(sides) <= 2 * framing_mm:
        message = _("{bed} is too small: two framing widths alone take {taken} mm.")
        raise DesignError("beds", message.format(bed=bed.name, taken=2 * framing_mm))
    return max(sides), min(sides)


def _down(length_mm: float, parts: int = 1) -> int:
    return floor((length_mm + READ_MM) / parts)


def _up(length_mm: float) -> int:
    return -floor(READ_MM - length_mm)


def fit_rows(
    design: PenDesign,
    beds: Sequence[BedSize],
    clearance_mm: float,
    standing: Standing = "inside",
    framing_mm: int = FRAMING_MM,
) -> tuple[FitRow, ...]:
    """Return for every bed, both ways round, whether the pen fits and what gap it leaves.

    Parameters
    ----------
    design : PenDesign
    beds : sequence of BedSize
    clearance_mm : float
        Least gap on each side. [mm]
    standing : {"inside", "over"}
        Within the beds' walls, or around them.
    framing_mm : int
        Thickness of the pen's walls, for a pen over the walls. [mm]

    Returns
    -------
    tuple of FitRow
        Two for each bed: the pen along it, then across it.
    """
    rows = []
    for bed in beds:
        for turned in (False, True):
            size = (design.length_mm, design.width_mm)
            along, across = size[::-1] if turned else size
            if standing == "over":
                rows.append(_over(bed, along, across, turned, clearance_mm, framing_mm))
            else:
                rows.append(_inside(bed, along, across, turned, clearance_mm))
    return tuple(rows)


def _inside(bed: BedSize, along: int, across: int, turned: bool, clearance_mm: float) -> FitRow:
    fit = fit_pen(bed.length_mm, bed.width_mm, along, across, clearance_mm, bed.kind, turn=False)
    covered = len(fit.places) * along * across / 1e6
    return FitRow(
        bed.name, turned, len(fit.places), fit.side_gap_mm, fit.end_gap_mm,
        fit.too_long_mm, fit.too_wide_mm, covered,
    )  # fmt: skip


def _over(
    bed: BedSize, along: int, across: int, turned: bool, clearance_mm: float, framing_mm: int
) -> FitRow:
    """Stand a pen around a bed: its clear inside must pass the walls' outside."""
    gap = 0.0 if bed.kind == "turf" else clearance_mm
    room = (along - 2 * framing_mm, across - 2 * framing_mm)
    bulk = (bed.length_mm + 2 * bed.wall_mm, bed.width_mm + 2 * bed.wall_mm)
    end_gap, side_gap = ((have - want) / 2 for have, want in zip(room, bulk, strict=True))
    lacks = [max(0.0, 2 * (gap - got) - READ_MM) for got in (end_gap, side_gap)]
    if any(lacks):
        return FitRow(bed.name, turned, 0, 0.0, 0.0, *lacks, 0.0)
    area = bed.length_mm * bed.width_mm / 1e6
    return FitRow(bed.name, turned, 1, side_gap, end_gap, 0.0, 0.0, area)


def most_birds(floor_m2: float, limit_kg_m2: float, mass_g: float) -> int:
    """Return how many birds of a mean mass [g] a floor [m²] holds at a density limit [kg/m²]."""
    return floor(floor_m2 * limit_kg_m2 * 1000 / mass_g + 1e-9)


def last_week_held(
    birds: int, floor_m2: float, limit_kg_m2: float, mass_g_by_week: Mapping[int, float]
) -> int | None:
    """Return the last week at whose end so many birds still keep the density limit.

    Parameters
    ----------
    birds : int
    floor_m2 : float
        Greater than 0. [m²]
    limit_kg_m2 : float
        The densest that is allowed. [kg/m²]
    mass_g_by_week : mapping of int to float
        Expected mean mass of a bird at the end of each week of its life. [g]

    Returns
    -------
    int or None
        The last week before the first one that is too close; None where the first one is already.
    """
    held = None
    for week in sorted(mass_g_by_week):
        if density_kg_m2(birds, mass_g_by_week[week], floor_m2) > limit_kg_m2 + 1e-9:
            return held
        held = week
    return held
