"""Lids in the roof: the fewest, and of those the smallest, that leave nothing out of reach.

PURE. Lids come in pairs, back to back over a stretch of roof that does not open and that their
hinges are on; where their number is odd the last one has a stretch of its own. Over a long side of a
lid, and over the pen's end, a hand goes in.
"""

from collections.abc import Sequence

from garden.words import gettext as _
from pens.design.choices import DesignError, PenDesign
from pens.design.layout import (
    BAR_EVERY_MM,
    POST_EVERY_MM,
    SHORTEST_DOOR_MM,
    Layout,
    floor_of,
    stations,
)
from pens.design.reach import worst_reach
from pens.design.values import Opening, Reach, Sill

LONGEST_LID_MM = 1100
"""Longest lid along the pen [mm]: more of it is awkward to hold up. Our choice."""

LEAST_FIXED_MM = 60
"""Least roof between the two bars of a fixed stretch [mm]: room to work in. Our choice."""

MOST_LIDS = 8
"""Lids tried. Our choice: enough for the longest bed."""

WORTH_A_LID_MM = 25
"""How much nearer the worst point must come for a further lid, where none reaches it [mm]. Our choice."""

_STEP_MM = 10

Lid = tuple[int, int, bool]
"""A lid's opening along x, from and to, and whether its hinges are at the far end."""


def with_lids(design: PenDesign, thick_mm: int, wide_mm: int) -> Layout:
    """Place the lids, and the bars and posts that go with them.

    Parameters
    ----------
    design : PenDesign
    thick_mm, wide_mm : int
        The framing's section. [mm]

    Returns
    -------
    Layout
        Where no number of lids reaches everything, the one whose worst point is nearest.

    Raises
    ------
    DesignError
        If there is no room for a lid.
    """
    clear_mm = design.length_mm - 2 * thick_mm
    best: tuple[Reach, list[Lid]] | None = None
    for count in range(1, MOST_LIDS + 1):
        longest = _longest_lid(clear_mm, count, thick_mm)
        if longest < SHORTEST_DOOR_MM:
            break
        found = _tried(design, thick_mm, count, longest)
        if best is None or found[0].worst_mm < best[0].worst_mm - WORTH_A_LID_MM:
            best = found
        if found[0].covered:
            best = _smallest(design, thick_mm, count, longest)
            break
    if best is None or design.width_mm - 2 * thick_mm < SHORTEST_DOOR_MM:
        least = SHORTEST_DOOR_MM + 2 * thick_mm
        told = _("A pen with a lid is at least {least} mm long and wide.")
        raise DesignError("width_mm", told.format(least=least))
    return _layout(design, thick_mm, wide_mm, *best)


def _longest_lid(clear_mm: int, count: int, thick_mm: int) -> int:
    """Return how long each of `count` lids can be. [mm]"""
    least_fixed = 2 * thick_mm + LEAST_FIXED_MM
    if count == 1:
        bar_and_roof = thick_mm + LEAST_FIXED_MM
        return (
            clear_mm if clear_mm <= LONGEST_LID_MM else min(LONGEST_LID_MM, clear_mm - bar_and_roof)
        )
    pairs, odd = divmod(count, 2)
    taken = (pairs + odd) * least_fixed + (pairs + odd - 1) * thick_mm
    return min(LONGEST_LID_MM, (clear_mm - taken) // count)


def _smallest(
    design: PenDesign, thick_mm: int, count: int, longest: int
) -> tuple[Reach, list[Lid]]:
    """Return the shortest lids, by whole centimetres, that still leave nothing out of reach."""
    clear_mm = design.length_mm - 2 * thick_mm
    # A single lid either opens all of the roof or leaves room for a bar.
    most = longest if longest < clear_mm else clear_mm - thick_mm - LEAST_FIXED_MM
    low, high = 0, max(0, most - SHORTEST_DOOR_MM) // _STEP_MM + 1
    while low < high:  # the longer the lids the nearer the worst point
        middle = (low + high) // 2
        length = SHORTEST_DOOR_MM + middle * _STEP_MM
        fits = length <= most and _tried(design, thick_mm, count, length)[0].covered
        low, high = (low, middle) if fits else (middle + 1, high)
    chosen = SHORTEST_DOOR_MM + low * _STEP_MM
    return _tried(design, thick_mm, count, chosen if chosen <= most else longest)


def _tried(design: PenDesign, thick_mm: int, count: int, lid_mm: int) -> tuple[Reach, list[Lid]]:
    lids = _lids(design, thick_mm, count, lid_mm)
    sills = [sill for lid in lids for sill in _sills(design, thick_mm, lid)]
    return worst_reach(floor_of(design, thick_mm), sills, design.reach_mm), lids


def _lids(design: PenDesign, thick_mm: int, count: int, lid_mm: int) -> list[Lid]:
    """Place lids of one length; what they leave is shared among the fixed stretches."""
    pairs, odd = divmod(count, 2)
    shared_bars = (pairs + odd - 1) * thick_mm
    fixed = design.length_mm - 2 * thick_mm - count * lid_mm - shared_bars
    lids: list[Lid] = []
    at = thick_mm
    for number in range(pairs):
        gap = fixed * (number + 1) // (pairs + odd) - fixed * number // (pairs + odd)
        lids.append((at, at + lid_mm, True))
        lids.append((at + lid_mm + gap, at + 2 * lid_mm + gap, False))
        at += 2 * lid_mm + gap + thick_mm
    if odd:
        last_mm = design.length_mm - thick_mm
        lids.append((last_mm - lid_mm, last_mm, False))
    return lids


def _sills(design: PenDesign, thick_mm: int, lid: Lid) -> tuple[Sill, ...]:
    """Return the sides of a lid that lie on the pen's edge, but for the one the hinges are on."""
    first, last, hinged_far = lid
    width, inside = design.width_mm, (thick_mm, design.width_mm - thick_mm)
    sills = [Sill(first, 0, last, 0), Sill(first, width, last, width)]
    if first == thick_mm and hinged_far:
        sills.append(Sill(0, inside[0], 0, inside[1]))
    if last == design.length_mm - thick_mm and not hinged_far:
        sills.append(Sill(design.length_mm, inside[0], design.length_mm, inside[1]))
    return tuple(sills)


def _layout(
    design: PenDesign, thick_mm: int, wide_mm: int, reach: Reach, lids: Sequence[Lid]
) -> Layout:
    ends = (thick_mm, design.length_mm - thick_mm)
    across = (thick_mm, design.width_mm - thick_mm)
    fixed = _fixed(lids, ends)
    bars: set[int] = set()
    for first, last, _side in lids:
        if first > ends[0]:
            bars.add(first - thick_mm)
        if last < ends[1]:
            bars.add(last)
    for low, high in fixed:
        bars |= {low} if low else set()
        bars |= {low + face for face in stations(high - low, BAR_EVERY_MM, thick_mm)}
    return Layout(
        tuple(
            (Opening("roof", first, across[0], last, across[1]), "u1" if far else "u0")
            for first, last, far in lids
        ),
        tuple(sorted(bars)),
        stations(design.length_mm, POST_EVERY_MM, wide_mm),
        stations(design.width_mm, POST_EVERY_MM, wide_mm),
        fixed,
        tuple(_sills(design, thick_mm, lid) for lid in lids),
        reach,
    )


def _fixed(lids: Sequence[Lid], ends: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    """Return what of the roof lies between lids, from outer face to outer face of its bars."""
    found = []
    at, hinged_far = ends[0], True  # every last lid ends at the pen's end
    for first, last, far in lids:
        if not far and first > ends[0]:
            # A lid that opens on this side rests on a bar of its own, ends[0] thick.
            low = 0 if at == ends[0] else at if hinged_far else at + ends[0]
            found.append((low, first))
        at, hinged_far = last, far
    return tuple(found)
