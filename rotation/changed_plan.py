"""Planning a garden with changes that are only thought of, from what is told.

The planner decides for the largest pens first, so planning all pens anew can cost the smaller ones what they
have. So those that lack beds, or are changed, are planned beside the others too, and the better plan counts.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from math import inf
from time import monotonic

from rotation.engine.problem import CostItems
from rotation.engine.rules import broken_rules, cost_of
from rotation.facts import GardenFacts
from rotation.models import PinnedStay, PlannedStay
from rotation.plan_saving import Solved
from rotation.planning import Effort, solved
from rotation.problems import size_problem
from rotation.spans import pin_of
from rotation.told import told_parts


def changed_plan(
    facts: GardenFacts,
    changed: GardenFacts,
    told: Sequence[PlannedStay],
    effort: Effort,
    *,
    quick_seconds: float | None = None,
) -> Solved:
    """Plan a changed garden.

    Parameters
    ----------
    facts, changed : GardenFacts
        The garden as it is, and with the changes.
    told : sequence of PlannedStay
        The plan of the garden as it is, its beds, pens and batches loaded.
    effort : Effort
        For each of up to three searches: beside the others, all together from what that found, and all
        together from what is told.
    quick_seconds : float, optional
        Begin no further search after so long, nor once a plan has no day off the beds, whatever else it costs.

    Returns
    -------
    Solved
        The best of them, its costs including those of changing what is told. The bound comes from the third
        search; where that was left out it is minus infinity.
    """
    began = monotonic()
    found = [_beside_others(facts, changed, told, effort)]

    def enough() -> bool:
        if quick_seconds is None:
            return False
        fits = not days_off_in(found[-1].stays, changed.on)
        return fits or monotonic() - began > quick_seconds

    bound = -inf
    if not enough():
        together = solved(changed, effort, announced=found[0].stays)
        found += _reckoned(together.stays, changed, told)
    if not enough():
        afresh = solved(changed, effort, announced=told)
        found.append(afresh)
        bound = afresh.lower_bound
    best = min(found, key=lambda plan: plan.cost)
    return replace(best, lower_bound=min(bound, best.cost), seconds=monotonic() - began)


def _beside_others(
    facts: GardenFacts, changed: GardenFacts, told: Sequence[PlannedStay], effort: Effort
) -> Solved:
    """Plan the pens that lack beds or are changed, and hold the others where they are told."""
    lacking = {
        (stay.batch_id, stay.pen_id)
        for stay in told
        if stay.bed_id is None and stay.end_day > facts.on
    }
    held = {
        (run.batch.pk, run.pen.pk)
        for run in changed.runs
        if (run.batch.pk, run.pen.pk) not in lacking and run in facts.runs
    }
    pins = [
        PinnedStay(**stay.ground, first_day=stay.first_day, end_day=stay.end_day)
        for stay in told
        if (stay.batch_id, stay.pen_id) in held
        and stay.bed_id in changed.beds
        and stay.end_day > changed.on
        and pin_of(stay, changed.pins) is None
    ]
    beside = solved(replace(changed, pins=(*changed.pins, *pins)), effort, announced=told)
    return replace(beside, lower_bound=-inf)


def _reckoned(
    stays: Sequence[PlannedStay], facts: GardenFacts, told: Sequence[PlannedStay]
) -> Iterator[Solved]:
    """Yield stays with what they cost, changes of what is told included; nothing where they break a rule."""
    items = []
    for part, on_beds, off in told_parts(stays, facts):
        if broken_rules(part.problem, on_beds, off):
            return
        as_told = size_problem(facts, list(part.runs.values()), decided=(), announced=told)
        announced = {run.id: run.announced for run in as_told.problem.runs}
        runs = (replace(run, announced=announced[run.id]) for run in part.problem.runs)
        items.append(cost_of(replace(part.problem, runs=tuple(runs)), on_beds, off))
    total = CostItems.of_all(items)
    yield Solved(tuple(stays), total.total, -inf, total, 0.0)


def days_off_in(stays: Sequence[PlannedStay], on: date) -> int:
    """Return the days off the beds that stays tell from a day on, counted for each pen."""
    return sum(days_off(stay, on) for stay in stays)


def days_off(stay: PlannedStay, on: date) -> int:
    """Return how many days from a day on a row stands off the beds; 0 for a stay on a bed."""
    if stay.bed_id is not None:
        return 0
    return max(0, (stay.end_day - max(stay.first_day, on)).days)
