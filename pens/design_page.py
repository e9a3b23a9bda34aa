"""What the page of a design tells: fit, floor, birds, weight, wind, air, drawings. Rows in, values out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType

from django.utils.translation import get_language

from garden.models import Bed, Garden
from garden.units import System
from pens.built import pen_of
from pens.design import (
    FitRow,
    Lift,
    Pen,
    PenDesign,
    Wind,
    fit_rows,
    last_week_held,
    lift_of,
    most_birds,
    wind_on,
)
from pens.design.fittings import DRINKER
from pens.design.lighter import Lighter, lighter_ways
from pens.design_forms import bed_size, choices_of
from pens.drawings.aslant import exploded_sheet
from pens.drawings.doors import door_sheet
from pens.drawings.shapes import Sheet
from pens.drawings.sides import Pot, Standing, front_sheet, plan_sheet, side_sheet
from pens.expected_mass import StrainWeights, strain_told
from pens.models import Design
from pens.reach_cures import ReachCures, reach_cures

OLDEST_WEEK = 8
"""Week at whose end the birds are weighed where no last week is known. Our choice."""


@dataclass(frozen=True, slots=True)
class BedFit:
    """Beds that the pen fits alike, along them and across them."""

    beds: tuple[str, ...]
    rows: tuple[FitRow, FitRow]

    @property
    def either_way(self) -> bool:
        """Whether it stands there the same along the bed and across it."""
        along, across = self.rows
        return replace(along, turned=True) == across

    @property
    def fits(self) -> bool:
        """Whether it stands there at all."""
        return any(row.places for row in self.rows)


@dataclass(frozen=True, slots=True)
class Room:
    """How many birds for how long, at the garden's limit."""

    birds: int
    strain: StrainWeights | None
    last_week: int | None
    mass_g: float
    most: int
    told_weeks: int

    @property
    def holds_throughout(self) -> bool:
        """Whether the limit is kept as far as the strain's weights are told."""
        return self.last_week == self.told_weeks


@dataclass(frozen=True, slots=True)
class DesignPage:
    """Everything the page shows but the drawings."""

    pen: Pen
    fits: tuple[BedFit, ...]
    room: Room
    cures: ReachCures | None
    lift: Lift
    lighter: tuple[Lighter, ...]
    wind: Wind
    is_walled: bool


def design_page(garden: Garden, design: Design, beds: Sequence[Bed]) -> DesignPage:
    """Work a design out for a garden's beds; the chosen ones come first."""
    choices = choices_of(design)
    pen = pen_of(choices)
    chosen = {bed.pk for bed in design.beds.all()}
    ordered = sorted(beds, key=lambda bed: bed.pk not in chosen)
    sizes = [bed_size(bed, design.wall_mm) for bed in ordered]
    rows = fit_rows(choices, sizes, garden.clearance_mm, design.standing, pen.framing_mm)
    fits = _alike(rows)
    is_walled = design.standing == "inside" and any(
        bed.kind == Bed.Kind.RAISED for bed in ordered if bed.pk in chosen
    )
    lift = lift_of(pen.mass, pen.design.width_mm)
    return DesignPage(
        pen=pen,
        fits=fits,
        room=room_of(garden, design, pen),
        cures=reach_cures(pen),
        lift=lift,
        lighter=() if lift.alone.is_within else lighter_ways(choices, garden.clearance_mm),
        wind=wind_on(pen, walled=is_walled),
        is_walled=is_walled,
    )


def _alike(rows: Sequence[FitRow]) -> tuple[BedFit, ...]:
    """Put beds of one size together, in the order in which the first of each comes."""
    names: dict[tuple[FitRow, FitRow], list[str]] = {}
    for along, across in zip(rows[::2], rows[1::2], strict=True):
        alike = (replace(along, bed=""), replace(across, bed=""))
        names.setdefault(alike, []).append(along.bed)
    return tuple(BedFit(tuple(beds), both) for both, beds in names.items())


def room_of(garden: Garden, design: Design, pen: Pen) -> Room:
    """Return how long a pen holds its birds, and how many it holds at the end."""
    strain = strain_told(design.strain) or strain_told("fast")
    weights = strain.by_week if strain else {}
    limit = garden.density_limit_kg_m2
    held = last_week_held(design.birds, pen.floor_m2, limit, weights) if design.birds else None
    mass_g = weights.get(OLDEST_WEEK, 2400.0)
    return Room(
        birds=design.birds,
        strain=strain,
        last_week=held,
        mass_g=mass_g,
        most=most_birds(pen.floor_m2, limit, mass_g),
        told_weeks=max(weights, default=0),
    )


def standing_of(design: Design, page: DesignPage, beds: Sequence[Bed]) -> Standing | None:
    """Return the bed that the plan is drawn in: the first one where the pen stands along it, inside."""
    if design.standing != "inside":
        return None
    sizes = {bed.name: bed for bed in beds}
    for fit in page.fits:
        along = fit.rows[0]
        if along.places:
            bed = sizes[fit.beds[0]]
            return Standing(
                bed.name, bed.length_mm, bed.width_mm, along.end_gap_mm, along.side_gap_mm
            )
    return None


def drawings_of(
    choices: PenDesign, system: System, standing: Standing | None
) -> Mapping[str, Sheet]:
    """Return every drawing by the name that its address has; kept, since each takes some 20 ms."""
    return _drawings_kept(choices, system, standing, get_language())


@lru_cache(maxsize=32)
def _drawings_kept(
    choices: PenDesign, system: System, standing: Standing | None, language: str
) -> Mapping[str, Sheet]:
    pen = pen_of(choices)
    pots = [Pot(one.name == DRINKER, one.x_mm, one.y_mm, one.wide_mm) for one in pen.fittings]
    sheets = {
        "plan": plan_sheet(pen.pieces, pen.doors, system, standing, pen.reach, pots),
        "front": front_sheet(pen.pieces, pen.doors, system),
        "side": side_sheet(pen.pieces, pen.doors, system),
        "taken-apart": exploded_sheet(pen.pieces),
    }
    for door in pen.doors:
        sheets[f"door-{door.number}"] = door_sheet(pen.pieces, door, system)
    return MappingProxyType(sheets)
