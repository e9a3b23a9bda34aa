"""The seam between rows and the rotation engine: rows in, a solved plan out, the plan back into rows.

Views and commands plan only through here, and the engine is called only from here.
"""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, fields, replace
from datetime import date, timedelta

from django.conf import settings
from django.db import transaction
from django.db.models import Prefetch

from garden.models import Garden
from rotation.changes import sentences
from rotation.engine.problem import CostItems, Solution
from rotation.engine.search import solve
from rotation.facts import GardenFacts, facts_of
from rotation.ground import Occupied, open_to_crops
from rotation.models import Plan, PlannedStay, Stay
from rotation.problems import (
    NOW,
    SizeProblem,
    horizon_of,
    occupied_by,
    rows_of,
    size_problem,
    sizes_of,
)
from rotation.told import (
    doings,
    faults_of,
    ground_fingerprint,
    ground_told,
    holds,
    told_if_better,
)

PLANS_KEPT = 20
"""Plans kept for each garden, so that a page can say what changed. Our choice."""
MOST_LOOKS = 3
"""How often a plan is mended when others plan at the same moment; whoever comes later looks again anyway."""


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


@dataclass(frozen=True)
class Solved:
    """A plan that is not saved yet."""

    stays: tuple[PlannedStay, ...]
    cost: float
    lower_bound: float
    items: CostItems
    seconds: float


def current_plan(garden: Garden) -> Plan | None:
    """Return the newest plan with its stays, their beds, pens and batches; two queries."""
    stays = PlannedStay.objects.select_related("pen", "bed", "batch")
    return Plan.objects.filter(garden=garden).prefetch_related(Prefetch("stays", stays)).first()


def solved(
    facts: GardenFacts,
    effort: Effort,
    *,
    announced: Sequence[PlannedStay] = (),
    decided: Sequence[Occupied] = (),
) -> Solved:
    """Plan all runs of `facts`, the largest pens first.

    Parameters
    ----------
    announced : sequence of PlannedStay
        What the grower was told, changed only where it is worth it.
    decided : sequence of Occupied
        Ground that is taken for good.
    """
    rows: list[PlannedStay] = []
    solutions: list[Solution] = []
    for part, solution in _parts(facts, effort, announced, decided):
        solutions.append(solution)
        rows += [_with_true_reasons(row, part, facts) for row in rows_of(part, solution)]
    totals = {
        field.name: sum(getattr(solution.cost_items, field.name) for solution in solutions)
        for field in fields(CostItems)
    }
    return Solved(
        stays=tuple(rows),
        cost=sum(solution.cost for solution in solutions),
        lower_bound=sum(solution.lower_bound for solution in solutions),
        items=CostItems(**totals),
        seconds=sum(solution.seconds for solution in solutions),
    )


def _parts(
    facts: GardenFacts,
    effort: Effort,
    announced: Sequence[PlannedStay],
    decided: Sequence[Occupied],
) -> Iterable[tuple[SizeProblem, Solution]]:
    decided = list(decided)
    for runs in sizes_of(facts):
        part = size_problem(facts, runs, decided=decided, announced=announced)
        found = solve(part.problem, **effort.shared(len(runs), len(facts.runs)))
        solution = told_if_better(part, found)
        decided += occupied_by(part, solution.stays)
        yield part, solution


def _with_true_reasons(row: PlannedStay, part: SizeProblem, facts: GardenFacts) -> PlannedStay:
    """Tell places shut by the rest after earlier stays from places shut by a crop.

    The engine sees both as days outside a window; only the beds' own facts know which it is.
    """
    shut = row.because.get("crop", 0)
    if shut:
        places = [place for name, place in part.stretches.items() if not name.endswith(NOW)]
        open_by_crop = sum(
            open_to_crops(facts.beds[place.bed_id], facts.garden, part.horizon, row.first_day)
            for place in places
        )
        by_crop = min(shut, len(places) - open_by_crop)
        counts = row.because | {
            "crop": by_crop,
            "rest": row.because.get("rest", 0) + shut - by_crop,
        }
        row.because = {reason: count for reason, count in counts.items() if count}
    return row


def plan_again(
    *, garden: Garden, on: date, because: str = "planned again", effort: Effort | None = None
) -> Plan:
    """Work out and save a new plan from `on`, changing as little of the announced one as it is worth."""
    facts, told = facts_of(garden, on), current_plan(garden)
    effort = effort or _while_somebody_waits()
    answer = solved(facts, effort, announced=_announced(facts, told))
    with transaction.atomic():
        return _plan_save(facts, told, because, answer)


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
        if told is not None and told.ground == ground_fingerprint(facts) and holds(told, facts):
            return None
        # Searching takes a second or more, so nobody's writing may wait for it.
        effort = _while_somebody_waits()
        answer = solved(facts, effort, announced=_announced(facts, told))
        with transaction.atomic():
            if looks_left == 0 or _is_newest(told, garden):
                return _plan_save(facts, told, because, answer)


def _while_somebody_waits() -> Effort:
    return Effort(seconds=settings.PLAN_SECONDS)


def _stays_of(told: Plan | None) -> list[PlannedStay]:
    return list(told.stays.all()) if told else []


def _announced(facts: GardenFacts, told: Plan | None) -> list[PlannedStay]:
    """Return what the grower was told, with new runs planned beside it.

    So a batch that was shown to fit beside what is told is never planned worse once it is saved.
    """
    stays = _stays_of(told)
    known = {(stay.batch_id, stay.pen_id) for stay in stays}
    new = tuple(run for run in facts.runs if (run.batch.pk, run.pen.pk) not in known)
    if not stays or not new:
        return stays
    beside = solved(replace(facts, runs=new), BESIDE_EFFORT, decided=ground_told(stays, facts))
    return [*stays, *beside.stays]


def _is_newest(told: Plan | None, garden: Garden) -> bool:
    """Whether nobody has planned meanwhile; whoever looks makes the others wait for the transaction's end."""
    Garden.objects.select_for_update().get(pk=garden.pk)
    newest = Plan.objects.filter(garden=garden).values_list("pk", flat=True).first()
    return newest == (told.pk if told else None)


def _plan_save(facts: GardenFacts, told: Plan | None, because: str, answer: Solved) -> Plan:
    plan = Plan.objects.create(
        garden=facts.garden,
        from_day=facts.on,
        end_day=horizon_of(facts).end_day,
        because=because,
        ground=ground_fingerprint(facts),
        cost=answer.cost,
        lower_bound=answer.lower_bound,
        cost_items=asdict(answer.items),
        seconds=answer.seconds,
        changes=sentences(doings(_stays_of(told), facts), doings(answer.stays, facts)),
    )
    for row in answer.stays:
        row.plan = plan
    PlannedStay.objects.bulk_create(answer.stays)
    old = Plan.objects.filter(garden=facts.garden).values_list("pk", flat=True)[PLANS_KEPT:]
    Plan.objects.filter(pk__in=list(old)).delete()
    return plan


def plan_faults(garden: Garden, on: date) -> list[str]:
    """Return what is wrong with the newest plan as things stand now; empty when it is sound."""
    plan = current_plan(garden)
    return faults_of(plan, facts_of(garden, on)) if plan else []


def stays_close_finished(*, garden: Garden, on: date) -> None:
    """End the stays of pens whose birds have all been processed."""
    for stay in Stay.objects.of(garden).standing().select_related("batch"):
        if stay.batch.finished_on is not None:
            stay.end_day = max(stay.batch.finished_on, stay.first_day + timedelta(days=1))
            stay.save(update_fields=["end_day"])
