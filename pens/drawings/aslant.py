"""The pen seen aslant: taken apart into its layers, and as it stands after each step of building.

PURE.
"""

from collections import Counter
from collections.abc import Callable, Sequence

from garden.words import gettext as _
from pens.design.values import Piece
from pens.drawings.letters import lettered
from pens.drawings.shapes import Outline, Point, Shape, Sheet, frame_of
from pens.drawings.solids import ASLANT, Place, Solid
from pens.drawings.views import Scene, one_of_each, solid_of

Extra = Callable[[Scene], list[Shape]]
"""Draws something more into a scene."""

LAYERS = {"skid": -1, "base": 0, "roost": 1, "post": 1, "brace": 1, "top": 2, "roof": 3}
"""How high each part is lifted when the pen is taken apart, in layers."""

LIFT = 0.75
"""Height of a layer as a share of the pen's own. Our choice: no layer hides the next one's letters."""


def exploded_sheet(pieces: Sequence[Piece]) -> Sheet:
    """Draw the frame taken apart, each layer lifted off the one below, doors to the top.

    Parameters
    ----------
    pieces : sequence of Piece
        Of the pen; strapping is left out, since it lies flat over what is drawn.
    """
    frame = [piece for piece in pieces if piece.part in LAYERS or piece.part.startswith("door")]
    lift_mm = LIFT * max(piece.high[2] for piece in frame)
    solids = [solid_of(piece).moved(_lifted(piece, lift_mm)) for piece in frame]
    scene = Scene.of(solids, ASLANT)
    told = _(
        "Seen from above the front left corner, each layer lifted off the one below; not to scale."
    )
    marks = scene.marks(one_of_each(solids))
    return _sheet(_("Taken apart"), told, scene, scene.bodies(), marks)


def _lifted(piece: Piece, lift_mm: float) -> Place:
    layer = LAYERS.get(piece.part, 4)
    return (0.0, 0.0, layer * lift_mm)


def step_sheet(
    title: str, new: Sequence[Piece], done: Sequence[Piece], extra: Extra | None = None
) -> Sheet:
    """Draw the pen after a step, what the step adds in colour and lettered.

    Parameters
    ----------
    title : str
        Of the step.
    new, done : sequence of Piece
        What the step adds, and what stands already; at least one piece in all.
    extra : callable, optional
        Draws more: the diagonals of a check, the cover.
    """
    fresh = [solid_of(piece, "new") for piece in new]
    scene = Scene.of([*(solid_of(piece, "before") for piece in done), *fresh], ASLANT)
    shapes = scene.bodies()
    if extra is not None:
        shapes += extra(scene)
    letters = list(dict.fromkeys(solid.letter for solid in fresh))
    told = _("In colour: {letters}.") if letters else _("As it stands now.")
    told = told.format(letters=", ".join(letters))
    return _sheet(title, told, scene, shapes, scene.marks(_few_of_each(fresh)))


def _few_of_each(solids: Sequence[Solid]) -> list[Solid]:
    """Keep the first pieces of each letter, fewer where there are many letters: the others follow."""
    most = max(2, 8 // max(1, len({solid.letter for solid in solids})))
    counts: Counter[str] = Counter()
    kept: list[Solid] = []
    for solid in solids:
        counts[solid.letter] += 1
        if counts[solid.letter] <= most:
            kept.append(solid)
    return kept


def _sheet(title: str, told: str, scene: Scene, shapes: list[Shape], marks: list) -> Sheet:
    whole = (*shapes, *lettered(marks))
    return Sheet(title, told, whole, frame_of(whole), scene.mm_per_unit)


def square_check(length_mm: float, width_mm: float, level_mm: float) -> Extra:
    """Return what draws both diagonals of a rectangle at a height."""

    def draw(scene: Scene) -> list[Shape]:
        ways = (((0, 0), (length_mm, width_mm)), ((length_mm, 0), (0, width_mm)))
        return [
            Outline(
                tuple(scene.at((*corner, level_mm)) for corner in way), "diagonal", is_open=True
            )
            for way in ways
        ]

    return draw


def flat_faces(faces: Sequence[Sequence[Place]], kind: str) -> Extra:
    """Return what draws rectangles in space: the wire of a wall, a cover."""

    def draw(scene: Scene) -> list[Shape]:
        outlines: list[Shape] = []
        for face in faces:
            points: tuple[Point, ...] = tuple(scene.at(corner) for corner in face)
            outlines.append(Outline(points, kind))
        return outlines

    return draw
