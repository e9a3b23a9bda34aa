"""What a pen weighs and where it balances.

PURE. Estimates: dry wood of the mean density of its kind; wet or fresh wood is heavier.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pens.design.choices import PenDesign
from pens.design.fasteners import HardwareLine, hardware_g
from pens.design.lumber import meshes, profiles, species
from pens.design.materials import Cover, WirePanel
from pens.design.values import Opening, Piece, Point

WET_MORE = (0.40, 0.70)
"""How much heavier fresh or rain-soaked wood is, least and most. From memory."""

FRAME_PARTS = ("base", "post", "top", "brace", "roof")


@dataclass(frozen=True, slots=True)
class Mass:
    """The parts of a pen's weight, and where it acts.

    Attributes
    ----------
    wood_kg, frame_kg, wire_kg, cover_kg, hardware_kg : float
        `frame_kg` is the bare frame, which is part of `wood_kg`. [kg]
    balance_mm : Point
        Centre of gravity, from the low corner of the frame. [mm]
    length_mm : int
        Of the pen. [mm]
    """

    wood_kg: float
    frame_kg: float
    wire_kg: float
    cover_kg: float
    hardware_kg: float
    balance_mm: Point
    length_mm: int

    @property
    def total_kg(self) -> float:
        """All of it. [kg]"""
        return self.wood_kg + self.wire_kg + self.cover_kg + self.hardware_kg

    @property
    def wet_kg(self) -> tuple[float, float]:
        """All of it with wet wood, least and most; see `WET_MORE`. [kg]"""
        least, most = (self.total_kg + self.wood_kg * more for more in WET_MORE)
        return least, most

    @property
    def at_left_kg(self) -> float:
        """What hangs on the hands at the left end while the right end is held, or stands. [kg]"""
        return self.total_kg * (1 - self.balance_mm[0] / self.length_mm)

    @property
    def at_right_kg(self) -> float:
        """The same at the right end. [kg]"""
        return self.total_kg * self.balance_mm[0] / self.length_mm


def mass_of(
    design: PenDesign,
    pieces: Sequence[Piece],
    panels: Sequence[WirePanel],
    cover: Cover | None,
    hardware: Sequence[HardwareLine],
) -> Mass:
    """Weigh a pen; see `Mass`. Holes and slanted ends are neglected, staples taken as hardware."""
    wood = [(piece_g(design, piece), piece.middle) for piece in pieces]
    frame_g = sum(piece_g(design, piece) for piece in pieces if piece.part in FRAME_PARTS)
    wire = list(_wire(design, panels))
    over = list(_cover(design, cover))
    # Hardware lies where wood is joined: taken where the wood balances.
    fixed_g = hardware_g(hardware)
    everything = [*wood, *wire, *over, (fixed_g, _balance(wood))]
    return Mass(
        wood_kg=_total(wood) / 1000,
        frame_kg=frame_g / 1000,
        wire_kg=_total(wire) / 1000,
        cover_kg=_total(over) / 1000,
        hardware_kg=fixed_g / 1000,
        balance_mm=_balance(everything),
        length_mm=design.length_mm,
    )


def piece_g(design: PenDesign, piece: Piece) -> float:
    """Return what a piece of wood weighs, dry. [g]"""
    section = profiles()[piece.profile].section_mm2
    return section * piece.length_mm / 1e9 * species()[design.species].kg_m3 * 1000


Lump = tuple[float, Point]
"""A mass [g] and where it acts [mm]."""


def _wire(design: PenDesign, panels: Sequence[WirePanel]) -> Iterator[Lump]:
    kg_m2 = meshes()[design.mesh].kg_m2
    for panel in panels:
        grams = panel.across_mm * panel.along_mm / 1e6 * kg_m2 * 1000
        if panel.from_door:
            continue  # already weighed in the wall it is cut out of
        yield grams, face_point(design, panel.covers[0])


def _cover(design: PenDesign, cover: Cover | None) -> Iterator[Lump]:
    if cover:
        areas = [face.width_mm * face.height_mm for face in cover.covers]
        for face, area in zip(cover.covers, areas, strict=True):
            yield cover.mass_g * area / sum(areas), face_point(design, face)


def face_point(design: PenDesign, face: Opening) -> Point:
    """Return the middle of a rectangle on a face, in space. [mm]"""
    u, v = (face.u0 + face.u1) / 2, (face.v0 + face.v1) / 2
    places: dict[str, Point] = {
        "front": (u, 0.0, v),
        "back": (u, float(design.width_mm), v),
        "left": (0.0, u, v),
        "right": (float(design.length_mm), u, v),
        "roof": (u, v, float(design.height_mm)),
        "skirt": (u, v, 0.0),
    }
    return places[face.face]


def _total(lumps: Sequence[Lump]) -> float:
    return sum(grams for grams, _ in lumps)


def _balance(lumps: Sequence[Lump]) -> Point:
    total = _total(lumps)
    return tuple(  # type: ignore[return-value]
        sum(grams * place[axis] for grams, place in lumps) / total for axis in range(3)
    )
