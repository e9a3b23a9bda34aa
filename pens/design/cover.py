"""The tarp over a pen: the smallest on sale that covers it and hangs over to fold.

PURE. The tarp is not cut at lids: it lies over them, bends at their hinges, and is held by the straps.
"""

from collections.abc import Sequence

from garden.words import gettext as _
from pens.design.choices import DesignError, PenDesign
from pens.design.lumber import tarp_cloths
from pens.design.materials import Cover
from pens.design.values import Opening

DRIP_MM = 40
"""Least that a tarp hangs over an edge, so that rain drips clear of the wood [mm]. Our choice."""

FOLD_MM = 350
"""Most that is left to fold down over an edge; what is beyond may be cut off [mm]. Our choice."""

KEPT_MM = 300
"""Strips of tarp at least this wide are worth cutting off and keeping [mm]. Our choice."""

TARPS_MM = (
    (2438, 1829), (3048, 1829), (3048, 2438), (3658, 2438), (3658, 3048), (4877, 3658),
    (6096, 3658), (2000, 1500), (3000, 2000), (4000, 3000), (5000, 3000), (6000, 4000),
)  # fmt: skip
"""Tarps on sale, length and width [mm]: 8 × 6 ft, 10 × 6, 10 × 8, 12 × 8, 12 × 10, 16 × 12 and
20 × 12, and the usual metric ones. Common practice, no source. Some are sold by the size before
hemming, up to 150 mm less than they say (from memory)."""


def cover_of(design: PenDesign, tarps_mm: Sequence[tuple[int, int]] = TARPS_MM) -> Cover | None:
    """Choose the tarp of a pen.

    Parameters
    ----------
    design : PenDesign
    tarps_mm : sequence of tuple of int
        Length and width of those on sale. [mm]

    Returns
    -------
    Cover or None
        The one of least area; None for a pen without a cover.

    Raises
    ------
    DesignError
        If every tarp is too small, or the cover goes down over an end.
    """
    if design.cover == "none":
        return None
    if design.cover == "roof and one side" and design.covered_side not in ("front", "back"):
        told = _("The cover goes down over a long side: front or back.")
        raise DesignError("covered_side", told)
    down = design.height_mm if design.cover == "roof and one side" else 0
    needed = (design.length_mm + 2 * DRIP_MM, design.width_mm + down + 2 * DRIP_MM)
    fitting = [
        (max(tarp), min(tarp), along, across)
        for tarp in tarps_mm
        for along, across in (tarp, tarp[::-1])
        if along >= needed[0] and across >= needed[1]
    ]
    if not fitting:
        told = _("No tarp on sale covers {length} × {width} mm; name a larger one.")
        raise DesignError("cover", told.format(length=needed[0], width=needed[1]))
    length, width, along, across = min(fitting, key=lambda tarp: (tarp[0] * tarp[1], -tarp[2]))
    offcut = _offcut((along, across), needed)
    kg_m2 = tarp_cloths()[design.tarp].kg_m2
    left_mm2 = along * across - offcut[0] * offcut[1]
    return Cover(
        tarp_length_mm=length,
        tarp_width_mm=width,
        needed_length_mm=needed[0],
        needed_width_mm=needed[1],
        end_overlap_mm=(along - (offcut[1] if _off_end(offcut, across) else 0) - design.length_mm)
        // 2,
        side_overlap_mm=_side_overlap(design, across, offcut, down),
        offcut_mm=offcut,
        covers=_covers(design),
        mass_g=round(left_mm2 / 1e6 * kg_m2 * 1000),
    )


def _offcut(tarp: tuple[int, int], needed: tuple[int, int]) -> tuple[int, int]:
    """Return the larger strip that can come off one edge, length and width; none if narrow. [mm]"""
    # What folds down on both sides is wanted; only what is beyond it is cut off.
    spare = [have - want - 2 * (FOLD_MM - DRIP_MM) for have, want in zip(tarp, needed, strict=True)]
    strips = [(tarp[1], spare[0]), (tarp[0], spare[1])]
    best = max(strips, key=lambda strip: strip[0] * strip[1])
    return best if best[1] >= KEPT_MM else (0, 0)


def _off_end(offcut: tuple[int, int], across: int) -> bool:
    return offcut[0] == across and offcut[1] > 0


def _side_overlap(design: PenDesign, across: int, offcut: tuple[int, int], down: int) -> int:
    spare = across - design.width_mm - down
    if offcut[1] and not _off_end(offcut, across):
        spare -= offcut[1]
    return spare // 2


def _covers(design: PenDesign) -> tuple[Opening, ...]:
    roof = Opening("roof", 0, 0, design.length_mm, design.width_mm)
    if design.cover == "roof":
        return (roof,)
    wall = Opening(design.covered_side, 0, 0, design.length_mm, design.height_mm)
    return roof, wall
