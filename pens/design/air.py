"""How much of a pen's walls lets air through, and how much of it is in shade.

PURE.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pens.design.choices import PenDesign
from pens.design.lumber import meshes
from pens.design.materials import Cover
from pens.design.values import Piece

LEAST_SHADE = 0.5
"""Share of the floor to be in shade all day. From memory."""


@dataclass(frozen=True, slots=True)
class Air:
    """Air and shade. All are shares from 0 to 1.

    Attributes
    ----------
    open_share : float
        Of the four walls: neither wood nor cover nor wire, through which air goes.
    open_sides : int
        Walls that the cover leaves open: air goes through where there are two at least.
    roof_shade, wall_shade : float
        Of the roof and of the walls that the cover lies on.
    wire_open_share, wood_share : float
        How much of the mesh is hole, and how much of the walls is wood.
    """

    open_share: float
    open_sides: int
    roof_shade: float
    wall_shade: float
    wire_open_share: float
    wood_share: float

    @property
    def shaded_enough(self) -> bool:
        """Whether the floor has shade enough at noon, when it comes from the roof alone."""
        return self.roof_shade >= LEAST_SHADE


def air_between(design: PenDesign, pieces: Sequence[Piece], cover: Cover | None) -> Air:
    """Work out a pen's air and shade."""
    walls = {
        "front": design.length_mm * design.height_mm,
        "back": design.length_mm * design.height_mm,
        "left": design.width_mm * design.height_mm,
        "right": design.width_mm * design.height_mm,
    }
    total = sum(walls.values())
    covered = {face.face for face in cover.covers} if cover else set()
    shaded = sum(area for face, area in walls.items() if face in covered)
    wood = min(1.0, _wood_mm2(design, pieces) / total)
    mesh = meshes()[design.mesh].open_share
    return Air(
        open_share=(1 - shaded / total) * (1 - wood) * mesh,
        open_sides=sum(face not in covered for face in walls),
        roof_shade=1.0 if "roof" in covered else 0.0,
        wall_shade=shaded / total,
        wire_open_share=mesh,
        wood_share=wood,
    )


def _wood_mm2(design: PenDesign, pieces: Sequence[Piece]) -> float:
    """Return what the frame's pieces fill of the walls, seen from outside. [mm²]"""
    filled = 0.0
    for piece in pieces:
        if piece.part not in ("base", "post", "top", "brace"):
            continue
        low, high = piece.low, piece.high
        if piece.part == "brace":
            filled += piece.length_mm * max(piece.across_mm, piece.up_mm)
            continue
        if low[1] <= 0 or high[1] >= design.width_mm:
            filled += (high[0] - low[0]) * (high[2] - low[2])
        if low[0] <= 0 or high[0] >= design.length_mm:
            filled += (high[1] - low[1]) * (high[2] - low[2])
    return filled
