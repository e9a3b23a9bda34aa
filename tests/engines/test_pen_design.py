"""A pen on paper is one that goes together: nothing overlaps, nothing is missing, everything fits."""

from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pens.design import DesignError, Opening, Pen, PenDesign, Piece, Sill, design_pen
from pens.design.rails import cut_lines, letter_of, screw_for
from pens.design.reach import distance_mm, worst_reach

SIX = [(1181, 581), (1981, 781), (2343, 1124), (2381, 1181), (1785, 1181), (4781, 1181)]
"""Outsides for beds from 60 × 120 cm to 120 × 480 cm."""

designs = st.builds(
    PenDesign,
    length_mm=st.integers(1300, 5000),
    width_mm=st.integers(500, 1300),
    height_mm=st.integers(420, 900),
    profile=st.sampled_from(["2x2", "2x3", "38x63", "45x45"]),
    doors=st.sampled_from(["lids", "sides"]),
    birds=st.integers(0, 20),
    roost_mm_per_bird=st.sampled_from([0, 100]),
    door_gap_mm=st.integers(3, 5),
    skids=st.booleans(),
    skirt_mm=st.sampled_from([0, 450]),
    cover=st.sampled_from(["roof", "none"]),
)


@cache
def built(length: int, width: int, **choices) -> Pen:
    return design_pen(PenDesign(length, width, **choices))


def overlaps_mm(ones: list[Piece], others: list[Piece]) -> np.ndarray:
    """Return how deep each of some pieces lies in each of others, along the axis of least depth."""
    low, high = ([getattr(p, side) for p in ones] for side in ("low", "high"))
    lows, highs = ([getattr(p, side) for p in others] for side in ("low", "high"))
    deepest = np.minimum(np.array(high)[:, None], np.array(highs)[None])
    return (deepest - np.maximum(np.array(low)[:, None], np.array(lows)[None])).min(axis=2)


def clashes(pen: Pen) -> list[str]:
    straight = [piece for piece in pen.pieces if piece.part != "brace"]
    pairs = np.argwhere(np.triu(overlaps_mm(straight, straight), 1) > 0.01)
    return [f"{straight[a].name} in {straight[b].name}" for a, b in pairs]


@settings(max_examples=12, deadline=None)
@given(designs)
def test_no_two_pieces_are_in_the_same_place(design):
    pen = design_pen(design)
    assert clashes(pen) == []
    others = [piece for piece in pen.pieces if piece.part != "brace"]
    lows, highs = (np.array([getattr(p, side) for p in others]) for side in ("low", "high"))
    for brace in (piece for piece in pen.pieces if piece.part == "brace"):
        start, end = (np.mean(brace.corners[part], axis=0) for part in (slice(4), slice(4, 8)))
        # Just off its ends, which touch post and rail.
        for share in np.linspace(0.02, 0.98, 30):
            point = start + share * (end - start)
            assert not ((lows < point) & (point < highs)).all(axis=1).any()


@settings(max_examples=12, deadline=None)
@given(designs)
def test_the_pieces_assemble_to_the_outside_size(design):
    pen = design_pen(design)
    frame = [piece for piece in pen.pieces if piece.part in ("base", "post", "top", "roof")]
    assert [min(piece.low[axis] for piece in frame) for axis in range(3)] == [0, 0, 0]
    outside = [max(piece.high[axis] for piece in frame) for axis in range(3)]
    assert outside == [design.length_mm, design.width_mm, design.height_mm]
    # Nothing sticks out at the sides, where the bed's wall and the next pen are.
    assert min(piece.low[axis] for piece in pen.pieces for axis in (0, 1)) >= 0
    assert max(piece.high[0] for piece in pen.pieces) <= design.length_mm
    assert max(piece.high[1] for piece in pen.pieces) <= design.width_mm


@settings(max_examples=12, deadline=None)
@given(designs)
def test_no_door_overlaps_a_post_or_a_bar_and_its_gaps_are_as_chosen(design):
    pen = design_pen(design)
    for door in pen.doors:
        part = f"door {door.number}"
        own = [piece for piece in pen.pieces if piece.part == part and "strap" not in piece.name]
        fixed = [piece for piece in pen.pieces if piece.part in ("base", "post", "top", "roof")]
        assert own
        assert overlaps_mm(own, fixed).max() <= 0
        gaps = (
            door.leaf.u0 - door.opening.u0,
            door.leaf.v0 - door.opening.v0,
            door.opening.u1 - door.leaf.u1,
            door.opening.v1 - door.leaf.v1,
        )
        assert 3 <= min(gaps) <= max(gaps) <= 5
        assert len(door.hinges_at_mm) >= 2
        assert len(door.latches_at_mm) >= 1


@settings(max_examples=10, deadline=None)
@given(designs)
def test_wire_lies_on_every_part_of_walls_and_roof_and_doors(design):
    pen = design_pen(design)
    size = {"front": design.length_mm, "back": design.length_mm}
    lies = [cover for panel in pen.wire if not panel.from_door for cover in panel.covers]
    for face in ("front", "back", "left", "right"):
        wall = Opening(face, 0, 0, size.get(face, design.width_mm), design.height_mm)
        assert bare_mm2(wall, lies) == 0
    for door in pen.doors:
        on_it = [cover for panel in pen.wire for cover in panel.covers]
        assert bare_mm2(door.leaf, on_it) == 0
    for low, high in pen.layout.fixed:
        assert bare_mm2(Opening("roof", low, 0, high, design.width_mm), lies) == 0


def bare_mm2(wall: Opening, lies: list[Opening]) -> int:
    """Return how much of a rectangle no other lies on, on a grid of all their edges."""
    mine = [one for one in lies if one.face == wall.face]
    us = sorted({wall.u0, wall.u1, *(u for o in mine for u in (o.u0, o.u1))})
    vs = sorted({wall.v0, wall.v1, *(v for o in mine for v in (o.v0, o.v1))})
    bare = 0
    for u0, u1 in pairwise(us):
        for v0, v1 in pairwise(vs):
            cell = Opening(wall.face, u0, v0, u1, v1)
            if wall.holds(cell) and not any(one.holds(cell) for one in mine):
                bare += (u1 - u0) * (v1 - v0)
    return bare


@settings(max_examples=10, deadline=None)
@given(designs)
def test_panels_lie_on_their_rolls_beside_each_other(design):
    for roll in design_pen(design).rolls:
        spots = []
        for one in roll.panels:
            along, across = one.panel.along_mm, one.panel.across_mm
            if one.turned:
                along, across = across, along
            spots.append(
                (one.along_mm, one.across_mm, one.along_mm + along, one.across_mm + across)
            )
        assert max(spot[2] for spot in spots) == roll.length_mm
        assert min(min(spot[:2]) for spot in spots) >= 0
        assert max(spot[3] for spot in spots) <= roll.width_mm
        for a, b in combinations(spots, 2):
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        area = sum((s[2] - s[0]) * (s[3] - s[1]) for s in spots)
        assert roll.length_mm * roll.width_mm >= area


def test_every_panel_that_is_not_cut_out_is_on_one_roll():
    pen = built(2343, 1124, doors="sides")
    placed = Counter(one.panel.words for roll in pen.rolls for one in roll.panels)
    assert placed == Counter(panel.words for panel in pen.wire if not panel.from_door)
    cut_out = [panel for panel in pen.wire if panel.from_door]
    assert len(cut_out) == len(pen.doors)
    for panel in cut_out:
        door = pen.doors[panel.from_door - 1]
        assert panel.along_mm <= door.opening.width_mm
        assert panel.across_mm <= door.opening.height_mm


# ---------------------------------------------------------------------------------------------
# Reach


@pytest.mark.parametrize(("length", "width"), SIX)
@pytest.mark.parametrize("doors", ["lids", "sides"])
def test_every_point_of_six_floors_is_within_reach(length, width, doors):
    pen = built(length, width, doors=doors, cover="none")
    assert pen.reach.covered
    sills = [sill for door in pen.doors for sill in door.sills]
    # Held against every whole centimetre of the floor.
    xs = range(38, length - 38, 10)
    far = max(distance_mm(x, y, sills) for x in xs for y in range(38, width - 38, 30))
    assert far <= pen.reach.most_mm
    worst = distance_mm(pen.reach.worst_x_mm, pen.reach.worst_y_mm, sills)
    assert worst == pytest.approx(pen.reach.worst_mm, abs=1.5)
    assert all(fitting.within_reach for fitting in pen.fittings)


def test_the_smallest_lids_that_do_are_taken():
    pen = built(2343, 1124)
    shorter = built(2343, 1124, reach_mm=610)
    assert shorter.doors[0].opening.width_mm < pen.doors[0].opening.width_mm
    assert pen.reach.most_mm > 590  # ten millimetres less of a lid would not do


@pytest.mark.parametrize(
    ("length", "lids"), [(1181, 1), (2343, 2), (3300, 3), (4781, 4), (5600, 5)]
)
def test_every_strap_across_lies_on_a_bar_or_an_end_rail(length, lids):
    pen = built(length, 581 if lids == 1 else 1124, cover="none")
    assert len(pen.doors) == lids
    under = [piece for piece in pen.pieces if piece.name in ("Roof bar", "End rail")]
    straps = [piece for piece in pen.pieces if piece.name == "Cross strap"]
    assert len(straps) == 2 * len(pen.layout.fixed)
    for strap in straps:
        middle = (strap.low[0] + strap.high[0]) / 2
        assert any(bar.low[0] + 10 <= middle <= bar.high[0] - 10 for bar in under)
    for door in pen.doors:  # and the lid's free end rests on wood as well
        edges = {"u0": door.opening.u1 + 5, "u1": door.opening.u0 - 5}
        assert any(bar.low[0] <= edges[door.hinge_side] <= bar.high[0] for bar in under)


def test_a_pen_wider_than_two_reaches_says_which_point_is_out_of_reach():
    pen = built(2343, 1300)
    assert not pen.reach.covered
    assert pen.reach.worst_mm >= 650 - 1
    assert abs(pen.reach.worst_y_mm - 650) <= 25
    assert len(pen.doors) == 2  # more of them would come hardly nearer


@given(
    st.lists(
        st.builds(
            lambda x, y, size, along: Sill(
                x, y, x + (size if along else 0), y + (0 if along else size)
            ),
            st.integers(0, 2000),
            st.integers(0, 1000),
            st.integers(0, 900),
            st.booleans(),
        ),
        min_size=1,
        max_size=5,
    )
)
@settings(max_examples=12, deadline=None)
def test_the_worst_point_is_the_worst_on_any_grid(sills):
    reach = worst_reach((38, 38, 1962, 962), sills, 600)
    xs, ys = np.meshgrid(np.linspace(38, 1962, 75), np.linspace(38, 962, 40))
    grid = max(distance_mm(x, y, sills) for x, y in zip(xs.ravel(), ys.ravel(), strict=True))
    assert grid <= reach.most_mm + 0.06
    assert reach.worst_mm <= reach.most_mm <= reach.worst_mm + 0.6


# ---------------------------------------------------------------------------------------------
# Pieces, letters, screws


@pytest.mark.parametrize(("length", "width"), SIX)
def test_letters_stand_for_pieces_cut_and_drilled_alike(length, width):
    pen = built(length, width)
    kinds: dict[str, set] = {}
    for piece in pen.pieces:
        kind = (piece.name, piece.profile, piece.length_mm, piece.cuts_deg, piece.holes)
        kinds.setdefault(piece.letter, set()).add(kind)
    assert all(len(kind) == 1 for kind in kinds.values())
    assert sum(line.count for line in pen.cut_list) == len(pen.pieces)
    assert [line.letter for line in pen.cut_list] == [letter_of(n) for n in range(len(kinds))]
    assert cut_lines(pen.pieces) == pen.cut_list


@settings(max_examples=10, deadline=None)
@given(designs)
def test_every_hole_lies_within_its_piece_and_every_screw_ends_in_wood(design):
    for piece in design_pen(design).pieces:
        for hole in piece.holes:
            assert 0 < hole.at_mm < piece.length_mm
            through = piece.across_mm if hole.side == "across" else piece.up_mm
            assert hole.screw_mm > through
            assert hole.bit_mm < 4.2


def test_letters_go_on_after_z():
    assert [letter_of(n) for n in (0, 25, 26, 51, 52)] == ["A", "Z", "A2", "Z2", "A3"]


@pytest.mark.parametrize(
    ("through_mm", "into_mm", "end_grain", "screw_mm"),
    [
        (38, 1048, True, 76),  # a 3 in screw through 1 1/2 in into end grain
        (19, 38, False, 41),  # strap on framing: 1 5/8 in
        (19, 19, False, 32),  # strap on a door's frame: the point stays within
        (64, 500, True, 102),
    ],
)
def test_the_screw_that_holds_and_does_not_come_out(through_mm, into_mm, end_grain, screw_mm):
    assert screw_for(through_mm, into_mm, end_grain=end_grain)[0] == screw_mm


def test_braces_meet_post_and_rail_at_forty_five_degrees():
    pen = built(2343, 1124)
    braces = [piece for piece in pen.pieces if piece.part == "brace"]
    assert len(braces) == 8
    for brace in braces:
        assert brace.cuts_deg == (45, 45)
        assert brace.high[2] == pytest.approx(610 - 38, abs=0.2)
        assert min(brace.low) >= 0
        # Its long edge reaches as far along the rail as it hangs down the post.
        sides = [high - low for low, high in zip(brace.low, brace.high, strict=True)]
        assert sorted(round(side) for side in sides) == [19, 200, 200]


def test_roosts_are_long_enough_for_the_birds():
    pen = built(2343, 1124, birds=16, roost_mm_per_bird=150)
    roosts = [piece for piece in pen.pieces if piece.name == "Roost"]
    assert sum(piece.length_mm for piece in roosts) >= 16 * 150
    assert len([piece for piece in pen.pieces if piece.name == "Roost leg"]) == 2 * len(roosts)


def test_square_is_checked_by_the_diagonal():
    assert built(2343, 1124).square_mm == 2599  # √(2343² + 1124²) = 2598.7


# ---------------------------------------------------------------------------------------------
# What cannot be


@pytest.mark.parametrize(
    ("choices", "field", "told"),
    [
        ({"width_mm": 76}, "width_mm", "76 mm"),
        ({"width_mm": 300}, "width_mm", "326 mm"),
        ({"width_mm": 2500}, "width_mm", "longer side"),
        ({"height_mm": 200}, "height_mm", "300 mm"),
        ({"height_mm": 2500}, "height_mm", "2000 mm"),
        ({"length_mm": 10_001}, "length_mm", "10000 mm"),
        ({"profile": "3x3"}, "profile", "2x2"),
        ({"strap": "2x4"}, "strap", "no thicker"),
        ({"species": "oak"}, "species", "douglas-fir"),
        ({"door_gap_mm": 2}, "door_gap_mm", "3 to 5 mm"),
        ({"door_gap_mm": 6}, "door_gap_mm", "3 to 5 mm"),
        ({"reach_mm": 0}, "reach_mm", "above 0"),
        ({"roll_widths_mm": ()}, "roll_widths_mm", "roll"),
        ({"roll_widths_mm": (100,)}, "roll_widths_mm", "three overlaps"),
        ({"cover": "roof and one side", "covered_side": "left"}, "covered_side", "long side"),
        ({"length_mm": 8000}, "cover", "No tarp"),
        ({"birds": 300, "roost_mm_per_bird": 150}, "roost_mm_per_bird", "300 birds"),
    ],
)
def test_a_pen_that_cannot_be_says_what_to_change(choices, field, told):
    with pytest.raises(DesignError, match=told) as caught:
        design_pen(replace(PenDesign(2343, 1124), **choices))
    assert caught.value.field == field


def test_narrow_rolls_give_strips_that_lap():
    pen = built(2343, 1124, roll_widths_mm=(610,))
    lids = [panel for panel in pen.wire if panel.words.startswith("Door 1")]
    assert len(lids) == 2
    assert all(min(panel.across_mm, panel.along_mm) <= 610 for panel in pen.wire)
    lap = min(lids[0].covers[0].v1, lids[1].covers[0].v1) - max(
        lids[0].covers[0].v0, lids[1].covers[0].v0
    )
    assert lap >= 40


def test_a_high_wall_takes_two_courses_that_lap():
    pen = built(2343, 1124, height_mm=900, roll_widths_mm=(610,))
    low, high = [panel for panel in pen.wire if panel.name.startswith("Front wall")]
    assert (low.covers[0].v0, low.covers[0].v1) == (0, 610)
    assert (high.covers[0].v0, high.covers[0].v1) == (610 - 51, 900)
