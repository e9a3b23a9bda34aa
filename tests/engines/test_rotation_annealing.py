"""Plans made better by small changes: lawful at every step, never worse, honestly costed, the same again."""

import json
from random import Random
from time import monotonic

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from rotation.engine import beside
from rotation.engine.annealing import Annealing
from rotation.engine.bound import Bound
from rotation.engine.choices import choices_of
from rotation.engine.document import read_problem
from rotation.engine.draft import Draft
from rotation.engine.explain import off_bed_spans
from rotation.engine.grid import Grid
from rotation.engine.improve import Improvement
from rotation.engine.plans import PlanWork
from rotation.engine.problem import stay_of
from rotation.engine.rules import broken_rules, cost_of
from tests.benchmarks.rotation_instances import SIZES, problem_document
from tests.external import rotation_tiny as tiny

KINDS = [tiny.mixed, tiny.returning, tiny.crowded, tiny.brimming, tiny.lived_in, tiny.pinned]

MONEY = 1e-6
"""What floating-point sums may differ by."""


def drafted(document):
    """Return a problem and an empty draft of it."""
    problem = read_problem(json.dumps(document))
    grid = Grid(problem)
    return problem, Draft(grid, choices_of(grid))


def annealed(document, steps, seed=0, price_rounds=0):
    """Return a problem, the search after so many steps and the plan it found as stays."""
    problem, draft = drafted(document)
    annealing = Annealing(draft, Random(seed))
    if price_rounds:
        bound = Bound(draft.grid, draft.runs)
        bound.start(draft.routes)
        for _ in range(price_rounds):
            bound.round(draft.cost)
        annealing.charge(bound.guide)
    for _ in range(steps // 50):
        annealing.go(50)
    return problem, annealing, stays_of(problem, annealing.best)


def plan_work(draft):
    """Return work on plans that begins from a draft and is never told to end."""
    return PlanWork(Improvement(draft, Random(0)), Annealing(draft, Random(0)), lambda: True)


def stays_of(problem, routes):
    return [
        stay_of(run, problem.spots[leg.spot].id, leg.first_day, leg.end_day)
        for run, route in zip(problem.runs, routes, strict=True)
        for leg in route
    ]


def cost_as_written(problem, stays):
    return cost_of(problem, stays, off_bed_spans(problem, stays)).total


@pytest.mark.parametrize("case", KINDS)
def test_what_comes_out_is_lawful_and_costs_what_it_says(case):
    @settings(
        max_examples=60,
        derandomize=True,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case())
    def holds(document):
        problem, annealing, stays = annealed(document, 300)
        assert not broken_rules(problem, stays, off_bed_spans(problem, stays))
        assert annealing.best_cost == pytest.approx(cost_as_written(problem, stays), abs=MONEY)

    holds()


@pytest.mark.parametrize("seed", range(3))
def test_a_garden_of_forty_places_is_lawful_at_every_look(seed):
    document = problem_document(SIZES["M1"], seed)
    problem, draft = drafted(document)
    annealing, costs = Annealing(draft, Random(seed)), []
    for _ in range(30):
        annealing.go(100)
        stays = stays_of(problem, annealing.best)
        assert not broken_rules(problem, stays, off_bed_spans(problem, stays))
        costs.append(annealing.best_cost)
        assert costs[-1] == pytest.approx(cost_as_written(problem, stays), abs=MONEY)
    assert costs == sorted(costs, reverse=True)
    # An empty plan pays for every day off the beds; this one for none.
    assert costs[-1] < draft.cost / 20


def test_the_same_seed_finds_the_same_plan_and_another_another():
    document = problem_document(SIZES["M1"], 0)
    one, same, other = (annealed(document, 1000, seed)[1] for seed in (1, 1, 2))
    assert (one.best, one.best_cost) == (same.best, same.best_cost)
    assert one.best != other.best


def test_charges_guide_but_do_not_count():
    document = problem_document(SIZES["M1"], 0)
    problem, annealing, stays = annealed(document, 2000, price_rounds=60)
    assert annealing.best_cost == pytest.approx(cost_as_written(problem, stays), abs=MONEY)
    assert annealing.best != annealed(document, 2000)[1].best


def test_polishing_goes_on_from_the_plan_given_and_keeps_the_better():
    document = problem_document(SIZES["M1"], 1)
    problem, annealing, _ = annealed(document, 3000)
    best, cost = annealing.best, annealing.best_cost
    annealing.polish([() for _ in problem.runs], 1e9)
    assert (annealing.best, annealing.best_cost) == (best, cost)
    annealing.go(1)
    assert annealing.best_cost == cost
    fresh = Annealing(drafted(document)[1], Random(5))
    fresh.polish(best, cost)
    assert (fresh.best, fresh.best_cost) == (list(best), cost)


def test_a_garden_without_spots_or_runs_is_left_alone():
    for emptied in ("spots", "runs"):
        document = problem_document(SIZES["S"], 0) | {emptied: []}
        for run in document["runs"]:
            run["spots"] = []
        annealing = Annealing(drafted(document)[1], Random(0))
        assert not annealing.go(100)


def test_on_a_thread_of_its_own_it_takes_prices_and_plans_and_ends_when_told():
    _, draft = drafted(problem_document(SIZES["M1"], 0))
    began = draft.cost
    with beside.Beside(plan_work(draft)) as changes:
        changes.guide(Bound(draft.grid, draft.runs).guide)
        ends = monotonic() + 20
        while changes.best_cost > began / 10 and monotonic() < ends:
            changes.rest(0.01)
    assert changes.best_cost <= began / 10
    draft.put_all(changes.best)
    assert draft.cost == pytest.approx(changes.best_cost)


def test_a_fault_on_the_thread_is_not_lost():
    _, draft = drafted(problem_document(SIZES["S"], 0))
    changes = beside.Beside(plan_work(draft))
    changes.__enter__()
    changes.guide("no prices at all")
    changes._thread.exception(timeout=20)
    with pytest.raises(AttributeError):
        changes.__exit__(None)
