"""A design carried out on paper: every piece, door, panel and screw of a pen, and what it weighs.

PURE. `design_pen` is the whole chain; the modules it calls each know one subject.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import hypot

from garden.words import gettext as _
from garden.words import mark
from pens.design.air import Air, air_between
from pens.design.choices import DesignError, PenDesign
from pens.design.cover import cover_of
from pens.design.fasteners import HardwareLine, hardware_of
from pens.design.fittings import Fitting, fittings_of
from pens.design.frame import Framing, frame_pieces
from pens.design.layout import Layout, floor_of
from pens.design.leaves import doors_of, leaf_pieces
from pens.design.lids import with_lids
from pens.design.lumber import meshes, profiles, species, tarp_cloths
from pens.design.mass import Mass, mass_of
from pens.design.materials import Cover, RollLayout, WirePanel
from pens.design.rails import cut_lines, lettered
from pens.design.rolls import roll_layouts
from pens.design.side_doors import with_side_doors
from pens.design.straps import strap_pieces
from pens.design.values import CutLine, Door, Piece, Reach
from pens.design.wire import wire_panels
from pens.fit import floor_area_m2

LEAST_HEIGHT_MM, GREATEST_HEIGHT_MM = 300, 2000
LONGEST_MM = 10_000
"""What a pen may measure. Our choice: beyond it nothing here was thought through. [mm]"""

_TOO_LARGE = {
    "length_mm": mark("The length is at most {most} mm."),
    "width_mm": mark("The width is at most {most} mm."),
    "height_mm": mark("The height is at most {most} mm."),
}


@dataclass(frozen=True, slots=True)
class Pen:
    """A pen ready to be built; see the modules of its parts."""

    design: PenDesign
    layout: Layout
    pieces: tuple[Piece, ...]
    cut_list: tuple[CutLine, ...]
    doors: tuple[Door, ...]
    fittings: tuple[Fitting, ...]
    wire: tuple[WirePanel, ...]
    cover: Cover | None
    hardware: tuple[HardwareLine, ...]
    mass: Mass
    air: Air
    framing_mm: int

    @property
    def rolls(self) -> tuple[RollLayout, ...]:
        """The wire laid out on its rolls; worked out when it is asked for, and kept."""
        return roll_layouts(self.wire, self.design.roll_widths_mm)

    @property
    def reach(self) -> Reach:
        """How far the floor is from the doors."""
        return self.layout.reach

    @property
    def clear_length_mm(self) -> int:
        """Between the framing of the ends. [mm]"""
        return self.design.length_mm - 2 * self.framing_mm

    @property
    def clear_width_mm(self) -> int:
        """Between the framing of the long sides. [mm]"""
        return self.design.width_mm - 2 * self.framing_mm

    @property
    def floor_m2(self) -> float:
        """What the birds have. [m²]"""
        return floor_area_m2(self.design.length_mm, self.design.width_mm, self.framing_mm)

    @property
    def outside_height_mm(self) -> int:
        """With the straps on top and the skids beneath. [mm]"""
        return round(
            max(piece.high[2] for piece in self.pieces) - min(p.low[2] for p in self.pieces)
        )

    @property
    def square_mm(self) -> int:
        """Both diagonals of the base, corner to corner, when it is square. [mm]"""
        return round(hypot(self.design.length_mm, self.design.width_mm))


@lru_cache(maxsize=256)
def design_pen(design: PenDesign) -> Pen:
    """Carry a design out: place, letter, count and weigh everything; remembered, as pages ask often.

    Parameters
    ----------
    design : PenDesign

    Returns
    -------
    Pen

    Raises
    ------
    DesignError
        Naming the choice that cannot be.
    """
    framing = _framing(design)
    place = with_lids if design.doors == "lids" else with_side_doors
    layout = place(design, framing.thick, framing.wide)
    doors = doors_of(framing, layout)
    pieces = lettered(
        [
            *frame_pieces(framing, layout),
            *(piece for door in doors for piece in leaf_pieces(framing, door)),
            *strap_pieces(framing, layout),
        ]
    )
    panels = wire_panels(design, layout, doors)
    cover = cover_of(design)
    foot_mm = 2 * (design.length_mm + design.width_mm)
    hardware = hardware_of(pieces, panels, doors, foot_mm)
    return Pen(
        design=design,
        layout=layout,
        pieces=pieces,
        cut_list=cut_lines(pieces),
        doors=doors,
        fittings=fittings_of(design, floor_of(design, framing.thick), doors),
        wire=panels,
        cover=cover,
        hardware=hardware,
        mass=mass_of(design, pieces, panels, cover, hardware),
        air=air_between(design, pieces, cover),
        framing_mm=framing.thick,
    )


def _framing(design: PenDesign) -> Framing:
    for field, table in (
        ("profile", profiles()),
        ("strap", profiles()),
        ("species", species()),
        ("mesh", meshes()),
        ("tarp", tarp_cloths()),
    ):
        if getattr(design, field) not in table:
            raise DesignError(field, _("Choose one of {keys}.").format(keys=", ".join(table)))
    framing = Framing(design, profiles()[design.profile], profiles()[design.strap])
    _check_sizes(design, framing)
    return framing


def _check_sizes(design: PenDesign, framing: Framing) -> None:
    if design.width_mm > design.length_mm:
        raise DesignError("width_mm", _("Give the longer side as the length."))
    if framing.strap.thickness_mm > framing.thick or framing.strap.width_mm > framing.wide:
        told = _("The strapping is no thicker and no wider than the framing.")
        raise DesignError("strap", told)
    for field, message in _TOO_LARGE.items():
        most = GREATEST_HEIGHT_MM if field == "height_mm" else LONGEST_MM
        if getattr(design, field) > most:
            raise DesignError(field, _(message).format(most=most))
    for field in ("length_mm", "width_mm"):
        if getattr(design, field) <= 2 * framing.thick:
            told = _("Two framing widths take {taken} mm: no floor is left.")
            raise DesignError(field, told.format(taken=2 * framing.thick))
    if design.height_mm < max(LEAST_HEIGHT_MM, 4 * framing.wide):
        least = max(LEAST_HEIGHT_MM, 4 * framing.wide)
        told = _("A pen of this wood is at least {least} mm high.")
        raise DesignError("height_mm", told.format(least=least))
    if design.reach_mm <= 0:
        raise DesignError("reach_mm", _("Give a reach above 0."))
