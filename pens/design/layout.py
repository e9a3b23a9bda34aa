"""Where the doors of a pen go, and the posts and roof bars that follow from them: what is common to
lids (`lids`) and doors in the walls (`side_doors`).

PURE. Whole millimetres.
"""

from dataclasses import dataclass

from pens.design.choices import PenDesign
from pens.design.values import Opening, Reach, Sill

POST_EVERY_MM = 1500
"""Longest stretch of rail without a post [mm]. Common practice, no source."""

BAR_EVERY_MM = 900
"""Longest stretch of roof without a bar under the cover [mm]: rain must not pool. From memory."""

SHORTEST_DOOR_MM = 250
"""Least width and height of a door [mm]: less lets no bird through in a hand. Our choice."""


@dataclass(frozen=True, slots=True)
class Layout:
    """Where things are along the pen. [mm]

    Attributes
    ----------
    openings : tuple of (Opening, str)
        Each door's opening with its hinge side.
    bars_mm : tuple of int
        Near faces of the roof bars.
    posts_mm : tuple of int
        Near faces of the posts between the corners, on both long walls.
    end_posts_mm : tuple of int
        The same on both ends.
    fixed : tuple of (int, int)
        Stretches of the roof that do not open, over the bars at their ends.
    sills : tuple of tuple of Sill
        For each door.
    reach : Reach
    """

    openings: tuple[tuple[Opening, str], ...]
    bars_mm: tuple[int, ...]
    posts_mm: tuple[int, ...]
    end_posts_mm: tuple[int, ...]
    fixed: tuple[tuple[int, int], ...]
    sills: tuple[tuple[Sill, ...], ...]
    reach: Reach


def floor_of(design: PenDesign, thick_mm: int) -> tuple[int, int, int, int]:
    """Return the rectangle of floor inside the framing. [mm]"""
    return (thick_mm, thick_mm, design.length_mm - thick_mm, design.width_mm - thick_mm)


def stations(length_mm: int, every_mm: int, wide_mm: int) -> tuple[int, ...]:
    """Return the near faces of posts that part a length evenly, none more than `every_mm` apart."""
    stretches = -(-length_mm // every_mm)
    return tuple(
        round(number * length_mm / stretches - wide_mm / 2) for number in range(1, stretches)
    )
