"""Branch and price ends with the cheapest plan by itself, and keeps apart what must be kept apart."""

from itertools import product
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pens.cutting.apart import FillingsApart, OutOfTimeError
from pens.cutting.branching import Node, Tree
from pens.cutting.master import shortage_price
from pens.cutting.patterns import Pattern, Task
from pens.cutting.profile import Asked
from pens.cutting.quick import cost_of, is_short
from tests.engines.test_cutting import board, least_cost, piece, problem, tiny_problems

TASK = Task(
    takes=(53, 37, 21),
    demand=(2, 3, 4),
    rooms=(100, 130),
    prices=(10, 13),
    available=(None, 2),
    kerf_ticks=1,
)


def grown(task: Task, bound: int = 0, seconds: float = inf) -> tuple[Tree, list[int]]:
    """Search a whole tree with nothing known before, and return it with the costs it found."""
    tree = Tree(task, bound, shortage_price(task), [], seconds)
    costs = []
    for choices in tree.plans():
        assert not is_short(task, choices)
        assert all(task.taken(p.counts) <= task.rooms[p.stock] for p, _ in choices)
        costs.append(cost_of(task, choices))
    return tree, costs


@settings(max_examples=120, deadline=None)
@given(tiny_problems())
def test_the_tree_alone_ends_with_the_cheapest_plan(asked):
    profile = Asked.of(asked, "2x3")
    tree, costs = grown(profile.task)
    cheapest = least_cost(asked)
    assert costs == sorted(set(costs), reverse=True)
    if cheapest is None:
        assert not costs
        assert tree.bound == shortage_price(profile.task)
    else:
        assert costs[-1] * profile.price_unit == cheapest
        assert tree.bound == costs[-1]


def test_a_gap_that_no_rounding_closes_takes_branches():
    # Two of 44, three of 33 and six of 12 from 132: 259/132 of length and 1.96 boards on paper, three in
    # truth. J. Fieldhouse, "The duality gap in trim problems", SICUP Bulletin 5, 1990, from memory.
    pieces = [piece(44, 2), piece(33, 3), piece(12, 6)]
    task = Asked.of(problem([board(132, "1")], pieces, kerf_mm=0), "2x3").task
    tree, costs = grown(task)
    assert (costs[-1], tree.bound) == (3, 3)


def test_without_time_the_bound_is_what_was_known():
    tree, costs = grown(TASK, bound=7, seconds=-inf)
    assert (costs, tree.bound) == ([], 7)


EVERY_WAY = [
    counts
    for counts in product(*(range(n + 1) for n in TASK.demand))
    if TASK.taken(counts) <= TASK.rooms[1]
]
PAIRS = [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)]


def keeps(counts: tuple[int, ...], pairs: list[tuple[int, int]]) -> bool:
    return not any(counts[a] > 1 if a == b else counts[a] and counts[b] for a, b in pairs)


@given(
    st.tuples(*[st.integers(0, 60)] * 3),
    st.integers(0, 130),
    st.integers(0, 100),
    st.lists(st.sampled_from(PAIRS), unique=True),
)
def test_the_best_filling_with_pieces_kept_apart_is_the_best_of_all(values, room, above, pairs):
    node = Node.of(TASK, 0, [])
    for pair in pairs:
        node = node.kept_apart(pair)
    worth, counts = FillingsApart(TASK, values, node.apart, inf).best(room, above)

    def worth_of(way):
        return sum(v * n for v, n in zip(values, way, strict=True))

    ways = [way for way in EVERY_WAY if TASK.taken(way) <= room and keeps(way, pairs)]
    best = max(worth_of(way) for way in ways)
    if best <= above:
        assert (worth, counts) == (above, None)
    else:
        assert worth == best == worth_of(counts)
        assert counts in ways


def test_a_search_for_a_filling_gives_up_when_time_is_up(monkeypatch):
    monkeypatch.setattr("pens.cutting.apart._STEPS_A_LOOK", 1)
    apart = Node.of(TASK, 0, []).kept_apart((0, 1)).apart
    with pytest.raises(OutOfTimeError):
        FillingsApart(TASK, (1, 1, 1), apart, -inf).best(130, 0)


# ---------------------------------------------------------------------------------------------
# Nodes


def test_joining_makes_one_piece_of_two_and_keeps_both_rules():
    start = Node.of(TASK, 0, [Pattern(0, (1, 1, 0)), Pattern(1, (0, 1, 3))])
    node = start.kept_apart((0, 2)).joined((0, 1))
    assert node.task.takes == (53, 37, 21, 90)
    assert node.task.demand == (1, 2, 4, 1)
    assert node.parts[3] == (1, 1, 0)
    # The joined piece holds a 53, so it stays apart from 21 too.
    assert node.apart == (frozenset({2}), frozenset(), frozenset({0, 3}), frozenset({2}))
    assert node.patterns == (Pattern(0, (0, 0, 0, 1)), Pattern(1, (0, 1, 3, 0)))


def test_a_piece_joined_for_the_last_time_is_gone():
    node = Node.of(TASK, 0, []).joined((0, 0))
    assert (node.task.takes, node.task.demand) == ((37, 21, 106), (3, 4, 1))
    assert node.parts[2] == (2, 0, 0)


def test_patterns_with_both_go_when_they_are_kept_apart():
    patterns = [Pattern(1, (1, 1, 1)), Pattern(1, (2, 0, 1)), Pattern(1, (0, 3, 0))]
    node = Node.of(TASK, 0, patterns)
    assert node.kept_apart((0, 1)).patterns == tuple(patterns[1:])
    assert node.kept_apart((0, 0)).patterns == (patterns[0], patterns[2])


def test_a_choice_is_told_in_the_pieces_of_the_whole_problem():
    node = Node.of(TASK, 0, []).joined((0, 1)).joined((3, 2))
    counts = tuple(int(part == (1, 1, 1)) for part in node.parts)
    assert node.spelt_out([(Pattern(1, counts), 1)]) == [(Pattern(1, (1, 1, 1)), 1)]
