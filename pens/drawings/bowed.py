"""How to look along a board: an eye at one end, a bow drawn larger than life.

PURE.
"""

from garden.words import gettext as _
from pens.drawings.shapes import Disc, Outline, Point, Shape, Sheet, Words, frame_of

_LENGTH, _BOW, _THICK, _STEPS = 300.0, 34.0, 14.0, 24


def bowed_sheet() -> Sheet:
    """Draw a bowed board beside the straight line of sight, with the crown marked."""
    upper = _curve(0)
    lower = _curve(_THICK)
    eye: Point = (-40.0, 62.0)
    shapes: list[Shape] = [
        Outline((*upper, *reversed(lower)), "new"),
        Outline((eye, (_LENGTH + 20, 62.0)), "diagonal", is_open=True),
        Disc(*eye, 12.0, "thing"),
        Disc(eye[0] + 4, eye[1], 4.5, "spot"),
        Outline(((_LENGTH / 2, -8), (_LENGTH / 2, 14)), "leader", is_open=True),
        Words(_LENGTH / 2, -14, _("crown: chalk an arrow here")),
        Words(_LENGTH / 2, 84, _("line of sight along the edge")),
    ]
    told = _(
        "An eye at one end looks along the edge; the middle of the board rises above the straight line."
    )
    return Sheet(_("Looking along a board"), told, tuple(shapes), frame_of(shapes), 8.0)


def _curve(down: float) -> list[Point]:
    points = []
    for number in range(_STEPS + 1):
        share = number / _STEPS
        rise = 4 * _BOW * share * (1 - share)
        points.append((round(_LENGTH * share, 1), round(48.0 - rise + down, 1)))
    return points
