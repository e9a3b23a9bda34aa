"""Boards are cut so that every piece comes out, nothing is wasted for long, and the bill is least."""

from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import product
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pens.cutting.bound import certify, next_sum
from pens.cutting.dive import Dive
from pens.cutting.fillings import Fillings
from pens.cutting.patterns import Task, TooManyPatternsError, patterns_worth
from pens.cutting.problem import (
    Cut,
    NotEnoughStockError,
    Piece,
    Plan,
    Problem,
    Stock,
    is_sliver,
    leftover_ticks,
)
from pens.cutting.profile import Asked
from pens.cutting.quick import cost_of, is_short, quick_plan
from pens.cutting.rules import faults
from pens.cutting.search import cut_boards

SECONDS = 10.0


def mm(length: float) -> int:
    return round(length * 100)


def board(length_mm: float, price: str, available: int | None = None, profile: str = "2x3"):
    return Stock(profile, mm(length_mm), Fraction(price), available)


def piece(length_mm: float, count: int, name: str = "rail", profile: str = "2x3"):
    return Piece(profile, mm(length_mm), count, name)


def problem(stock, pieces, kerf_mm: float = 3, trim_mm: float = 0) -> Problem:
    return Problem(mm(kerf_mm), mm(trim_mm), tuple(stock), tuple(pieces))


def planned(asked: Problem) -> Plan:
    plan = cut_boards(asked, SECONDS)
    assert faults(asked, plan) == []
    assert plan.status == "optimal"
    return plan


# ---------------------------------------------------------------------------------------------
# Kerf and trim


@pytest.mark.parametrize(
    ("kerf_mm", "trim_mm", "length_mm", "fit_in_a_board"),
    [
        (0, 0, 1000, 2),  # no saw width: two halves of 2000 mm
        (3, 0, 1000, 1),  # the saw between them has no room
        (3, 0, 998.5, 2),  # 998.5 + 3 + 998.5 uses the board to its end: no kerf after the last
        (3, 0, 998.51, 1),  # one hundredth of a millimetre too long
        (3, 0, 998, 2),  # 1 mm is left, less than the saw's width: it turns to dust
        (3, 0, 2000, 1),  # the whole board, no cut at all
        (3, 10, 993.5, 2),  # the trim takes 10 mm and no kerf of its own
        (3, 10, 993.51, 1),
        (3, 10, 1990, 1),
    ],
)
def test_how_many_pieces_a_board_gives(kerf_mm, trim_mm, length_mm, fit_in_a_board):
    asked = problem([board(2000, "1")], [piece(length_mm, 2)], kerf_mm, trim_mm)
    assert planned(asked).cost == 3 - fit_in_a_board


@pytest.mark.parametrize(
    ("pieces_mm", "offcut_mm"),
    [
        ([600, 600], 794),  # 2000 − 1200 − two cuts of 3 mm
        ([600, 1396], 0),  # one 3 mm cut between them, and 1 mm that the second cut eats
        ([600, 1397], 0),  # used to its end
        ([2000], 0),
        ([1990], 7),
    ],
)
def test_the_offcut_is_what_lies_behind_the_last_cut(pieces_mm, offcut_mm):
    asked = problem([board(2000, "1")], [piece(length, 1) for length in pieces_mm])
    (only,) = planned(asked).boards
    assert only.offcut_ticks == mm(offcut_mm)


def slivers(asked: Problem, plan: Plan) -> int:
    """Count the boards whose last cut is narrower than the saw."""
    return sum(
        one.count
        for one in plan.boards
        if is_sliver(
            leftover_ticks(
                asked.usable_ticks(one.stock),
                asked.kerf_ticks,
                [cut.length_ticks for cut in one.cuts],
            ),
            asked.kerf_ticks,
        )
    )


def test_a_cut_narrower_than_the_saw_is_avoided_when_that_costs_nothing():
    # Found by trying random problems: without the tidying, two boards end in such a cut.
    wanted = {380: 2, 330: 2, 250: 3, 480: 5, 570: 2}
    asked = problem(
        [board(1000, "1")], [piece(length, count) for length, count in wanted.items()], kerf_mm=30
    )
    assert slivers(asked, planned(asked)) == 0


def test_a_cut_narrower_than_the_saw_is_made_before_a_further_board_is_bought():
    asked = problem([board(2000, "1")], [piece(998, 2)])
    plan = planned(asked)
    assert (plan.cost, slivers(asked, plan)) == (1, 1)


# ---------------------------------------------------------------------------------------------
# Stock and prices


def test_the_cheaper_mix_of_lengths_wins_not_the_fewest_boards():
    # Four rails: two to an 8 ft board at 4.10, three to a 12 ft board at 6.60.
    asked = problem([board(2438, "4.1"), board(3658, "6.6")], [piece(1124, 4, "end rail")])
    plan = planned(asked)
    assert plan.cost == Fraction("8.2")
    ((only),) = plan.boards
    assert (only.stock.length_ticks, only.count) == (mm(2438), 2)


def test_offcuts_in_the_shed_are_used_before_money_is_spent():
    shed = [board(1200, "0", available=2), board(1130, "0", available=1)]
    asked = problem([*shed, board(2438, "4.1")], [piece(1124, 4)])
    plan = planned(asked)
    assert plan.cost == Fraction("4.1")
    assert sum(one.count for one in plan.boards if one.stock.price == 0) >= 2


def test_no_more_boards_are_taken_than_there_are():
    asked = problem(
        [board(2438, "1", available=3), board(2438, "5", available=9)], [piece(1124, 10)]
    )
    plan = planned(asked)
    assert plan.cost == 3 * 1 + 2 * 5


def test_prices_are_exact_however_they_are_written():
    asked = problem([board(1000, "0.1")], [piece(900, 3)])
    assert planned(asked).cost == Fraction("0.3")


def test_everything_for_nothing_costs_nothing():
    plan = planned(problem([board(1000, "0")], [piece(400, 5)]))
    assert (plan.cost, plan.lower_bound, plan.gap) == (0, 0, 0.0)


def test_profiles_do_not_mix():
    asked = problem(
        [board(2438, "4", profile="2x3"), board(2438, "3", profile="1x4")],
        [piece(800, 2, profile="2x3"), piece(800, 4, profile="1x4")],
    )
    plan = planned(asked)
    assert plan.cost == 4 + 2 * 3
    assert {one.stock.profile for one in plan.boards} == {"2x3", "1x4"}


def test_nothing_to_cut_needs_no_board():
    assert planned(problem([board(1000, "1")], [])).boards == ()


def test_boards_cut_alike_are_told_once_and_names_stay_with_their_pieces():
    asked = problem(
        [board(2438, "4")], [piece(800, 6, "brace"), piece(800, 3, "lid bar"), piece(30, 1, "peg")]
    )
    plan = planned(asked)
    names = {tuple(cut.name for cut in one.cuts): one.count for one in plan.boards}
    assert names[("brace", "brace", "brace")] == 2
    assert sum(names.values()) == 4


def test_too_few_boards_is_said_and_proven():
    asked = problem(
        [board(2438, "4", available=1), board(1200, "0", available=1)], [piece(1124, 4)]
    )
    with pytest.raises(NotEnoughStockError) as caught:
        cut_boards(asked, SECONDS)
    assert (caught.value.profile, caught.value.proven) == ("2x3", True)


def test_enough_length_that_lies_in_the_wrong_places_is_not_enough():
    # 3000 mm of offcuts for 2700 mm of pieces, and half boards would do on paper.
    asked = problem([board(1500, "1", available=2)], [piece(900, 3)], kerf_mm=0)
    with pytest.raises(NotEnoughStockError) as caught:
        cut_boards(asked, SECONDS)
    assert caught.value.proven


def test_without_time_there_is_still_a_plan_and_an_honest_gap():
    pieces = [piece(300 + 37 * i, 5 + i % 7, f"part {i}") for i in range(40)]
    asked = problem([board(2438, "4.1"), board(3658, "6.6"), board(4877, "9.2")], pieces)
    hurried = cut_boards(asked, 1e-6)
    assert faults(asked, hurried) == []
    unhurried = cut_boards(asked, 1.5)
    assert hurried.lower_bound <= unhurried.lower_bound <= unhurried.cost <= hurried.cost
    assert unhurried.gap < 0.01


# ---------------------------------------------------------------------------------------------
# Against every possible way, on tiny problems


def least_cost(asked: Problem) -> Fraction | None:
    """Return the least cost by trying every way to cut, or None if there is none."""
    lengths = tuple(sorted({one.length_ticks for one in asked.pieces}))
    wanted = tuple(
        sum(one.count for one in asked.pieces if one.length_ticks == length) for length in lengths
    )

    def fits(stock: Stock, counts: tuple[int, ...]) -> bool:
        cuts = [length for length, n in zip(lengths, counts, strict=True) for _ in range(n)]
        return leftover_ticks(asked.usable_ticks(stock), asked.kerf_ticks, cuts) >= 0

    ways = [
        (number, counts)
        for number, stock in enumerate(asked.stock)
        for counts in product(*(range(n + 1) for n in wanted))
        if any(counts) and fits(stock, counts)
    ]

    @cache
    def least(rest: tuple[int, ...], left: tuple[int | None, ...]) -> Fraction | None:
        if not any(rest):
            return Fraction(0)
        first = next(i for i, n in enumerate(rest) if n)
        costs = []
        for number, counts in ways:
            enough = all(c <= r for c, r in zip(counts, rest, strict=True))
            if not counts[first] or not enough or left[number] == 0:
                continue
            after = tuple(r - c for r, c in zip(rest, counts, strict=True))
            fewer = tuple(n - 1 if n is not None and i == number else n for i, n in enumerate(left))
            cost = least(after, fewer)
            if cost is not None:
                costs.append(cost + asked.stock[number].price)
        return min(costs, default=None)

    return least(wanted, tuple(one.available for one in asked.stock))


@st.composite
def tiny_problems(draw) -> Problem:
    kerf, trim = draw(st.integers(0, 3)), draw(st.integers(0, 4))
    stock = draw(
        st.lists(
            st.builds(
                Stock,
                st.just("2x3"),
                st.integers(20, 60),
                st.integers(0, 12).map(lambda cents: Fraction(cents, 4)),
                st.none() | st.integers(0, 3),
            ),
            min_size=1,
            max_size=3,
        )
    )
    longest = max(one.length_ticks for one in stock) - trim
    pieces = draw(
        st.lists(
            st.builds(
                Piece,
                st.just("2x3"),
                st.integers(5, longest),
                st.integers(1, 3),
                st.sampled_from(["rail", "post"]),
            ),
            min_size=1,
            max_size=4,
        )
    )
    return Problem(kerf, trim, tuple(stock), tuple(pieces))


@settings(max_examples=150, deadline=None)
@given(tiny_problems())
def test_no_way_to_cut_is_cheaper_than_the_plan(asked):
    cheapest = least_cost(asked)
    if cheapest is None:
        with pytest.raises(NotEnoughStockError):
            cut_boards(asked, SECONDS)
    else:
        assert planned(asked).cost == cheapest


# ---------------------------------------------------------------------------------------------
# The rules can say no


GOOD = problem([board(2438, "4.1", available=2)], [piece(1124, 4)])


def test_a_right_plan_has_no_faults():
    assert faults(GOOD, planned(GOOD)) == []


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (lambda b: replace(b, count=1), "2 cut, 4 wanted"),
        (lambda b: replace(b, count=3), "3 taken"),
        (lambda b: replace(b, count=0), "nothing to cut"),
        (lambda b: replace(b, offcut_ticks=0), "the offcut is wrong"),
        (lambda b: replace(b, cuts=b.cuts * 2), "longer than the board"),
        (lambda b: replace(b, cuts=(Cut("post", mm(1124)),) * 2), "0 cut, 4 wanted"),
        (lambda b: replace(b, stock=board(2438, "1")), "not in stock"),
    ],
)
def test_a_plan_that_breaks_a_rule_is_told_which(spoil, told):
    plan = planned(GOOD)
    spoilt = replace(plan, boards=tuple(spoil(one) for one in plan.boards))
    assert any(told in fault for fault in faults(GOOD, spoilt))


def test_a_plan_may_not_misstate_its_cost_or_its_bound():
    plan = planned(GOOD)
    assert "told" in faults(GOOD, replace(plan, cost=Fraction(9)))[0]
    assert "above the cost" in faults(GOOD, replace(plan, lower_bound=Fraction(9)))[0]


# ---------------------------------------------------------------------------------------------
# Dives


def dived(asked: Problem) -> list[int]:
    """Return the costs of the plans that dives come to, one cheaper than the other."""
    task = Asked.of(asked, "2x3").task
    first = quick_plan(task, task.takes)
    dive = Dive(task, [pattern for pattern, _ in first], cost_of(task, first) + 1, inf)
    costs = []
    for choices in dive.branches(6):
        assert not is_short(task, choices)
        for stock, most in enumerate(task.available):
            taken = sum(boards for pattern, boards in choices if pattern.stock == stock)
            assert most is None or taken <= most
        assert all(task.taken(p.counts) <= task.rooms[p.stock] for p, _ in choices)
        costs.append(cost_of(task, choices))
    return costs


def test_a_dive_comes_to_a_plan_of_whole_boards_by_itself():
    # 6 + 4 and 5 + 3 + 2, twice each: forty of length, four boards of ten.
    pieces = [piece(n, 2, str(n)) for n in (6, 5, 4, 3, 2)]
    asked = problem([board(10, "1")], pieces, kerf_mm=0)
    assert dived(asked)[-1] == 4


@settings(max_examples=60, deadline=None)
@given(tiny_problems())
def test_dives_end_in_lawful_plans_that_get_cheaper(asked):
    cheapest = least_cost(asked)
    if cheapest is not None:
        task = Asked.of(asked, "2x3")
        costs = dived(asked)
        assert costs == sorted(set(costs), reverse=True)
        assert all(cost * task.price_unit >= cheapest for cost in costs)


# ---------------------------------------------------------------------------------------------
# Parts of the search

TASK = Task(
    takes=(53, 37, 21),
    demand=(2, 3, 4),
    rooms=(100, 130),
    prices=(10, 13),
    available=(None, 2),
    kerf_ticks=1,
)
EVERY_WAY = [
    counts
    for counts in product(*(range(n + 1) for n in TASK.demand))
    if TASK.taken(counts) <= TASK.rooms[1]
]


@given(st.tuples(*[st.integers(0, 60)] * 3), st.integers(0, 130))
def test_the_best_filling_is_the_best_of_all(values, room):
    worth, counts = Fillings(TASK, values, TASK.demand).best(room)

    def worth_of(way):
        return sum(v * n for v, n in zip(values, way, strict=True))

    assert worth == worth_of(counts)
    assert TASK.taken(counts) <= room
    assert worth == max(worth_of(way) for way in EVERY_WAY if TASK.taken(way) <= room)


@given(st.tuples(*[st.integers(0, 60)] * 3), st.integers(0, 200))
def test_listing_finds_every_full_pattern_worth_enough(values, least):
    found = {p.counts for p in patterns_worth(TASK, 1, TASK.rooms[1], values, least, 1000)}
    full = {
        way
        for way in EVERY_WAY
        if sum(v * n for v, n in zip(values, way, strict=True)) >= least
        and TASK.topped_up(way, TASK.rooms[1]) == way
    }
    assert found == full


def test_listing_gives_up_when_there_is_too_much_to_list():
    with pytest.raises(TooManyPatternsError):
        patterns_worth(TASK, 1, TASK.rooms[1], (0, 0, 0), 0, most_patterns=2)


@given(st.tuples(*[st.integers(0, 5000)] * 3))
def test_any_prices_whatever_certify_a_bound_that_holds(values):
    fillings = Fillings(TASK, values, TASK.demand)
    worths = [fillings.best(room)[0] for room in TASK.rooms]
    certificate = certify(TASK, values, worths, scale=100)
    for stock, room in enumerate(TASK.rooms):
        worth = Fillings(TASK, certificate.values, TASK.demand).best(room)[0]
        assert worth <= certificate.board_steps(TASK, stock)
    assert certificate.bound <= 43  # two boards of the second stock and two of the first: optimal


@pytest.mark.parametrize(
    ("bound", "prices", "expected"),
    [
        (1287, (410, 660), 1320),  # 2 × 660; 1230 = 3 × 410 is below
        (1230, (410, 660), 1230),
        (1, (7,), 7),
        (0, (7,), 0),
        (5, (0,), 5),
        (74, (1,), 74),
    ],
)
def test_a_bound_is_raised_to_what_boards_can_cost(bound, prices, expected):
    assert next_sum(bound, prices) == expected
