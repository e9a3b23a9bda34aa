"""Screws, staples, hinges and latches: counted from the holes, the edges and the doors.

PURE.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, pi

from garden.words import mark
from pens.design.materials import WirePanel
from pens.design.values import Door, Piece

STAPLE_EVERY_MM = 75
"""Staples along an edge of wire [mm]: every 3 in. From memory."""

WASHER_EVERY_MM = 150
"""Screws with washers along the foot of the walls, which no strap covers [mm]. From memory."""

SPARE_SHARE = 0.10
"""What is bought beyond the count. Common practice, no source."""

STEEL_G_MM3 = 0.00785
"""Density of steel [g/mm³]: 7850 kg/m³, as engineering tables print it."""

SCREW_MM = 4.2
"""Thickness of a No. 8 screw [mm]: 0.164 in, ASME B18.6.1. From memory."""

STAPLE_G, WASHER_G, HINGE_G, LATCH_G, CLIP_G = 0.4, 3.0, 45.0, 35.0, 15.0
"""Masses of a staple, a washer, a hinge with its screws, a hook and eye, a spring clip [g]. From memory."""

WASHER_SCREW_MM = 32


@dataclass(frozen=True, slots=True)
class HardwareLine:
    """One kind of fastener.

    Attributes
    ----------
    kind : {"screw", "staple", "washer", "hinge", "latch", "clip"}
    length_mm : int
        Of a screw; 0 for the rest. [mm]
    count : int
        As built.
    buy : int
        With a tenth over, where some are lost or bent; doors' hardware as counted.
    each_g : float
    what_for : str
    """

    kind: str
    length_mm: int
    count: int
    buy: int
    each_g: float
    what_for: str


def hardware_of(
    pieces: Sequence[Piece], panels: Sequence[WirePanel], doors: Sequence[Door], foot_mm: int
) -> tuple[HardwareLine, ...]:
    """Count every fastener of a pen.

    Parameters
    ----------
    pieces : sequence of Piece
        Each hole takes a screw.
    panels : sequence of WirePanel
        Stapled all round.
    doors : sequence of Door
        Hinges as they have; a latch of two steps is a hook and eye with a clip through it.
    foot_mm : int
        Length of the walls' lower edge, held by screws with washers. [mm]

    Returns
    -------
    tuple of HardwareLine
        Screws by length, then the rest.
    """
    screws: Counter[int] = Counter(hole.screw_mm for piece in pieces for hole in piece.holes)
    washers = ceil(foot_mm / WASHER_EVERY_MM)
    screws[WASHER_SCREW_MM] += washers
    lines = [
        HardwareLine("screw", length, count, spare(count), screw_g(length), mark("wood to wood"))
        for length, count in sorted(screws.items())
    ]
    staples = sum(_staples(panel) for panel in panels)
    hinges = sum(len(door.hinges_at_mm) for door in doors)
    latches = sum(len(door.latches_at_mm) for door in doors)
    lines += [
        HardwareLine("staple", 0, staples, spare(staples), STAPLE_G, mark("wire to wood")),
        HardwareLine("washer", 0, washers, spare(washers), WASHER_G, mark("along the walls' foot")),
        HardwareLine("hinge", 0, hinges, hinges, HINGE_G, mark("doors, screws with them")),
        HardwareLine("latch", 0, latches, latches, LATCH_G, mark("hook and eye: the first step")),
        HardwareLine(
            "clip", 0, latches, latches, CLIP_G, mark("spring clip in the eye: the second")
        ),
    ]
    return tuple(lines)


def spare(count: int) -> int:
    """Return a count with a tenth over, rounded up."""
    return ceil(count * (1 + SPARE_SHARE) - 1e-9)


def screw_g(length_mm: int) -> float:
    """Return a screw's mass, taken as a rod of its core. [g]"""
    # The thread's core is about three quarters of its thickness; the head makes up for the point.
    return round(pi / 4 * (0.8 * SCREW_MM) ** 2 * length_mm * STEEL_G_MM3, 2)


def hardware_g(lines: Iterable[HardwareLine]) -> float:
    """Return the mass of all that is built in. [g]"""
    return sum(line.count * line.each_g for line in lines)


def _staples(panel: WirePanel) -> int:
    return 2 * (ceil(panel.across_mm / STAPLE_EVERY_MM) + ceil(panel.along_mm / STAPLE_EVERY_MM))
