"""What the Plan page shows of the grower's own decisions, and what its script needs to change a stay."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from pens.models import Pen
from rotation.board_hand import here_too, places_of
from rotation.day_sheet import place_key
from rotation.edits import ahead, span_words
from rotation.facts import GardenFacts, PenRun
from rotation.models import Closure, PinnedStay, Plan, PlannedStay
from rotation.spans import pin_of
from rotation.told import in_names, told_parts


@dataclass(frozen=True)
class BrokenLock:
    """A stay that the grower has locked and no plan can have, with the rules that speak against it."""

    pin: PinnedStay
    words: str


@dataclass(frozen=True)
class Crowded:
    """A pen whose birds will weigh more than the garden's limit for its floor."""

    pen: Pen
    run: PenRun
    crowded_on: date


def board_context(facts: GardenFacts, plan: Plan, *, may_change: bool) -> dict[str, Any]:
    """Return what the board's page adds to the plan's; no query."""
    context: dict[str, Any] = {
        "broken_locks": broken_locks(facts, plan),
        "closures": closures(facts),
        "crowded": crowded(facts),
        "staying": staying(facts, plan),
    }
    if may_change:
        context["board_data"] = board_data(facts, list(plan.stays.all()))
    return context


def closures(facts: GardenFacts) -> list[Closure]:
    """Return the closures that are not over, soonest first."""
    found = (row for known in facts.beds.values() for row in known.bed.closures.all())
    return sorted(
        (row for row in found if row.end_day > facts.on), key=lambda row: (row.first_day, row.pk)
    )


def staying(facts: GardenFacts, plan: Plan) -> list[PlannedStay]:
    """Return the planned stays of pens that merely go on standing, which are no moves."""
    now = {(stay.pen_id, stay.batch_id): stay.place for stay in facts.standing}
    return [
        stay
        for stay in plan.stays.all()
        if stay.first_day <= facts.on < stay.end_day
        and now.get((stay.pen_id, stay.batch_id)) == stay.place
    ]


def broken_locks(facts: GardenFacts, plan: Plan) -> list[BrokenLock]:
    """Return what is locked and cannot be, in the order in which it was locked."""
    if not facts.pins:
        return []
    return [
        BrokenLock(
            broken.pin, "; ".join(in_names(str(breach), part, facts) for breach in broken.breaches)
        )
        for part, *_ in told_parts(list(plan.stays.all()), facts)
        for broken in part.broken_pins
    ]


def crowded(facts: GardenFacts) -> list[Crowded]:
    """Return the pens that will be too full, soonest first."""
    limit = facts.garden.density_limit_kg_m2
    days = (
        (
            run,
            facts.forecasts[run.batch.pk].crowded_on(
                run.birds, run.pen.floor_m2, limit, run.first_day, run.end_day
            ),
        )
        for run in facts.runs
        if run.batch.pk in facts.forecasts
    )
    found = [Crowded(run.pen, run, day) for run, day in days if day]
    return sorted(found, key=lambda pen: (pen.crowded_on, pen.pen.name))


def board_data(facts: GardenFacts, stays: list[PlannedStay]) -> dict[str, Any]:
    """Return what the script needs: each pen's places and days, and the stays that can be changed."""
    runs = {(run.batch.pk, run.pen.pk): run for run in facts.runs}
    ahead_of = [
        (stay, runs[stay.batch_id, stay.pen_id])
        for stay in stays
        if (stay.batch_id, stay.pen_id) in runs and stay.end_day > facts.on
    ]
    return {
        "today": facts.on.isoformat(),
        "runs": {
            run.id: _run_data(facts, run, [stay for stay, of in ahead_of if of is run])
            for run in facts.runs
        },
        "stays": {str(stay.pk): _stay_data(facts, stay, run) for stay, run in ahead_of},
    }


def _run_data(facts: GardenFacts, run: PenRun, stays: list[PlannedStay]) -> dict[str, Any]:
    places = places_of(facts, run)
    for stay in stays:
        places = here_too(places, facts, stay)
    return {
        "pen": run.pen.name,
        "first": run.first_day.isoformat(),
        "end": run.end_day.isoformat(),
        "places": [
            {"key": place.key, "bed": place.bed.pk, "mark": place.mark, "name": place.name}
            for place in places.values()
        ],
    }


def _stay_data(facts: GardenFacts, stay: PlannedStay, run: PenRun) -> dict[str, Any]:
    pin = pin_of(stay, facts.pins)
    left = ahead(stay, facts.on) or stay
    return {
        "run": run.id,
        "key": place_key(stay.bed_id, stay.offset_mm),
        "first": max(left.first_day, facts.on).isoformat(),
        "days": (stay.end_day - max(left.first_day, facts.on)).days,
        "pin": pin.pk if pin else None,
        "said": f"{run.pen.name}, {span_words(max(left.first_day, facts.on), stay.end_day)}",
    }
