"""The seam between rows and the rotation engine: rows in, a solved plan out, the plan back into rows.

Views and commands plan only through here, and the engine is called only from here.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import starmap

from django.conf import settings
from django.db import transaction
from django.db.models import Prefetch

from garden.models import Garden
from garden.words import mark
from rotation.engine.problem import CostItems, Problem, Progress, Solution
from rotation.facts import GardenFacts, facts_of
from rotation.going_on import solve_going_on
from rotation.mending import mending_problem
from rotation.models import Plan, PlannedStay
from rotation.off_reasons import with_true_reasons
from rotation.plan_saving import Solved, is_newest, plan_save, stays_close_finished, stays_of
from rotation.problems import (
    SizeProblem,
    occupied_by,
    rows_of,
    size_problem,
    sizes_of,
)
from rotation.stretches import Occupied
from rotation.told import (
    as_told,
    cost_as_told,
    faults_of,
    ground_fingerprint,
    ground_told,
    holds,
    told_if_better,
    told_parts,
)

PLANNED_AGAIN = mark("planned again")
MOST_LOOKS = 3
"""How often a plan is mended when others plan at the same moment; whoever comes later looks again anyway."""

MENDING_SHARE = 0.3
"""Largest share of the time for the search that goes into mending what was told. Our choice."""
PROOF_SHARE = 0.2
"""Share of the time for the search that goes into the proof where all is left as told. Our choice."""

Part = tuple[SizeProblem, Solution]
Watch = Callable[[Progress | None], bool]
"""Told now and then how far a search has come, None while other sizes of pen are to come; True ends it."""


@dataclass(frozen=True)
class Effort:
    """How long the search may take: seconds in all, or rounds a part where work should end it."""

    seconds: float | None = None
    rounds: int | None = None
    seed: int = 0

    def shared(self, runs: int, of_runs: int) -> dict[str, float | int | None]:
        """Return the engine's arguments for a part with `runs` of all `of_runs` runs."""
        seconds = None if self.seconds is None else self.seconds * runs / of_runs
        return {"seconds": seconds, "rounds": self.rounds, "seed": self.seed}


BESIDE_EFFORT = Effort(seconds=1.0, rounds=40)
"""For a new batch's runs beside what is told, before everything is planned anew. Our choice."""


def current_plan(garden: Garden, *, before: Plan | None = None) -> Plan | None:
    """Return the newest plan, or that before another, with its stays' beds, pens and batches; two queries."""
    stays = PlannedStay.objects.select_related("pen", "bed", "batch")
    plans = Plan.objects.filter(garden=garden, **({"pk__lt": before.pk} if before else {}))
    return plans.prefetch_related(Prefetch("stays", stays)).first()


def solved(
    facts: GardenFacts,
    effort: Effort,
    *,
    announced: Sequence[PlannedStay] = (),
    decided: Sequence[Occupied] = (),
    watch: Watch | None = None,
) -> Solved:
    """Plan all runs of `facts`, the largest pens first.

    Parameters
    ----------
    announced : sequence of PlannedStay
        What the grower was told, changed only where it is worth it.
    decided : sequence of Occupied
        Ground that is taken for good.
    watch : callable, optional
        Told how far the search has come; where it answers True, what has been found is returned.
    """
    rows: list[PlannedStay] = []
    solutions: list[Solution] = []
    for part, solution in _best_parts(facts, effort, announced, decided, watch):
        solutions.append(solution)
        rows += [
            with_true_reasons(row, part, facts)
            for row in rows_of(part, solution.stays, solution.off_bed)
        ]
    return Solved(
        stays=tuple(rows),
        cost=sum(solution.cost for solution in solutions),
        lower_bound=sum(solution.lower_bound for solution in solutions),
        items=CostItems.of_all(solution.cost_items for solution in solutions),
        seconds=sum(solution.seconds for solution in solutions),
    )


def _best_parts(
    facts: GardenFacts,
    effort: Effort,
    announced: Sequence[PlannedStay],
    decided: Sequence[Occupied],
    watch: Watch | None,
) -> list[Part]:
    """Return a solution for each size of pen, all as told where all together would be worse.

    Better ground for the large pens may be what the small ones were told, and cost them more.
    """
    parts = list(_parts(facts, effort, announced, decided, watch))
    if len(parts) > 1 and announced:
        told = list(told_parts(announced, facts, decided))
        if sum(starmap(cost_as_told, told)) < sum(solution.cost for _, solution in parts):
            return _left_as_told([part for part, *_ in told], parts[0][1], effort)
    return parts


def _parts(
    facts: GardenFacts,
    effort: Effort,
    announced: Sequence[PlannedStay],
    decided: Sequence[Occupied],
    watch: Watch | None,
) -> Iterable[Part]:
    decided = list(decided)
    so_far = Progress(0.0, 0.0, 0.0)
    sizes = sizes_of(facts)
    for runs in sizes:
        part = size_problem(facts, runs, decided=decided, announced=announced)
        shared = effort.shared(len(runs), len(facts.runs))
        part_watch = watch and _part_watch(watch, so_far if runs is sizes[-1] else None)
        solution = _searched(part, shared, part_watch)
        decided += occupied_by(part, solution.stays)
        so_far = _sum(so_far, solution)
        yield part, solution


def _searched(
    part: SizeProblem,
    shared: dict[str, float | int | None],
    watch: Callable[[Progress], bool] | None,
) -> Solution:
    """Return the cheapest of a search, what was told, and, where that breaks a rule, what was told mended."""
    smaller = mending_problem(part)
    if smaller is None:
        return told_if_better(part, solve_going_on(part.problem, **shared, watch=watch))
    seconds = shared["seconds"]
    mended = solve_going_on(
        smaller, **shared | {"seconds": seconds and seconds * MENDING_SHARE}, watch=watch
    )
    rest = seconds and max(seconds - mended.seconds, 0.0)
    found = solve_going_on(part.problem, **shared | {"seconds": rest}, watch=watch)
    best = told_if_better(part, found)
    return as_told(part, found, mended.stays) if mended.cost < best.cost else best


def _left_as_told(told: Sequence[SizeProblem], first: Solution, effort: Effort) -> list[Part]:
    """Return what was told, with proofs: the first part's search was for the same problem.

    The last part takes nobody's ground, so it may be better than told.
    """
    short = replace(effort, seconds=effort.seconds and effort.seconds * PROOF_SHARE)
    proofs = [
        first,
        *(solve_going_on(part.problem, **short.shared(1, len(told))) for part in told[1:]),
    ]
    *kept, last = zip(told, proofs, strict=True)
    return [
        *((part, as_told(part, proof)) for part, proof in kept),
        (last[0], told_if_better(*last)),
    ]


def _part_watch(watch: Watch, so_far: Progress | None) -> Callable[[Progress], bool]:
    """Return a watch for one part that tells of the whole, where all the parts before it are known."""
    return lambda progress: watch(so_far and _sum(so_far, progress))


def _sum(one: Progress, other: Progress | Solution) -> Progress:
    return Progress(
        seconds=one.seconds + other.seconds,
        cost=one.cost + other.cost,
        lower_bound=one.lower_bound + other.lower_bound,
    )


def solved_problem(problem: Problem, effort: Effort) -> Solution:
    """Plan one pen's problem by itself, for a page that asks what another place would cost."""
    return solve_going_on(problem, **effort.shared(1, 1))


def plan_again(
    *, garden: Garden, on: date, because: str = PLANNED_AGAIN, effort: Effort | None = None
) -> Plan:
    """Work out and save a new plan from `on`, changing as little of the announced one as it is worth."""
    facts, told = facts_of(garden, on), current_plan(garden)
    effort = effort or _while_somebody_waits()
    answer = solved(facts, effort, announced=announced_by(told, facts))
    with transaction.atomic():
        return plan_save(facts=facts, told=told, because=because, answer=answer)


def plan_mend(*, garden: Garden, on: date, because: str) -> Plan | None:
    """Keep the plan where it still holds, otherwise work out a new one.

    A plan holds while its stays keep every rule after what was logged since, no pen has a day off the beds
    that was not told, and the ground it was made for is the same.

    Returns
    -------
    Plan or None
        The new plan; None where the old one was kept, or there never were birds to plan for.
    """
    stays_close_finished(garden=garden, on=on)
    looks_left = MOST_LOOKS
    while True:
        looks_left -= 1
        facts, told = facts_of(garden, on), current_plan(garden)
        if told is None and not facts.runs:
            return None
        if told is not None and still_holds(told, facts):
            return None
        # Searching takes a second or more, so nobody's writing may wait for it.
        effort = _while_somebody_waits()
        answer = solved(facts, effort, announced=announced_by(told, facts))
        with transaction.atomic():
            if looks_left == 0 or is_newest(told, garden):
                return plan_save(facts=facts, told=told, because=because, answer=answer)


def plan_is_due(*, garden: Garden, on: date) -> bool:
    """Whether a plan should be worked out; cheap, no search. Ends the stays of finished birds first."""
    stays_close_finished(garden=garden, on=on)
    facts, told = facts_of(garden, on), current_plan(garden)
    return bool(facts.runs) if told is None else not still_holds(told, facts)


def still_holds(told: Plan, facts: GardenFacts) -> bool:
    """Whether a plan was made for this ground and keeps every rule as things stand now."""
    return told.ground == ground_fingerprint(facts) and holds(told, facts)


def _while_somebody_waits() -> Effort:
    return Effort(seconds=settings.PLAN_SECONDS)


def announced_by(told: Plan | None, facts: GardenFacts) -> list[PlannedStay]:
    """Return what the grower was told, with new runs planned beside it.

    So a batch that was shown to fit beside what is told is never planned worse once it is saved.
    """
    stays = stays_of(told)
    known = {(stay.batch_id, stay.pen_id) for stay in stays}
    new = tuple(run for run in facts.runs if (run.batch.pk, run.pen.pk) not in known)
    if not stays or not new:
        return stays
    beside = solved(replace(facts, runs=new), BESIDE_EFFORT, decided=ground_told(stays, facts))
    return [*stays, *beside.stays]


def plan_faults(garden: Garden, on: date) -> list[str]:
    """Return what is wrong with the newest plan as things stand now; empty when it is sound."""
    plan = current_plan(garden)
    return faults_of(plan, facts_of(garden, on)) if plan else []
