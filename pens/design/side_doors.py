"""Doors in the walls: the fewest bays between posts from which every point is within reach.

PURE. Every set of bays is tried, the small ones first, and of those that reach everything the one whose
worst point is nearest.
"""

from collections.abc import Sequence
from itertools import combinations

import numpy as np

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
from pens.design.reach import coarse_distances, worst_reach
from pens.design.values import Face, Opening, Reach, Sill


def with_side_doors(design: PenDesign, thick_mm: int, wide_mm: int) -> Layout:
    """Place doors in the walls; see `lids.with_lids` for parameters and errors.

    A door fills a bay, from post to post and from rail to rail, and hangs from the top rail.
    """
    posts = stations(design.length_mm, POST_EVERY_MM, wide_mm)
    end_posts = stations(design.width_mm, POST_EVERY_MM, wide_mm)
    bays = [
        bay
        for bay in _bays(design, thick_mm, wide_mm, posts, end_posts)
        if not (design.cover == "roof and one side" and bay.face == design.covered_side)
    ]
    if not bays:
        told = _("The walls leave no room for a door between their rails.")
        raise DesignError("height_mm", told)
    chosen, reach = _fewest(design, thick_mm, bays)
    return Layout(
        tuple((bay, "v1") for bay in chosen),
        stations(design.length_mm, BAR_EVERY_MM, thick_mm),
        posts,
        end_posts,
        ((0, design.length_mm),),
        tuple((_sill(design, bay),) for bay in chosen),
        reach,
    )


def _bays(
    design: PenDesign, thick_mm: int, wide_mm: int, posts: Sequence[int], end_posts: Sequence[int]
) -> list[Opening]:
    """List every stretch of wall between two posts that a door could fill."""
    low, high = wide_mm, design.height_mm - wide_mm
    long_wall = (wide_mm, design.length_mm - wide_mm, posts)
    end_wall = (thick_mm, design.width_mm - thick_mm, end_posts)
    walls: tuple[tuple[Face, tuple[int, int, Sequence[int]]], ...] = (
        ("front", long_wall), ("back", long_wall), ("left", end_wall), ("right", end_wall),
    )  # fmt: skip
    bays = []
    for face, (first, last, between) in walls:
        starts = [first, *(post + wide_mm for post in between)]
        for u0, u1 in zip(starts, [*between, last], strict=True):
            if min(u1 - u0, high - low) >= SHORTEST_DOOR_MM:
                bays.append(Opening(face, u0, low, u1, high))
    return bays


def _fewest(
    design: PenDesign, thick_mm: int, bays: Sequence[Opening]
) -> tuple[tuple[Opening, ...], Reach]:
    floor = floor_of(design, thick_mm)
    every = [_sill(design, bay) for bay in bays]
    if not worst_reach(floor, every, design.reach_mm).covered:
        # No set reaches everything; the fewest that come as near as all of them do are wanted.
        nearest = worst_reach(floor, every, design.reach_mm).most_mm + 1
    else:
        nearest = design.reach_mm
    away = [coarse_distances(floor, sill) for sill in every]
    for count in range(1, len(bays) + 1):
        tried = []
        for some in combinations(range(len(bays)), count):
            far = float(np.minimum.reduce([away[number] for number in some]).max())
            # What is out of reach on a few points of the floor need not be looked at further.
            if far <= nearest:
                tried.append((far, some))
        for _far, some in sorted(tried):
            reach = worst_reach(floor, [every[number] for number in some], design.reach_mm)
            if reach.most_mm <= nearest:
                return tuple(bays[number] for number in some), reach
    raise AssertionError("all bays together come as near as all bays together")


def _sill(design: PenDesign, bay: Opening) -> Sill:
    if bay.face in ("front", "back"):
        y = 0 if bay.face == "front" else design.width_mm
        return Sill(bay.u0, y, bay.u1, y)
    x = 0 if bay.face == "left" else design.length_mm
    return Sill(x, bay.u0, x, bay.u1)
