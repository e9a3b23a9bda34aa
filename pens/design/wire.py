"""The wire of a pen: one panel for each stretch of wall and roof, folded round corners.

PURE. Selvedges, the edges a roll is sold with, lie flat on the rails; what is cut is folded under by
a mesh or clamped by a strap, because cut wire is sharp and frays.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from garden.words import gettext as _
from garden.words import mark
from pens.design.choices import DesignError, PenDesign
from pens.design.layout import Layout
from pens.design.materials import WirePanel
from pens.design.values import Door, Opening

HEM_MM = 13
"""Folded under along a cut edge: one mesh of half-inch cloth [mm]. Our choice."""

DOWN_MM = 25
"""Roof wire folded down over the walls' upper edge, where the roll is wide enough [mm]. Our choice."""


_WALLS = {
    ("front", False): mark("Front wall"),
    ("back", False): mark("Back wall"),
    ("left", False): mark("Left end"),
    ("right", False): mark("Right end"),
    ("front", True): mark("Front wall, course {number}"),
    ("back", True): mark("Back wall, course {number}"),
    ("left", True): mark("Left end, course {number}"),
    ("right", True): mark("Right end, course {number}"),
}
"""What a panel is called by its wall, and whether that has several courses."""


def wire_panels(design: PenDesign, layout: Layout, doors: Sequence[Door]) -> tuple[WirePanel, ...]:
    """Return every piece of wire as it is cut.

    Parameters
    ----------
    design : PenDesign
        Its roll widths and its overlap.
    layout : Layout
        Its stretches of fixed roof.
    doors : sequence of Door
        A door in a wall takes the wire that is cut out of its opening.

    Returns
    -------
    tuple of WirePanel
        Walls, roof, doors, skirt.

    Raises
    ------
    DesignError
        If there is no roll, or one too narrow to lap.
    """
    if not design.roll_widths_mm or min(design.roll_widths_mm) < 3 * design.overlap_mm:
        raise DesignError("roll_widths_mm", _("Name a roll at least three overlaps wide."))
    panels = [
        *_walls(design),
        *_roof(design, layout),
        *_doors(doors),
        *(_skirt(design) if design.skirt_mm else ()),
    ]
    return tuple(strip for panel in panels for strip in _in_strips(design, panel))


def courses(height_mm: int, widths_mm: Sequence[int], overlap_mm: int) -> list[tuple[int, int]]:
    """Return the lower and upper edge of each course of a wall, from the soil up. [mm]

    One course where a roll is wide enough; else whole widths of the widest, and the rest.
    """
    if height_mm <= max(widths_mm):
        return [(0, height_mm)]
    widest = max(widths_mm)
    found = [(0, widest)]
    while found[-1][1] < height_mm:
        low = found[-1][1] - overlap_mm
        found.append((low, min(height_mm, low + widest)))
    return found


def _walls(design: PenDesign) -> Iterator[WirePanel]:
    """Yield long walls that go round the corners, and end walls that lie over what comes round."""
    lap, length, width = design.overlap_mm, design.length_mm, design.width_mm
    levels = courses(design.height_mm, design.roll_widths_mm, lap)
    for number, (low, high) in enumerate(levels):
        course = number + 1 if len(levels) > 1 else 0
        below = ((mark("over the course below"), lap),) if number else ()
        for face, near in (("front", 0), ("back", width - lap)):
            covers = (
                Opening(face, 0, low, length, high),  # type: ignore[arg-type]
                Opening("left", near, low, near + lap, high),
                Opening("right", near, low, near + lap, high),
            )
            folds = ((mark("round each corner"), lap), *below)
            name, along = _WALLS[face, course > 0], length + 2 * lap
            yield WirePanel(name, high - low, along, covers, folds, number=course)
        for face in ("left", "right"):
            cover = Opening(face, 0, low, width, high)  # type: ignore[arg-type]
            name = _WALLS[face, course > 0]
            yield WirePanel(name, high - low, width, (cover,), below, number=course)


def _roof(design: PenDesign, layout: Layout) -> Iterator[WirePanel]:
    widest = max(design.roll_widths_mm)
    down = DOWN_MM
    if design.width_mm <= widest < design.width_mm + 2 * DOWN_MM:
        down = (widest - design.width_mm) // 2
    for low, high in layout.fixed:
        ends = [down if edge in (0, design.length_mm) else HEM_MM for edge in (low, high)]
        folds = [(mark("down over each long wall"), down)]
        folds += [(mark("down over the end"), down)] if down in ends and down != HEM_MM else []
        folds += [(mark("under along a cut edge"), HEM_MM)] if HEM_MM in ends else []
        cover = Opening("roof", low, 0, high, design.width_mm)
        across, along = design.width_mm + 2 * down, high - low + sum(ends)
        yield WirePanel(mark("Roof"), across, along, (cover,), tuple(folds))


def _doors(doors: Sequence[Door]) -> Iterator[WirePanel]:
    for door in doors:
        leaf = door.leaf
        cut_out = 0 if leaf.face == "roof" else door.number
        name = mark("Door {number}")
        size = (leaf.height_mm, leaf.width_mm)
        yield WirePanel(name, *size, (leaf,), (), cut_out, door.number)


def _skirt(design: PenDesign) -> Iterator[WirePanel]:
    wide, length, width = design.skirt_mm, design.length_mm, design.width_mm
    for name, v0 in ((mark("Front skirt"), -wide), (mark("Back skirt"), width)):
        cover = Opening("skirt", -wide, v0, length + wide, v0 + wide)
        yield WirePanel(name, wide, length + 2 * wide, (cover,))
    for name, u0 in ((mark("Left skirt"), -wide), (mark("Right skirt"), length)):
        cover = Opening("skirt", u0, 0, u0 + wide, width)
        yield WirePanel(name, wide, width, (cover,))


def _in_strips(design: PenDesign, panel: WirePanel) -> Iterator[WirePanel]:
    """Part a panel that no roll is wide enough for into strips that lap."""
    widest, lap = max(design.roll_widths_mm), design.overlap_mm
    narrow, longer = sorted((panel.across_mm, panel.along_mm))
    if panel.from_door or narrow <= widest:
        yield panel
        return
    count = -(-(narrow - lap) // (widest - lap))
    wide = -(-(narrow + (count - 1) * lap) // count)
    (cover,) = panel.covers
    runs_along_u = panel.across_mm <= panel.along_mm
    size = cover.height_mm if runs_along_u else cover.width_mm
    for number in range(count):
        # Folds at the outer edges stay with the outer strips.
        first = max(0, round(number * (wide - lap) * size / narrow))
        last = (
            size if number == count - 1 else round((number * (wide - lap) + wide) * size / narrow)
        )
        part = (
            Opening(cover.face, cover.u0, cover.v0 + first, cover.u1, cover.v0 + last)
            if runs_along_u
            else Opening(cover.face, cover.u0 + first, cover.v0, cover.u0 + last, cover.v1)
        )
        folds = (*panel.folds, (mark("over the next strip"), lap))
        yield replace(
            panel, across_mm=wide, along_mm=longer, covers=(part,), folds=folds, strip=number + 1
        )
