"""What would bring all of a floor within reach, each tried on paper.

PURE. Whole millimetres.
"""

from dataclasses import dataclass, replace

from pens.built import pen_of
from pens.design import DesignError, Pen, PenDesign

_STEP_MM = 10
_TRIES = 4


@dataclass(frozen=True, slots=True)
class ReachCures:
    """Changes after which every point is within reach; 0 or False where none was found.

    Attributes
    ----------
    width_mm : int
        Of a narrower pen. [mm]
    other_doors : bool
        Whether the other kind of door does it.
    hook_mm : int
        How long a hook or rake reaches what the hand does not. [mm]
    """

    width_mm: int
    other_doors: bool
    hook_mm: int


def reach_cures(pen: Pen) -> ReachCures | None:
    """Return the cures of a pen; None where nothing is beyond reach."""
    if pen.reach.covered:
        return None
    other = "sides" if pen.design.doors == "lids" else "lids"
    return ReachCures(
        width_mm=_narrower(pen),
        other_doors=_is_covered(replace(pen.design, doors=other)),
        hook_mm=_up(pen.reach.most_mm - pen.reach.reach_mm),
    )


def _narrower(pen: Pen) -> int:
    """Narrow a pen by what is beyond reach, on both sides, until it is covered."""
    design, beyond_mm = pen.design, pen.reach.most_mm - pen.reach.reach_mm
    for _ in range(_TRIES):
        width_mm = design.width_mm - max(_STEP_MM, _up(2 * beyond_mm))
        if width_mm < pen.design.width_mm / 2:
            return 0
        design = replace(design, width_mm=width_mm)
        try:
            reach = pen_of(design).reach
        except DesignError:
            return 0
        if reach.covered:
            return width_mm
        beyond_mm = reach.most_mm - reach.reach_mm
    return 0


def _is_covered(design: PenDesign) -> bool:
    try:
        return pen_of(design).reach.covered
    except DesignError:
        return False


def _up(length_mm: float) -> int:
    """Round up to a whole centimetre. [mm]"""
    return -int(-length_mm // _STEP_MM) * _STEP_MM
