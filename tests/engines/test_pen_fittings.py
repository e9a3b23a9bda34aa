"""Feeder and drinker stand apart and within reach, rolls are bought exactly, and what is lighter is told."""

from math import hypot, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pens.design import PenDesign, design_pen, lift_of
from pens.design.buying import rolls_to_buy
from pens.design.fittings import FEEDER_MM_PER_BIRD, how_many_and_wide
from pens.design.layout import floor_of
from pens.design.lifting import LiftTerms
from pens.design.lighter import lighter_ways
from pens.design.materials import PlacedPanel, RollLayout, WirePanel


@pytest.mark.parametrize(
    ("length_mm", "width_mm", "birds"),
    [(1180, 580, 6), (2343, 1124, 12), (1180, 1180, 10), (3600, 1180, 40), (4780, 1180, 60)],
)
def test_feeders_and_drinkers_are_apart_from_walls_and_from_each_other(length_mm, width_mm, birds):
    pen = design_pen(PenDesign(length_mm, width_mm, birds=birds))
    x0, y0, x1, y1 = floor_of(pen.design, pen.framing_mm)
    for number, one in enumerate(pen.fittings):
        half = one.wide_mm / 2
        assert x0 + half <= one.x_mm <= x1 - half
        assert y0 + half <= one.y_mm <= y1 - half
        for other in pen.fittings[:number]:
            apart = hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm)
            assert apart > half + other.wide_mm / 2 + 50
    assert [one.within_reach for one in pen.fittings] == [True] * len(pen.fittings)


@given(st.integers(0, 500))
def test_every_bird_has_its_edge_of_feeder(birds):
    count, wide = how_many_and_wide(birds, FEEDER_MM_PER_BIRD)
    assert count * wide * pi >= birds * FEEDER_MM_PER_BIRD
    assert 150 <= wide <= 400
    # One fewer would not do.
    assert count == 1 or (count - 1) * 400 * pi < birds * FEEDER_MM_PER_BIRD


def layout(*sizes: tuple[int, int, int]) -> RollLayout:
    """A roll of 1000 with panels given by where they begin along it, how long and how wide they are."""
    panels = tuple(
        PlacedPanel(WirePanel("panel", wide, long, ()), along, 0) for along, long, wide in sizes
    )
    length = max(along + long for along, long, _ in sizes)
    return RollLayout(1000, length, panels, length)


def test_a_layout_is_parted_only_where_no_panel_lies_across():
    assert layout((0, 900, 400), (0, 700, 500), (700, 500, 400), (1200, 300, 900)).blocks_mm == (
        1200,
        300,
    )


def test_parts_of_a_layout_go_on_the_least_rolls():
    # Stretches of 6, 5, 4, 3 and 2: two rolls of ten hold them; the longest first, each on the first
    # roll with room, would do as well, but of 4, 4, 3, 3, 3, 3 it would make a third roll.
    runs = (4000, 4000, 3000, 3000, 3000, 3000)
    starts = [sum(runs[:number]) for number in range(len(runs))]
    asked = layout(*((start, run, 1000) for start, run in zip(starts, runs, strict=True)))
    assert rolls_to_buy(asked, [10_000]) == {10_000: 2}
    # Where short rolls are sold too, no metre more than is needed.
    assert rolls_to_buy(asked, [3000, 8000]) == {8000: 1, 3000: 4}


def test_alone_the_hands_are_half_the_pen_away():
    pen = design_pen(PenDesign(1180, 580))
    lift = lift_of(pen.mass, 580)
    # 20 + 58/2: 49 cm, so 25/49 of the load constant before the other terms.
    assert lift.alone.terms.horizontal_cm == 49
    assert lift.alone.limit.horizontal == pytest.approx(25 / 49)
    wide = lift_of(pen.mass, 1124)
    assert (wide.alone.limit.limit_kg, wide.alone.is_within) == (0, False)
    # A grip farther out than that is not brought nearer.
    assert lift_of(pen.mass, 200, LiftTerms(horizontal_cm=55)).alone.terms.horizontal_cm == 55
    assert [way.people for way in lift.ways] == [1, 1, 2, 4]
    assert lift.at_an_end.kg == lift.pair.kg == 2 * lift.four.kg


def test_lighter_ways_are_lighter_and_can_be_built():
    pen = design_pen(PenDesign(2380, 1180, profile="38x63", strap="25x38", birds=20))
    ways = lighter_ways(pen.design, 10)
    assert {way.pens for way in ways} == {1, 2}
    assert all(way.end_kg < way.pen_kg < pen.mass.total_kg for way in ways)
    assert [way.pen_kg for way in ways] == sorted((way.pen_kg for way in ways), reverse=True)


@settings(max_examples=15, deadline=None)
@given(st.integers(900, 4000), st.integers(500, 1200), st.integers(0, 30))
def test_the_wire_needs_no_less_than_its_bound(length_mm, width_mm, birds):
    pen = design_pen(PenDesign(max(length_mm, width_mm), width_mm, birds=birds))
    for roll in pen.rolls:
        assert roll.at_least_mm <= roll.length_mm
        assert roll.proven == (roll.at_least_mm == roll.length_mm)
        assert sum(roll.blocks_mm) <= roll.length_mm
