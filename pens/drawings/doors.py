"""Each door by itself: its frame in the opening, hinges and latches where they go.

PURE.
"""

from collections.abc import Sequence

from garden.units import System
from garden.words import gettext as _
from garden.words import mark
from pens.design.values import Door, Piece
from pens.drawings.dimensions import Span
from pens.drawings.shapes import Disc, Shape, Sheet, box_of, length_words
from pens.drawings.sides import leaf_corners
from pens.drawings.solids import (
    FROM_ABOVE,
    FROM_THE_BACK,
    FROM_THE_FRONT,
    FROM_THE_LEFT,
    FROM_THE_RIGHT,
    View,
)
from pens.drawings.views import (
    Scene,
    chain,
    dimensioned,
    finished,
    one_of_each,
    solid_of,
    span,
)

VIEWS: dict[str, View] = {
    "front": FROM_THE_FRONT,
    "back": FROM_THE_BACK,
    "left": FROM_THE_LEFT,
    "right": FROM_THE_RIGHT,
    "roof": FROM_ABOVE,
}
WORDS = {
    "front": mark("Seen from outside, in the front. Filled spots are hinges, open ones latches."),
    "back": mark("Seen from outside, in the back. Filled spots are hinges, open ones latches."),
    "left": mark("Seen from outside, in the left end. Filled spots are hinges, open ones latches."),
    "right": mark(
        "Seen from outside, in the right end. Filled spots are hinges, open ones latches."
    ),
    "roof": mark("Seen from outside, in the roof. Filled spots are hinges, open ones latches."),
}


def door_sheet(pieces: Sequence[Piece], door: Door, system: System) -> Sheet:
    """Draw a door's frame as it lies in its opening, seen from outside.

    Parameters
    ----------
    pieces : sequence of Piece
        Of the whole pen; those of the part ``door n`` are drawn.
    door : Door
        Which one.
    system : {"metric", "us"}
        Units of the lengths.
    """
    part = f"door {door.number}"
    own = [piece for piece in pieces if piece.part == part]
    solids = [solid_of(piece) for piece in own]
    scene = Scene.of(solids, VIEWS[door.opening.face])
    shapes: list[Shape] = list(scene.outlines())
    drawn = box_of(point for shape in shapes for point in shape.points)
    along, up = _lengths(scene, own, door, system)
    shapes += dimensioned(drawn, along, up)
    shapes += _fittings(scene, door)
    gap_mm = door.leaf.u0 - door.opening.u0
    opening = _("The opening is {width} by {height}: {gap} mm of air on each side.").format(
        width=length_words(door.opening.width_mm, system),
        height=length_words(door.opening.height_mm, system),
        gap=gap_mm,
    )
    told = f"{_(WORDS[door.opening.face])} {opening}"
    marks = scene.marks(one_of_each(solids))
    return finished(
        _("Door {number}").format(number=door.number), told, scene, shapes, marks, system
    )


def _lengths(
    scene: Scene, own: Sequence[Piece], door: Door, system: System
) -> tuple[list[Span], list[Span]]:
    """Return the leaf's sizes, and the clear lengths inside its frame."""
    leaf, told = door.leaf, []
    for right_or_up in (scene.view.right, scene.view.up):
        axis = next(number for number, share in enumerate(right_or_up) if share)
        turned = right_or_up[axis] if right_or_up is scene.view.right else -right_or_up[axis]
        scale = scene.scale * turned
        low = min(piece.low[axis] for piece in own)
        high = max(piece.high[axis] for piece in own)
        across = [
            (piece.low[axis], piece.high[axis]) for piece in own if abs(piece.along[axis]) < 0.5
        ]
        frame = (leaf.u0, leaf.u1) if right_or_up is scene.view.right else (leaf.v0, leaf.v1)
        sizes = [span(low, high, scale, system), span(*frame, scale, system)]
        told.append([*sizes, *chain(across, scale, system)])
    return told[0], told[1]


def _fittings(scene: Scene, door: Door) -> list[Shape]:
    """Mark the hinges on their edge and the latches on the edge opposite."""
    corners = leaf_corners(door)
    edges = {
        "v0": (corners[0], corners[1]),
        "u1": (corners[1], corners[2]),
        "v1": (corners[3], corners[2]),
        "u0": (corners[0], corners[3]),
    }
    opposite = {"u0": "u1", "u1": "u0", "v0": "v1", "v1": "v0"}
    shapes: list[Shape] = []
    for side, places, kind in (
        (door.hinge_side, door.hinges_at_mm, "spot"),
        (opposite[door.hinge_side], door.latches_at_mm, "thing"),
    ):
        start, end = edges[side]
        whole = sum(abs(b - a) for a, b in zip(start, end, strict=True))
        for at_mm in places:
            share = at_mm / whole
            place = tuple(a + (b - a) * share for a, b in zip(start, end, strict=True))
            shapes.append(Disc(*scene.at(place), 6.0, kind))
    return shapes
