"""A cut list to start from: the plain box frame of a light pen.

PURE. It is a frame that many growers build, not an engineered design: no brace, door or roof is in it.
"""

from dataclasses import dataclass

from garden.words import mark
from pens.fit import FRAMING_MM

HEIGHT_MM = 600
"""Outside height of a broiler pen [mm]: 24 in is enough for the birds. From memory."""

POST_EVERY_MM = 1500
"""Longest stretch of rail without a post [mm]. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class FramePiece:
    """Pieces of one length [mm]."""

    name: str
    length_mm: float
    count: int


def plain_frame(
    length_mm: float, width_mm: float, height_mm: float = HEIGHT_MM, wood_mm: float = FRAMING_MM
) -> tuple[FramePiece, ...]:
    """List the pieces of a box frame of square wood.

    The rails run the full length, at the top and the bottom of both sides; end rails stand between
    them, and posts between the upper and the lower rail.

    Parameters
    ----------
    length_mm, width_mm, height_mm : float
        Outside of the frame; each greater than twice the wood. [mm]
    wood_mm : float
        Thickness of the wood. [mm]

    Returns
    -------
    tuple of FramePiece
        Longest first where the frame is longer than wide and high.

    Raises
    ------
    ValueError
        If the wood leaves nothing between two pieces.
    """
    between_mm = (width_mm - 2 * wood_mm, height_mm - 2 * wood_mm)
    if min(*between_mm, length_mm - 2 * wood_mm) <= 0:
        raise ValueError("The frame is too small for its wood.")
    stretches = -(-length_mm // POST_EVERY_MM)
    posts = 2 * (int(stretches) + 1)
    return (
        FramePiece(mark("Rail"), length_mm, 4),
        FramePiece(mark("End rail"), between_mm[0], 4),
        FramePiece(mark("Post"), between_mm[1], posts),
    )
