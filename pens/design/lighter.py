"""What would make a pen lighter: a thinner frame, or two pens where one was meant.

PURE. Whole millimetres.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from garden.words import gettext as _
from pens.design.assembly import design_pen
from pens.design.choices import DesignError, PenDesign
from pens.design.lumber import profiles

LEAST_THICK_MM = 25
"""Thinnest wood that holds a screw in its end [mm]. Our choice."""

WORTH_SAVING = 0.05
"""Share of the weight that a change must save to be told. Our choice."""


@dataclass(frozen=True, slots=True)
class Lighter:
    """A change, how many pens it makes, and the weight of one: all of it, and its heavier end. [kg]"""

    words: str
    pens: int
    pen_kg: float
    end_kg: float


def lighter_ways(design: PenDesign, clearance_mm: float) -> tuple[Lighter, ...]:
    """Return what saves weight, the lightest last: of woods, the stoutest that does.

    Parameters
    ----------
    design : PenDesign
    clearance_mm : float
        Gap between two pens along a bed. [mm]
    """
    now_kg = design_pen(design).mass.total_kg
    found: list[Lighter] = []
    for words, pens, changed in _changes(design, clearance_mm):
        try:
            mass = design_pen(changed).mass
        except DesignError:
            continue
        told = any(one.pens == pens for one in found)
        if not told and mass.total_kg < (1 - WORTH_SAVING) * now_kg:
            end_kg = max(mass.at_left_kg, mass.at_right_kg)
            found.append(Lighter(words, pens, mass.total_kg, end_kg))
    return tuple(sorted(found, key=lambda one: -one.pen_kg))


def _changes(design: PenDesign, clearance_mm: float) -> Iterator[tuple[str, int, PenDesign]]:
    woods = profiles()
    wood = woods[design.profile]
    thinner = [
        one
        for one in woods.values()
        if one.system == wood.system
        and one.section_mm2 < wood.section_mm2
        and one.thickness_mm >= max(LEAST_THICK_MM, woods[design.strap].thickness_mm)
        and one.width_mm >= woods[design.strap].width_mm
    ]
    for one in sorted(thinner, key=lambda one: -one.section_mm2):
        yield _("A frame of {wood}").format(wood=one.words), 1, replace(design, profile=one.key)
    half_mm = int((design.length_mm - clearance_mm) / 2)
    sides = (max(half_mm, design.width_mm), min(half_mm, design.width_mm))
    two = replace(design, length_mm=sides[0], width_mm=sides[1], birds=-(-design.birds // 2))
    yield _("Two pens along the bed, half as long"), 2, two
