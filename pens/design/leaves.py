"""What closes an opening: the door's own frame, the strapping on it, hinges, latches and stops.

PURE. A lid's frame lies flush within its opening with a gap all round; the strap on its wire reaches
over the gap on the sides without hinges and rests on the frame around. A door in a wall is flush on
the outside, where a bed's wall is near, and is stopped by strips on the posts within.
"""

from collections.abc import Iterator, Sequence

from garden.words import gettext as _
from garden.words import mark
from pens.design.choices import DesignError
from pens.design.frame import STRAP_SCREW_EVERY_MM, Framing
from pens.design.layout import Layout
from pens.design.rails import Wood, X, Y, Z, evenly, hole
from pens.design.values import Door, Hole, Opening, Piece, Vector

LAP_MM = 10
"""How far a lid's strap rests on the frame beside it [mm]. Our choice."""

GAPS_MM = (3, 5)
"""Least and greatest gap beside a door [mm]. Common practice, no source."""

WIDE_EDGE_MM = 1200
LATCH_TWICE_MM = 600
"""Hinge edges longer than this take a third hinge; latch edges, a second latch [mm]. Our choice."""


def doors_of(framing: Framing, layout: Layout) -> tuple[Door, ...]:
    """Return the doors with their hinges and latches.

    Raises
    ------
    DesignError
        If the gap beside a door is not within `GAPS_MM`.
    """
    gap = framing.design.door_gap_mm
    if not GAPS_MM[0] <= gap <= GAPS_MM[1]:
        raise DesignError("door_gap_mm", _("Leave a gap of 3 to 5 mm on each side of a door."))
    leaves = _alike([opening for opening, _ in layout.openings], gap)
    doors = []
    for number, leaf in enumerate(leaves, start=1):
        opening, hinge_side = layout.openings[number - 1]
        edge = opening.width_mm if hinge_side in ("v0", "v1") else opening.height_mm
        hinges = _spread(edge, 3 if edge > WIDE_EDGE_MM else 2)
        latches = _spread(edge, 2 if edge > LATCH_TWICE_MM else 1)
        sills = layout.sills[number - 1]
        doors.append(Door(number, opening, leaf, hinge_side, hinges, latches, sills))  # type: ignore[arg-type]
    return tuple(doors)


def _alike(openings: Sequence[Opening], gap: int) -> list[Opening]:
    """Return the leaves; where openings differ by a millimetre, of one width, to be cut alike."""
    widths = sorted({opening.width_mm for opening in openings})
    # The millimetre goes to one gap, which must stay within what is usual.
    spare = 1 if gap < GAPS_MM[1] else 0
    leaves = []
    for one in openings:
        width = next(width for width in widths if width >= one.width_mm - spare) - 2 * gap
        left = one.u0 + gap
        leaves.append(Opening(one.face, left, one.v0 + gap, left + width, one.v1 - gap))
    return leaves


def _spread(edge_mm: int, count: int) -> tuple[int, ...]:
    if count == 1:
        return (edge_mm // 2,)
    inset = edge_mm // 6
    return tuple(inset + n * (edge_mm - 2 * inset) // (count - 1) for n in range(count))


def leaf_pieces(framing: Framing, door: Door) -> list[Piece]:
    """Return a door's wood, without letters: its frame, then the straps or the stops."""
    if door.opening.face == "roof":
        return [*_lid_frame(framing, door), *_lid_straps(framing, door)]
    return [*_wall_frame(framing, door), *_stops(framing, door)]


# ---------------------------------------------------------------------------------------------
# Lids


def _lid_frame(framing: Framing, door: Door) -> Iterator[Piece]:
    strap, leaf, part = framing.strap, door.leaf, f"door {door.number}"
    wood, z = Wood.flat(strap), framing.design.height_mm - strap.thickness_mm
    inner = leaf.height_mm - 2 * strap.width_mm
    holes = _corner_holes(framing, leaf.width_mm, inner)
    for y in (leaf.v0, leaf.v1 - strap.width_mm):
        yield wood.lay(mark("Door stile"), part, leaf.width_mm, (leaf.u0, y, z), holes=holes)
    for x in (leaf.u0, leaf.u1 - strap.width_mm):
        start = (x, leaf.v0 + strap.width_mm, z)
        yield wood.lay(mark("Door rail"), part, inner, start, along=Y, across=X)


def _corner_holes(framing: Framing, length: int, inner: int) -> list[Hole]:
    strap = framing.strap
    places = (strap.width_mm // 2, length - strap.width_mm // 2)
    return [hole(at, "across", strap.width_mm, inner, end_grain=True) for at in places]


def strap_rectangle(framing: Framing, door: Door) -> Opening:
    """Return the outline of the strapping on a lid: past the leaf but on the hinge side."""
    over = framing.design.door_gap_mm + LAP_MM
    leaf, side = door.leaf, door.hinge_side
    return Opening(
        leaf.face,
        leaf.u0 - (over if side != "u0" else 0),
        leaf.v0 - over,
        leaf.u1 + (over if side != "u1" else 0),
        leaf.v1 + over,
    )


def _lid_straps(framing: Framing, door: Door) -> Iterator[Piece]:
    strap, part = framing.strap, f"door {door.number}"
    outline = strap_rectangle(framing, door)
    wood, z = Wood.flat(strap), framing.design.height_mm
    inner = outline.height_mm - 2 * strap.width_mm
    for y in (outline.v0, outline.v1 - strap.width_mm):
        holes = _strap_holes(framing, outline.width_mm)
        yield wood.lay(mark("Door strap"), part, outline.width_mm, (outline.u0, y, z), holes=holes)
    for x in (outline.u0, outline.u1 - strap.width_mm):
        start = (x, outline.v0 + strap.width_mm, z)
        holes = _strap_holes(framing, inner)
        yield wood.lay(mark("Door end strap"), part, inner, start, along=Y, across=X, holes=holes)


def _strap_holes(framing: Framing, length: int) -> list[Hole]:
    thin = framing.strap.thickness_mm
    return [hole(at, "up", thin, thin) for at in evenly(length, STRAP_SCREW_EVERY_MM)]


# ---------------------------------------------------------------------------------------------
# Doors in a wall


def _wall_frame(framing: Framing, door: Door) -> Iterator[Piece]:
    strap, leaf, part = framing.strap, door.leaf, f"door {door.number}"
    along, depth = _wall_axes(door)
    outer = _outer_mm(framing, door, 0, strap.thickness_mm)
    wood = Wood.flat(strap)
    inner = leaf.height_mm - 2 * strap.width_mm
    holes = _corner_holes(framing, leaf.width_mm, inner)
    for v in (leaf.v0, leaf.v1 - strap.width_mm):
        start = _on_wall(door, leaf.u0, v, outer)
        yield wood.lay(mark("Door rail"), part, leaf.width_mm, start, along, Z, depth, holes=holes)
    for u in (leaf.u0, leaf.u1 - strap.width_mm):
        start = _on_wall(door, u, leaf.v0 + strap.width_mm, outer)
        yield wood.lay(mark("Door stile"), part, inner, start, Z, along, depth)


def _stops(framing: Framing, door: Door) -> Iterator[Piece]:
    """Yield the strips behind a wall door, on the sides of the posts next to it."""
    strap, opening = framing.strap, door.opening
    along, depth = _wall_axes(door)
    behind = _outer_mm(framing, door, strap.thickness_mm, strap.width_mm)
    length = opening.height_mm
    holes = [
        hole(at, "across", strap.thickness_mm, framing.thick)
        for at in evenly(length, STRAP_SCREW_EVERY_MM)
    ]
    wood = Wood(strap.key, strap.thickness_mm, strap.width_mm)
    for u in (opening.u0, opening.u1 - strap.thickness_mm):
        start = _on_wall(door, u, opening.v0, behind)
        yield wood.lay(mark("Stop"), "stop", length, start, Z, along, depth, holes=holes)


def _wall_axes(door: Door) -> tuple[Vector, Vector]:
    """Return the directions along a wall and through it."""
    return (X, Y) if door.opening.face in ("front", "back") else (Y, X)


def _outer_mm(framing: Framing, door: Door, behind_mm: int, deep_mm: int) -> int:
    """Return where a layer `deep_mm` thick, `behind_mm` within the wall's face, begins. [mm]"""
    design = framing.design
    if door.opening.face in ("front", "left"):
        return behind_mm
    outside = design.width_mm if door.opening.face == "back" else design.length_mm
    return outside - behind_mm - deep_mm


def _on_wall(door: Door, u: int, v: int, through: int) -> tuple[int, int, int]:
    if door.opening.face in ("front", "back"):
        return u, through, v
    return through, u, v
