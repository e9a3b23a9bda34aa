"""Strapping on top of the frame: over the edges of the wire, and over the cover.

PURE. It all lies on top, so that the pen keeps its outside size between a bed's walls and beside
another pen; the walls' lower edge, which it does not cover, is held by washers.
"""

from collections.abc import Iterator

from garden.words import mark
from pens.design.frame import STRAP_SCREW_EVERY_MM, Framing
from pens.design.layout import Layout
from pens.design.rails import Wood, X, Y, evenly, hole
from pens.design.values import Hole, Piece


def strap_pieces(framing: Framing, layout: Layout) -> list[Piece]:
    """Return the strapping of every fixed stretch of roof, without letters."""
    return [piece for low, high in layout.fixed for piece in _stretch(framing, layout, low, high)]


def _stretch(framing: Framing, layout: Layout, low: int, high: int) -> Iterator[Piece]:
    """Yield straps across at both ends and over every bar between, and along both long rails."""
    design, strap = framing.design, framing.strap
    wood, z = Wood.flat(strap), design.height_mm
    across = [low, high - strap.width_mm]
    across += [
        bar + (framing.thick - strap.width_mm) // 2
        for bar in layout.bars_mm
        if low + strap.width_mm < bar - strap.width_mm and bar + 2 * strap.width_mm < high
    ]
    between = design.width_mm - 2 * strap.width_mm
    if high - low <= 2 * strap.width_mm:
        across = across[:1]
    for x in sorted(across):
        yield wood.lay(
            mark("Cross strap"), "strap", between, (x, strap.width_mm, z),
            along=Y, across=X, holes=_holes(framing, between),
        )  # fmt: skip
    for y in (0, design.width_mm - strap.width_mm):
        holes = _holes(framing, high - low)
        yield wood.lay(mark("Edge strap"), "strap", high - low, (low, y, z), holes=holes)


def _holes(framing: Framing, length: int) -> list[Hole]:
    thin = framing.strap.thickness_mm
    return [hole(at, "up", thin, framing.wide) for at in evenly(length, STRAP_SCREW_EVERY_MM)]
