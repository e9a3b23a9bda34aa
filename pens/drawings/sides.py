"""The three plain views of a pen: plan, front and side, with every length that is measured while building.

PURE.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from garden.units import System
from garden.words import gettext as _
from garden.words import pgettext
from pens.design.values import Door, Piece, Reach
from pens.drawings.dimensions import Span
from pens.drawings.shapes import Disc, Outline, Shape, Sheet, box_of
from pens.drawings.solids import FROM_ABOVE, FROM_THE_FRONT, FROM_THE_RIGHT, View
from pens.drawings.views import Scene, chain, dimensioned, finished, one_of_each, solid_of, span

FRAME = ("base", "post", "top", "brace", "roof", "roost", "skid")
"""Parts that a plain view shows; strapping and doors have drawings of their own."""


@dataclass(frozen=True)
class Standing:
    """A bed with a pen in it: the bed's inside, and where the pen's corner is in it. [mm]"""

    name: str
    length_mm: float
    width_mm: float
    left_mm: float
    front_mm: float


@dataclass(frozen=True)
class Pot:
    """A feeder or a drinker on the floor: its middle and how wide it is. [mm]"""

    is_drinker: bool
    x_mm: float
    y_mm: float
    width_mm: float


def plan_sheet(
    pieces: Sequence[Piece],
    doors: Sequence[Door],
    system: System,
    bed: Standing | None = None,
    reach: Reach | None = None,
    pots: Sequence[Pot] = (),
) -> Sheet:
    """Draw the pen from above.

    Parameters
    ----------
    pieces, doors : sequence
        Of the pen.
    system : {"metric", "us"}
        Units of the lengths.
    bed : Standing, optional
        The bed whose walls and gaps are drawn round it.
    reach : Reach, optional
        Its worst point is marked.
    pots : sequence of Pot
        Drawn where they stand.
    """
    solids = [solid_of(piece) for piece in pieces if piece.part in FRAME]
    scene = Scene.of(solids, FROM_ABOVE)
    shapes = scene.outlines() + _leaves(scene, doors, "roof")
    along, up = _lengths(scene, pieces, axes=(0, 1), between=("roof", "base"), system=system)
    edges = box_of(point for shape in shapes for point in shape.points)
    if bed is not None:
        walls, gaps_along, gaps_up = _bed(scene, bed, pieces, system)
        shapes.append(walls)
        along, up = along + gaps_along, up + gaps_up
        edges = box_of((*walls.points, (edges.left, edges.top), (edges.right, edges.bottom)))
    shapes += dimensioned(edges, along, up)
    shapes += _spots(scene, reach, pots)
    told = _("From above, without cover and wire; doors in the roof are outlined.")
    if pots:
        told = f"{told} {_('Circles are feeders, with a ring inside drinkers.')}"
    if bed is not None:
        line = _("The dashed line is the inside of {bed}.").format(bed=bed.name)
        told = f"{told} {line}"
    on_top = (solid_of(piece) for piece in pieces if piece.part in ("top", "roof", "roost"))
    marks = scene.marks(one_of_each(on_top))
    return finished(pgettext("a drawing from above", "Plan"), told, scene, shapes, marks, system)


def front_sheet(pieces: Sequence[Piece], doors: Sequence[Door], system: System) -> Sheet:
    """Draw the pen's long side from the front."""
    title, told = pgettext("of a pen", "Front"), _("The long side, without wire.")
    return _wall(title, told, FROM_THE_FRONT, "front", pieces, doors, system)


def side_sheet(pieces: Sequence[Piece], doors: Sequence[Door], system: System) -> Sheet:
    """Draw the pen's end from the right."""
    title, told = pgettext("of a pen", "Side"), _("The right-hand end, without wire.")
    return _wall(title, told, FROM_THE_RIGHT, "right", pieces, doors, system)


def _wall(
    title: str,
    told: str,
    view: View,
    face: str,
    pieces: Sequence[Piece],
    doors: Sequence[Door],
    system: System,
) -> Sheet:
    solids = [solid_of(piece) for piece in pieces if piece.part in FRAME]
    scene = Scene.of(solids, view)
    shapes = scene.outlines() + _leaves(scene, doors, face)
    axis = 0 if face == "front" else 1
    near = _on_face(pieces, face)
    along, up = _lengths(scene, near, axes=(axis, 2), between=("post", "rail"), system=system)
    edges = box_of(point for shape in shapes for point in shape.points)
    shapes += dimensioned(edges, along, up)
    marks = scene.marks(one_of_each(solid_of(piece) for piece in near))
    return finished(title, told, scene, shapes, marks, system)


def _on_face(pieces: Sequence[Piece], face: str) -> list[Piece]:
    """Keep the frame's pieces whose outside lies in a wall."""
    frame = [piece for piece in pieces if piece.part in FRAME]
    if face == "front":
        outside = min(piece.low[1] for piece in frame)
        return [piece for piece in frame if piece.low[1] <= outside + 1]
    outside = max(piece.high[0] for piece in frame)
    return [piece for piece in frame if piece.high[0] >= outside - 1]


def _lengths(
    scene: Scene,
    pieces: Sequence[Piece],
    axes: tuple[int, int],
    between: tuple[str, str],
    system: System,
) -> tuple[list[Span], list[Span]]:
    """Return the lengths to the right and upwards: over all, and clear between neighbours."""
    frame = [piece for piece in pieces if piece.part in FRAME]
    told: list[list[Span]] = []
    for number, axis in enumerate(axes):
        # Up on the pen is down in the picture's numbers.
        scale = scene.scale if number == 0 else -scene.scale
        low = min(piece.low[axis] for piece in frame)
        high = max(piece.high[axis] for piece in frame)
        across = [piece for piece in frame if _is_thin(piece, axis, between[number])]
        edges = [(piece.low[axis], piece.high[axis]) for piece in across]
        told.append([span(low, high, scale, system), *chain(edges, scale, system)])
    return told[0], told[1]


def _is_thin(piece: Piece, axis: int, part: str) -> bool:
    """Whether a piece stands across a direction, so that clear lengths run between it and the next."""
    if part == "rail" and piece.part not in ("base", "top"):
        return False
    if part != "rail" and piece.part not in (part, "base", "top", "post"):
        return False
    reach = piece.high[axis] - piece.low[axis]
    return reach <= max(piece.across_mm, piece.up_mm) + 1 and abs(piece.along[axis]) < 0.5


def _leaves(scene: Scene, doors: Iterable[Door], face: str) -> list[Outline]:
    """Outline the doors that lie on a face."""
    return [
        Outline(tuple(scene.at(corner) for corner in leaf_corners(door)), "leaf")
        for door in doors
        if door.opening.face == face
    ]


def leaf_corners(door: Door) -> list[tuple[float, float, float]]:
    """Return the corners of a door's leaf in space, on the pen's outside."""
    leaf = door.leaf
    corners = [(leaf.u0, leaf.v0), (leaf.u1, leaf.v0), (leaf.u1, leaf.v1), (leaf.u0, leaf.v1)]
    if leaf.face == "roof":
        return [(u, v, 0.0) for u, v in corners]
    if leaf.face in ("front", "back"):
        return [(u, 0.0, v) for u, v in corners]
    return [(0.0, u, v) for u, v in corners]


def _bed(
    scene: Scene, bed: Standing, pieces: Sequence[Piece], system: System
) -> tuple[Outline, list[Span], list[Span]]:
    """Draw the bed's inside, with the gaps to it."""
    left, front = -bed.left_mm, -bed.front_mm
    right, back = left + bed.length_mm, front + bed.width_mm
    length = max(piece.high[0] for piece in pieces if piece.part in FRAME)
    width = max(piece.high[1] for piece in pieces if piece.part in FRAME)
    corners = ((left, front, 0), (right, front, 0), (right, back, 0), (left, back, 0))
    walls = Outline(tuple(scene.at(corner) for corner in corners), "bed-wall")
    along = [(left, right), *((a, b) for a, b in ((left, 0), (length, right)) if b - a >= 1)]
    up = [(front, back), *((a, b) for a, b in ((front, 0), (width, back)) if b - a >= 1)]
    return (
        walls,
        [span(a, b, scene.scale, system) for a, b in along],
        [span(a, b, -scene.scale, system) for a, b in up],
    )


def _spots(scene: Scene, reach: Reach | None, pots: Sequence[Pot]) -> list[Shape]:
    shapes: list[Shape] = []
    for pot in pots:
        x, y = scene.at((pot.x_mm, pot.y_mm, 0))
        across = pot.width_mm * scene.scale / 2
        shapes.append(Disc(x, y, across, "thing"))
        if pot.is_drinker:
            shapes.append(Disc(x, y, across / 2, "thing"))
    if reach is not None:
        x, y = scene.at((reach.worst_x_mm, reach.worst_y_mm, 0))
        shapes.append(Disc(x, y, 4, "worst"))
    return shapes
