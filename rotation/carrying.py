"""How far a pen is carried, and the words for where it goes or why it goes nowhere.

PURE. Points are on the garden's map: metres east and metres south of its corner.
"""

from collections.abc import Mapping, Sequence
from math import hypot

from garden.words import gettext as _
from garden.words import mark

Point = tuple[float, float]


def carry_m(origin: Point | None, goal: Point | None) -> float | None:
    """Return the straight way between two places.

    Parameters
    ----------
    origin, goal : tuple of float or None
        The middles of the places; None where it is not on the map, such as the standing ground. [m]

    Returns
    -------
    float or None
        None when either end is not on the map. [m]
    """
    if origin is None or goal is None:
        return None
    return hypot(goal[0] - origin[0], goal[1] - origin[1])


def place_in_words(offset_mm: float, offsets_mm: Sequence[float], *, lies_across: bool) -> str:
    """Say which place of a bed is meant, counted from its north or west end.

    Parameters
    ----------
    offset_mm : float
        From the bed's first end wall to the near end of the pen. [mm]
    offsets_mm : sequence of float
        The same of every place that the pen finds on the bed, in order along it. [mm]
    lies_across : bool
        Whether the bed's length runs east to west.

    Returns
    -------
    str
        Such as ``place 2 of 3 from the north end``; empty where the bed holds one such pen only.

    Notes
    -----
    The nearest place is meant: where a bed was measured anew, a pen put down before lies between two.
    """
    if len(offsets_mm) < 2:
        return ""
    nearest = min(range(len(offsets_mm)), key=lambda place: abs(offsets_mm[place] - offset_mm))
    said = (
        _("place {number} of {of} from the west end")
        if lies_across
        else _("place {number} of {of} from the north end")
    )
    return said.format(number=nearest + 1, of=len(offsets_mm))


SHUT_BY = {
    "crop": mark("shut by a crop or the wait before its harvest"),
    "closed": mark("not to be had"),
    "nitrogen": mark("without nitrogen room"),
    "rest": mark("resting or kept for a later visit"),
    "taken": mark("taken by another pen"),
    "length": mark("open for too short a time"),
    "cost": mark("open, but not worth the move"),
}
"""What a page calls each reason of `rotation.engine.explain`."""


def off_bed_in_words(because: Mapping[str, int]) -> str:
    """Say why no place takes a pen, from how many places each reason shuts.

    Parameters
    ----------
    because : mapping of str to int
        As `rotation.engine.explain` counts; a reason that is not known is told by its own name.

    Returns
    -------
    str
        Such as ``7 without nitrogen room, 1 resting``, the weightiest first; empty where nothing was
        counted.
    """
    # Not the order that came: a database may give the reasons back in another.
    weightiest_first = sorted(because.items(), key=lambda reason: (-reason[1], reason[0]))
    return ", ".join(
        f"{count} {_(SHUT_BY.get(reason, reason))}" for reason, count in weightiest_first if count
    )
