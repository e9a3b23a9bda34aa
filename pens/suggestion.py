"""What pen to suggest for the beds there are.

PURE.
"""

from collections.abc import Collection
from math import ceil
from string import ascii_uppercase

from garden.words import gettext as _
from pens.fit import BedKind

LONGEST_MM = 2440
"""Longest pen suggested [mm]: an 8 ft board, and about what two people carry level. Our choice."""


def suggested_size_mm(
    bed_length_mm: float, bed_width_mm: float, clearance_mm: float, kind: BedKind
) -> tuple[float, float]:
    """Return the outside of a pen that makes good use of a bed.

    Parameters
    ----------
    bed_length_mm, bed_width_mm : float
        Inside the walls; the length is the longer. [mm]
    clearance_mm : float
        Least gap on each side; on turf it counts as 0. [mm]
    kind : {"raised", "ground", "turf"}
        What the bed is.

    Returns
    -------
    tuple of float
        Length and width, longer side first: as wide as the bed lets it be and as long, or, on a bed
        beyond `LONGEST_MM`, of the length that divides the bed evenly. Whole millimetres. [mm]
    """
    clear_mm = 0.0 if kind == "turf" else clearance_mm
    places = ceil((bed_length_mm - clear_mm) / (LONGEST_MM + clear_mm))
    along_mm = (bed_length_mm - (places + 1) * clear_mm) // places
    across_mm = (bed_width_mm - 2 * clear_mm) // 1
    return max(along_mm, across_mm), min(along_mm, across_mm)


def next_pen_name(taken: Collection[str]) -> str:
    """Return the first of Pen A, Pen B … Pen Z, Pen 27 … that no pen has yet."""
    used = {name.lower() for name in taken}
    called = [*ascii_uppercase, *range(27, 28 + len(used))]
    names = [_("Pen {letter}").format(letter=letter) for letter in called]
    return next(name for name in names if name.lower() not in used)


def free_name(wish: str, taken: Collection[str], longest: int = 40) -> str:
    """Return a name as wished, or with the first number behind it that no pen has yet.

    Parameters
    ----------
    wish : str
        Such as ``Long pen``.
    taken : collection of str
        Names in use; capitals make no difference.
    longest : int
        Most characters of a name.
    """
    used = {name.lower() for name in taken}
    if wish.lower() not in used:
        return wish
    numbered = (f"{wish[: longest - 4]} {number}" for number in range(2, len(used) + 3))
    return next(name for name in numbered if name.lower() not in used)
