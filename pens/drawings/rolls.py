"""Wire on its roll: each panel where it is cut, numbered as in the list beside it.

PURE.
"""

from garden.units import System
from garden.words import gettext as _
from garden.words import ngettext
from pens.design.materials import RollLayout
from pens.drawings.dimensions import Span, below, beside
from pens.drawings.letters import Mark, lettered
from pens.drawings.shapes import Box, Outline, Shape, Sheet, frame_of, length_words

_WIDE = 340.0


def roll_sheet(layout: RollLayout, first_number: int, system: System) -> Sheet:
    """Draw what is cut from a roll of one width.

    Parameters
    ----------
    layout : RollLayout
    first_number : int
        Number of its first panel in the list.
    system : {"metric", "us"}
        Units of the lengths.
    """
    scale = _WIDE / layout.length_mm
    roll = Box(0.0, 0.0, _WIDE, layout.width_mm * scale)
    shapes: list[Shape] = [Outline(_corners(roll), "before")]
    marks = []
    for number, placed in enumerate(layout.panels, start=first_number):
        panel = placed.panel
        sizes = (panel.along_mm, panel.across_mm)
        along, across = reversed(sizes) if placed.turned else sizes
        left, top = placed.along_mm * scale, placed.across_mm * scale
        box = Box(left, top, left + along * scale, top + across * scale)
        shapes.append(Outline(_corners(box), "timber"))
        middle = (round((box.left + box.right) / 2, 1), round((box.top + box.bottom) / 2, 1))
        marks.append(Mark(str(number), (middle,)))
    ends = sorted({round(shape.points[1][0], 1) for shape in shapes[1:]})
    along_spans = [Span(0.0, x, length_words(x / scale, system)) for x in ends if x < _WIDE - 1]
    along_spans.append(Span(0.0, _WIDE, length_words(layout.length_mm, system)))
    shapes += below(along_spans[-6:], roll)
    shapes += beside([Span(0.0, roll.bottom, length_words(layout.width_mm, system))], roll)
    whole = (*shapes, *lettered(marks, [shape.box for shape in shapes if hasattr(shape, "box")]))
    told = ngettext(
        "{n} panel; cuts are measured from the roll’s free end.",
        "{n} panels; cuts are measured from the roll’s free end.",
        len(layout.panels),
    ).format(n=len(layout.panels))
    return Sheet(_("On the roll"), told, whole, frame_of(whole), 1 / scale)


def _corners(box: Box) -> tuple[tuple[float, float], ...]:
    return (
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    )
