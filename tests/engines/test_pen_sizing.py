"""Which beds a pen fits, what it holds and how long, what it costs, weighs and bears."""

from collections import Counter
from fractions import Fraction
from math import inf
from time import monotonic

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pens.cutting.rules import faults
from pens.design import (
    Ask,
    BedSize,
    BoardOffer,
    DesignError,
    LiftTerms,
    Offcut,
    PenDesign,
    Shop,
    buying_list,
    choose_sizes,
    design_pen,
    fit_rows,
    last_week_held,
    lift_of,
    most_birds,
    outside_for,
    wind_on,
)
from pens.design.buying import rolls_to_buy
from pens.design.cover import cover_of

BED = BedSize("Bed 1", 2362, 1143)
PEN = design_pen(PenDesign(2343, 1124))


# ---------------------------------------------------------------------------------------------
# Sizes and beds


@pytest.mark.parametrize(
    ("bed", "standing", "along", "size"),
    [
        (BED, "inside", 1, (2342, 1123)),
        (BED, "inside", 2, (1166, 1123)),  # (2362 − 3 × 10) / 2
        (BedSize("Lawn", 2400, 1200, "turf"), "inside", 1, (2400, 1200)),
        (BED, "over", 1, (2534, 1315)),  # 2362 + 2 × (38 + 10 + 38)
        (BedSize("Square", 1200, 1200), "inside", 2, (1180, 585)),
    ],
)
def test_the_outside_for_a_bed(bed, standing, along, size):
    assert outside_for(bed, 10, standing, along) == size


def test_a_bed_smaller_than_two_framings_is_refused_by_name():
    with pytest.raises(DesignError, match="Herb box is too small: two framing widths") as caught:
        outside_for(BedSize("Herb box", 900, 95), 10)
    assert caught.value.field == "beds"
    with pytest.raises(DesignError, match="one pen"):
        outside_for(BED, 10, "over", along=2)


beds = st.builds(
    BedSize,
    st.just("B"),
    st.floats(700, 5000),
    st.floats(500, 2000),
    st.sampled_from(["raised", "turf"]),
)


@given(beds, st.sampled_from([0, 6.35, 9.525, 13]), st.integers(1, 3))
def test_what_is_sized_for_a_bed_fits_it_so_many_times(bed, clearance, along):
    length, width = outside_for(bed, clearance, "inside", along)
    rows = fit_rows(PenDesign(length, width), [bed], clearance)
    places = max(row.places for row in rows)
    assert places >= along
    for row in rows:
        if row.places:
            gap = 0 if bed.kind == "turf" else clearance
            assert min(row.side_gap_mm, row.end_gap_mm) >= gap - 0.11


@given(beds, st.sampled_from([0, 9.525, 13]))
def test_what_is_sized_to_stand_over_a_bed_passes_its_walls(bed, clearance):
    length, width = outside_for(bed, clearance, "over")
    rows = fit_rows(PenDesign(length, width), [bed], clearance, "over")
    assert max(row.places for row in rows) == 1
    smaller = fit_rows(PenDesign(length - 2, width - 2), [bed], clearance, "over")
    assert max(row.places for row in smaller) == 0


def test_both_ways_round_are_told_with_what_is_lacking():
    along, across = fit_rows(PenDesign(1166, 1123), [BED], 10)
    assert (along.turned, along.places, along.side_gap_mm, along.end_gap_mm) == (False, 2, 10, 10)
    assert (across.turned, across.places, across.too_wide_mm) == (True, 0, 1166 + 20 - 1143)


@pytest.mark.parametrize(
    ("birds", "limit", "week"),
    [
        (16, 20, 6),  # 16 × 2.9 kg on 2.376 m² is 19.5 kg/m²; 16 × 3.5 is 23.6
        (16, 30, 7),
        (40, 20, 2),  # 40 × 0.5 kg is 8.4; 40 × 1.2 is 20.2
        (400, 20, None),
    ],
)
def test_the_last_week_that_a_floor_holds_the_birds(birds, limit, week):
    weights = {7: 3500.0, 2: 500.0, 3: 1200.0, 6: 2900.0}
    assert PEN.floor_m2 == pytest.approx(2.376, abs=0.001)
    assert last_week_held(birds, PEN.floor_m2, limit, weights) == week


def test_how_many_birds_a_floor_holds():
    assert most_birds(2.5, 20, 2500) == 20
    assert most_birds(2.499, 20, 2500) == 19


# ---------------------------------------------------------------------------------------------
# Choose for me


def test_the_size_that_two_kinds_of_bed_share_is_chosen():
    garden = [BedSize(f"Long {n}", 2440, 1140) for n in range(3)] + [BedSize("Short", 1225, 1140)]
    chosen = choose_sizes(garden, Ask(birds=20, limit_kg_m2=20, mass_g=2400, clearance_mm=10))
    assert chosen.enough
    assert chosen.by == "weight"
    assert len(chosen.sizes) == 1
    [size] = chosen.sizes
    assert size.length_mm < 1225  # half of the long beds, and the short one whole
    assert size.pens * size.floor_m2 * 20 >= 20 * 2.4
    assert chosen.served_m2 / chosen.beds_m2 > 0.9


def test_two_sizes_are_chosen_where_one_leaves_beds_unserved():
    garden = [BedSize("Wide", 2400, 1200), BedSize("Narrow", 1900, 700)]
    chosen = choose_sizes(garden, Ask(birds=16, limit_kg_m2=20, mass_g=2400, clearance_mm=10))
    assert len(chosen.sizes) == 2
    assert chosen.served_m2 / chosen.beds_m2 > 0.9


def test_no_size_is_chosen_whose_middle_no_hand_reaches():
    meadow = [BedSize("Meadow", 2400, 1900, "turf"), BED]
    chosen = choose_sizes(meadow, Ask(birds=16, limit_kg_m2=20, mass_g=2400, clearance_mm=10))
    assert all(size.width_mm <= 1200 for size in chosen.sizes)


def test_two_hundred_beds_of_all_sizes_are_answered_in_seconds():
    many = [BedSize(f"Bed {n}", 1500 + 17 * n, 700 + 2 * n) for n in range(200)]
    started = monotonic()
    chosen = choose_sizes(many, Ask(birds=60, limit_kg_m2=20, mass_g=2400, clearance_mm=10))
    assert monotonic() - started < 20  # one or two on an idle machine
    assert chosen.enough


def test_where_no_number_of_pens_holds_the_birds_it_is_said():
    chosen = choose_sizes([BED], Ask(birds=500, limit_kg_m2=20, mass_g=2400, clearance_mm=10))
    assert not chosen.enough
    assert choose_sizes([BedSize("Pot", 300, 200)], Ask(5, 20, 2400, 10)) is None


def test_cost_decides_where_there_are_prices():
    boards = tuple(
        BoardOffer(profile, 2438, Fraction(price)) for profile, price in (("2x2", 4), ("1x2", 2))
    )
    shop = Shop(boards=boards, prices={"wire-half-inch-19-610-30480": Fraction(100)})
    ask = Ask(16, 20, 2400, 10, by="cost", shop=shop)
    chosen = choose_sizes([BED], ask)
    assert chosen.by == "cost"
    assert chosen.score > 0


# ---------------------------------------------------------------------------------------------
# The buying list


@settings(max_examples=6, deadline=None)
@given(
    st.integers(1300, 2600),
    st.integers(600, 1200),
    st.sampled_from(["lids", "sides"]),
    st.integers(0, 5),
)
def test_the_buying_list_covers_the_cut_list(length, width, doors, kerf):
    pen = design_pen(PenDesign(length, max(min(width, length), 500), doors=doors))
    buying = buying_list(pen, Shop(kerf_mm=kerf), seconds=1.0)
    assert faults(buying.problem, buying.plan) == []
    assert buying.plan.lower_bound <= buying.plan.cost
    cut: Counter[str] = Counter()
    for board in buying.plan.boards:
        for one in board.cuts:
            cut[one.name] += board.count
    assert cut == {f"{line.letter} {line.name}": line.count for line in pen.cut_list}
    bought = sum(line.count * line.length_mm for line in buying.lines if line.kind == "boards")
    assert bought >= sum(line.count * line.length_mm for line in pen.cut_list)
    screws = sum(line.count for line in buying.lines if line.kind == "screws")
    assert screws >= 1.1 * sum(len(piece.holes) for piece in pen.pieces)


def test_what_lies_in_the_shed_is_used_before_any_is_bought():
    plain = buying_list(PEN, seconds=1.0)
    shed = [Offcut("2x2", 2400, 2), Offcut("1x2", 1100, 4)]
    helped = buying_list(PEN, shed=shed, seconds=1.0, on_hand={"screw-41": 1000, "hinge": 1})
    assert helped.mass_kg < plain.mass_kg
    used = {line.key: line for line in helped.lines if line.on_hand}
    assert used["board-2x2-2400-shed"].count == 0
    assert used["screw-41"].count == 0
    hinges = {line.key: line.count for line in plain.lines}["hinge"]
    assert (used["hinge"].count, used["hinge"].on_hand) == (hinges - 1, 1)


def test_missing_prices_are_named_and_the_rest_is_added_up():
    boards = tuple(BoardOffer("2x2", mm, Fraction(mm, 600)) for mm in (2438, 3658))
    buying = buying_list(PEN, Shop(boards=boards, prices={"hinge": Fraction("2.50")}), seconds=1.0)
    lines = {line.key: line for line in buying.lines}
    assert lines["hinge"].cost == lines["hinge"].count * Fraction("2.5")
    missing = {line.kind for line in buying.unpriced}
    assert missing == {"boards", "wire", "cover", "screws", "hardware"}
    assert all(line.price is not None for line in buying.lines if line.size == "2×2")
    assert buying.cost > lines["hinge"].cost


def test_a_piece_longer_than_any_board_is_named():
    with pytest.raises(DesignError, match="Base rail A of 2343 mm is longer than any board of 2x2"):
        buying_list(PEN, Shop(boards=(BoardOffer("2x2", 2000),)))
    with pytest.raises(DesignError, match="the longest gives 2338 mm"):
        buying_list(PEN, Shop(boards=(BoardOffer("2x2", 2438),), trim_mm=100))


def test_rolls_are_bought_to_hold_the_layout():
    [walls, *_] = PEN.rolls
    assert rolls_to_buy(walls, [3048, 7620, 15240]) == {7620: 1}
    # Two long walls, each with its corner folds, and both ends on a third.
    assert rolls_to_buy(walls, [1524, 3048]) == {3048: 3}
    with pytest.raises(DesignError, match="longer than any roll"):
        rolls_to_buy(walls, [1000])


# ---------------------------------------------------------------------------------------------
# Weight, lift, wind, air, cover


def test_the_parts_of_the_weight_add_up_and_hang_on_both_ends():
    mass = PEN.mass
    wood = sum(
        line.count * line.length_mm * {"2x2": 38 * 38, "1x2": 19 * 38}[line.profile] * 449e-9
        for line in PEN.cut_list
    )
    assert mass.wood_kg == pytest.approx(wood)
    assert mass.frame_kg < mass.wood_kg
    assert mass.at_left_kg + mass.at_right_kg == pytest.approx(mass.total_kg)
    # Doors alike at both ends: it balances in the middle, and above half its height.
    assert mass.balance_mm[0] == pytest.approx(2343 / 2, abs=3)
    assert mass.balance_mm[1] == pytest.approx(1124 / 2, abs=3)
    assert mass.balance_mm[2] > 305
    least, most = mass.wet_kg
    assert mass.total_kg < least < most == pytest.approx(mass.total_kg + 0.7 * mass.wood_kg)


def test_heavier_wood_and_wire_make_a_heavier_pen():
    other = PenDesign(2343, 1124, species="southern-pine", mesh="half-inch-16", tarp="vinyl")
    assert design_pen(other).mass.total_kg > PEN.mass.total_kg + 8


def test_a_pen_too_heavy_for_one_end_wants_wheels():
    strong = lift_of(PEN.mass, 1124, LiftTerms(horizontal_cm=25, height_cm=75, grip="good"))
    assert (strong.people, strong.needs_wheels) == (2, False)
    weak = lift_of(PEN.mass, 1124, LiftTerms(horizontal_cm=60))
    assert (weak.people, weak.needs_wheels) == (4, True)
    assert lift_of(PEN.mass, 1124, LiftTerms(horizontal_cm=64)).people == 0


def test_the_wind_lifts_what_weighs_less_than_its_suction():
    wind = wind_on(PEN, 20)
    assert wind.pressure_n_m2 == pytest.approx(245.2)
    assert wind.uplift_n == pytest.approx(245.2 * 2.343 * 1.124, rel=1e-3)
    at_lift = wind_on(PEN, wind.lifts_at_m_s)
    assert at_lift.uplift_n == pytest.approx(at_lift.weight_n)
    assert wind.tips_at_m_s <= wind.lifts_at_m_s
    assert wind.slides_at_m_s == inf
    loose = wind_on(PEN, 20, walled=False)
    assert loose.slides_at_m_s < loose.tips_at_m_s
    assert loose.hold_n > wind.hold_n > 0
    assert wind.stakes * 220 >= wind.hold_n
    assert wind.jugs * 5 * 9.81 >= wind.hold_n


def test_a_calm_garden_needs_no_stakes():
    calm = wind_on(PEN, 5)
    assert (calm.hold_n, calm.stakes, calm.jugs) == (0, 0, 0)


def test_a_cover_down_one_side_shuts_that_side():
    shut = design_pen(PenDesign(2343, 1124, cover="roof and one side", doors="sides"))
    assert (PEN.air.open_sides, shut.air.open_sides) == (4, 3)
    assert PEN.air.wall_shade == 0
    assert shut.air.wall_shade == pytest.approx(2343 / (2 * (2343 + 1124)))
    assert shut.air.open_share < PEN.air.open_share
    assert not any(door.opening.face == "back" for door in shut.doors)
    bare = design_pen(PenDesign(2343, 1124, cover="none"))
    assert (bare.cover, bare.air.roof_shade, wind_on(bare).uplift_n) == (None, 0, 0)
    assert (PEN.air.shaded_enough, bare.air.shaded_enough) == (True, False)


def test_what_a_tarp_has_to_spare_is_folded_and_beyond_that_kept():
    cover = cover_of(PenDesign(2343, 1124), [(5000, 1500)])
    assert cover.offcut_mm == (1500, 5000 - 2343 - 2 * 40 - 2 * (350 - 40))
    assert cover.end_overlap_mm == 350
    small = cover_of(PenDesign(2343, 1124), [(2424, 1204)])
    assert (small.end_overlap_mm, small.side_overlap_mm, small.offcut_mm) == (40, 40, (0, 0))
