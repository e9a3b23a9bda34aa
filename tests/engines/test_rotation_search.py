"""The rotation search: what it must honour, prove and repeat."""

import json
from dataclasses import replace
from time import monotonic

import numpy as np
import pytest

from rotation.engine import search
from rotation.engine.bound import Bound
from rotation.engine.choices import Leg, choices_of
from rotation.engine.document import read_problem
from rotation.engine.duals import Duals
from rotation.engine.grid import Grid
from rotation.engine.kernels.sweep import DROP, KEEP, SHIFT
from rotation.engine.lawful import Lawful
from rotation.engine.prices import PARTS, crowding, stay_prices
from rotation.engine.problem import Span
from rotation.engine.programme import Programme, memory_actions, too_close
from rotation.engine.rules import BrokenPlanError, broken_rules
from rotation.engine.search import solve
from tests.benchmarks.rotation_instances import SIZES, problem_document
from tests.engines.rotation_cases import problem, run


def garden(size, seed=0):
    return read_problem(json.dumps(problem_document(SIZES[size], seed)))


def places(solution):
    return [(stay.spot, stay.first_day, stay.end_day) for stay in solution.stays]


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_a_garden_of_twelve_spots_is_solved_to_the_proven_optimum(seed):
    solution = solve(garden("S", seed), seconds=20)
    assert solution.status == "optimal"
    assert solution.gap <= 1e-6
    assert solution.lower_bound <= solution.cost


def test_work_and_seed_and_not_the_clock_decide_the_plan():
    asked = garden("M1")
    one, two = (solve(asked, rounds=16, seed=3) for _ in range(2))
    assert replace(one, seconds=0.0) == replace(two, seconds=0.0)


@pytest.mark.parametrize("size", ["S", "M1", "M2", "L"])
def test_a_tenth_of_a_second_gives_a_lawful_plan_and_a_true_bound(size):
    asked = garden(size, seed=5)
    began = monotonic()
    solution = solve(asked, seconds=0.1)
    # generous: other work may share the machine
    assert monotonic() - began < 3.0
    assert broken_rules(asked, solution.stays, solution.off_bed) == ()
    assert solution.lower_bound <= solution.cost


@pytest.mark.parametrize(
    ("seconds", "rounds"), [(0.2, 1_000_000), (600.0, 2)], ids=["by the clock", "by the rounds"]
)
def test_of_two_budgets_the_first_that_is_spent_ends_the_search(seconds, rounds):
    began = monotonic()
    solution = solve(garden("M1", 1), seconds=seconds, rounds=rounds)
    # generous: other work may share the machine
    assert monotonic() - began < 10.0
    assert solution.status == "feasible"


def test_it_does_not_matter_in_which_order_a_run_names_its_spots():
    asked = garden("S", 1)
    turned = tuple(replace(run, spots=run.spots[::-1]) for run in asked.runs)
    one, other = solve(asked, rounds=400), solve(replace(asked, runs=turned), rounds=400)
    assert one.status == other.status == "optimal"
    assert one.cost == pytest.approx(other.cost)


def test_no_round_at_all_gives_a_plan():
    solution = solve(garden("S"), rounds=0)
    assert solution.lower_bound <= solution.cost


def test_more_work_gives_no_worse_plan_and_no_worse_bound():
    few, many = (solve(garden("M1", 1), rounds=rounds) for rounds in (2, 16))
    assert many.cost <= few.cost
    assert many.lower_bound >= few.lower_bound


def test_a_garden_without_spots_or_runs_is_solved():
    bare = replace(problem(), spots=(), runs=(run(spots=()),))
    solution = solve(bare, seconds=1)
    assert (solution.cost, solution.status, solution.stays) == (600.0, "optimal", ())
    assert solve(replace(problem(), runs=()), seconds=1).cost == 0.0


def test_a_run_with_no_spot_of_its_own_stays_off_bed():
    solution = solve(problem(runs=(run(spots=()),)), seconds=1)
    assert [(span.first_day, span.end_day) for span in solution.off_bed] == [(2, 8)]


def test_a_pinned_stay_is_a_stay_of_the_plan_however_dear():
    free = solve(problem(), seconds=1)
    pin = Span("bed-2", 4, 6)
    held = solve(problem(runs=(run(pinned=(pin,)),)), seconds=1)
    assert ("bed-2", 4, 6) in places(held)
    assert ("bed-2", 4, 6) not in places(free)
    assert held.status == "optimal"
    assert held.cost > free.cost


def test_another_run_keeps_clear_of_a_pin():
    pens = run(spots=("bed-2",)), run(id="pen-2", spots=("bed-2",), pinned=(Span("bed-2", 5, 7),))
    solution = solve(problem(runs=pens), seconds=1)
    assert [stay.run for stay in solution.stays] == ["pen-2"]


def test_nitrogen_that_a_pin_needs_is_left_to_it():
    # bed-1 has room for 60 g before day 10: the pin takes 40 of them
    early = run(spots=("bed-1",), first_day=0, nitrogen_g=(10.0,) * 4)
    late = run(id="pen-2", first_day=6, nitrogen_g=(10.0,) * 4, pinned=(Span("bed-1", 6, 10),))
    solution = solve(problem(runs=(early, late), rest_days=0), seconds=1)
    assert [stay.nitrogen_g for stay in solution.stays if stay.run == "pen-1"] == [20.0]


def test_what_was_announced_is_kept_unless_the_change_is_worth_it():
    told = run(announced=(Span("bed-2", 2, 5), Span("bed-1", 5, 8)))
    asked = problem(runs=(told,))
    kept = solve(replace(asked, costs=replace(asked.costs, changed_day=50.0)), seconds=1)
    assert places(kept) == [("bed-2", 2, 5), ("bed-1", 5, 8)]
    assert kept.cost_items.changed == 0.0
    cheap = solve(replace(asked, costs=replace(asked.costs, changed_day=0.01)), seconds=1)
    assert cheap.cost <= kept.cost


def test_a_pen_goes_on_where_it_stands_for_the_days_left_to_it():
    # three of at most four days are stood: one more is free, and lawful though shorter than two
    standing = run(starts_on="bed-1", stood_days=3, nitrogen_g=(10.0,) * 5)
    solution = solve(problem(runs=(standing,)), seconds=1)
    assert places(solution) == [("bed-1", 2, 3), ("bed-2", 3, 7)]
    assert solution.cost_items.moves == 10.0


def test_a_plan_that_breaks_a_rule_never_leaves(monkeypatch):
    monkeypatch.setattr(search.Improvement, "best", [(Leg(0, 2, 8),)], raising=False)
    asked = problem()
    with pytest.raises(BrokenPlanError, match="longer than 4 days"):
        search._judged(asked, [(Leg(0, 2, 8),)], 0.0, 0.0, 0)


def test_a_pen_that_remembers_never_underprices_a_lawful_route_and_in_the_end_finds_it():
    grid, run, price = one_run("S", 3)
    programme = Programme(run, grid.rest)
    floor, route = programme.cheapest(price, np.inf)
    floors = [floor]
    while too_close(route, grid.rest):
        known = programme.lessons
        floor, route = programme.cheapest(price, np.inf, lessons=1)
        assert programme.lessons == known + 1
        floors.append(floor)
    assert floors == sorted(floors)
    assert floors[-1] == pytest.approx(run.priced(price, route))


def one_run(size, seed):
    grid = Grid(garden(size, seed))
    run = choices_of(grid)[0]
    return grid, run, stay_prices(grid, run, Duals.none(grid).prices(grid))


@pytest.mark.parametrize("seed", range(6))
def test_a_broader_search_finds_cheaper_lawful_routes_but_none_below_the_floor(seed):
    grid, run, price = one_run("S", seed)
    floor, _ = Programme(run, grid.rest).cheapest(price, np.inf, lessons=200)
    narrow, broad = (Lawful(grid, run, price, width) for width in (1, 16))
    for found in (narrow, broad):
        routes = [found.route(rank) for rank in range(len(found))]
        assert all(too_close(route, grid.rest) is None for route in routes)
        assert [found.cost(rank) for rank in range(len(found))] == pytest.approx(
            [run.priced(price, route) for route in routes]
        )
    assert floor - 1e-9 <= broad.cost() <= narrow.cost() + 1e-9


def test_a_limit_that_a_lawful_route_reaches_changes_nothing():
    grid, run, price = one_run("M1", 0)
    free, limited = Programme(run, grid.rest), Programme(run, grid.rest)
    limit = Lawful(grid, run, price, 4).cost()
    assert limited.cheapest(price, limit, 50)[0] == pytest.approx(
        free.cheapest(price, np.inf, 50)[0]
    )


@pytest.mark.parametrize(
    ("days", "rest", "expected"),
    [
        (20, 30, {}),  # nothing is ever over
        (30, 20, {10: SHIFT, 21: DROP}),  # left on day 1 at the earliest: over on day 21
        (31, 30, {}),  # left on day 1, over after the last day
        (40, 10, {5: SHIFT, 10: SHIFT, 15: SHIFT, 20: SHIFT, 25: SHIFT, 30: SHIFT, 35: DROP}),
    ],
)
def test_memory_is_let_go_when_the_first_of_it_may_be_over(days, rest, expected):
    actions = memory_actions(days, rest)
    assert {day: action for day, action in enumerate(actions) if action != KEEP} == expected


def test_prices_climb_to_a_bound_that_is_true_and_near_the_one_of_the_linear_programme():
    asked = garden("M1", 0)
    grid = Grid(asked)
    runs = choices_of(grid)
    plan = solve(asked, rounds=60)
    bound = Bound(grid, runs)
    bound.start([() for _ in runs])
    seen = []
    while not bound._ascent.is_done:
        bound.round(plan.cost)
        seen.append(bound.value)
    assert seen == sorted(seen)
    assert bound.value <= plan.cost
    # 104.5 is what the linear programme converges to without cuts
    assert bound.value > 0.9 * 104.5


def test_the_bound_of_the_first_round_is_already_true():
    asked = garden("S", 1)
    grid = Grid(asked)
    runs = choices_of(grid)
    best = solve(asked, seconds=20)
    bound = Bound(grid, runs)
    assert bound.value <= best.cost
    bound.start([() for _ in runs])
    seen = [bound.value]
    while not bound.converged:
        bound.round(best.cost)
        seen.append(bound.value)
    assert seen == sorted(seen)
    assert seen[-1] <= best.cost + 1e-6


@pytest.mark.parametrize(
    ("grams", "expected"),
    [
        # of a room of 60 g: plain share, more than half, more than thirds
        (20.0, (1 / 3, 0.0, 0.0)),
        (25.0, (25 / 60, 0.0, 0.5)),
        (30.0, (0.5, 0.0, 0.5)),
        (31.0, (31 / 60, 1.0, 0.5)),
        (45.0, (0.75, 1.0, 1.0)),
        (60.0, (1.0, 1.0, 1.0)),
    ],
)
def test_a_stay_is_counted_against_a_room_in_three_ways(grams, expected):
    counted = [float(crowding(np.array(grams), np.array(60.0), parts)) for parts in PARTS]
    assert counted == pytest.approx(expected, abs=1e-6)
