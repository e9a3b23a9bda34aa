"""A what-if worked out: the plan that some changes would make, beside the plan as it is told.

Both are told by the same reckoning, from today on. The changed plan is searched from what is told, so it is
never worse than what is told where that could still be done.
"""

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from datetime import date
from typing import Any

from rotation.change_kinds import Change, read_changes
from rotation.changed_plan import changed_plan
from rotation.changes_tried import apply
from rotation.engine.problem import CostItems
from rotation.facts import GardenFacts
from rotation.models import Plan, PlannedStay, WhatIf
from rotation.plan_saving import stays_of
from rotation.plan_sides import Compared, Side, side_told, with_beds
from rotation.planning import Effort
from rotation.told import ground_fingerprint

EFFORT = Effort(seconds=0.35, rounds=40)
"""For each of the three searches for the changed plan; somebody waits for it. Our choice."""


def changes_of(what_if: WhatIf) -> tuple[Change, ...]:
    """Return the changes of a what-if; they were read strictly when it was made."""
    return read_changes(what_if.changes)


def known_result(what_if: WhatIf, facts: GardenFacts, told: Plan | None) -> Compared | None:
    """Return both plans where the changed one was worked out from things as they stand, else None.

    Raises
    ------
    ChangeError
        When a change can no longer be.
    """
    changed = apply(facts, changes_of(what_if))
    kept = what_if.result
    if not kept or kept["of"] != _mark(facts, told):
        return None
    if len(_stays_of(kept["stays"], changed)) < len(kept["stays"]):
        return None
    return Compared(side_told(facts, told), _side(kept, changed))


def work_out(what_if: WhatIf, facts: GardenFacts, told: Plan | None) -> Compared:
    """Search the changed plan, keep it with the what-if, and return both; takes three times `EFFORT`.

    Raises
    ------
    ChangeError
        When a change can no longer be.
    """
    changed = apply(facts, changes_of(what_if))
    answer = changed_plan(facts, changed, stays_of(told), EFFORT)
    result = {
        "of": _mark(facts, told),
        "stays": [_row_of(stay) for stay in answer.stays],
        "items": asdict(answer.items),
        "cost": answer.cost,
        "lower_bound": answer.lower_bound,
    }
    WhatIf.objects.filter(pk=what_if.pk).update(result=result)
    what_if.result = result
    return Compared(side_told(facts, told), _side(result, changed))


def planned_stays(
    what_if: WhatIf, facts: GardenFacts, new_beds: Mapping[int, int]
) -> list[PlannedStay]:
    """Return the plan that was worked out; `new_beds` tells what became of beds only thought of."""
    rows = what_if.result.get("stays", [])
    moved = [row | {"bed": new_beds.get(row["bed"], row["bed"])} for row in rows]
    return _stays_of([row for row in moved if row["bed"] in {None, *facts.beds}], facts)


def _mark(facts: GardenFacts, told: Plan | None) -> list[str | int]:
    """Return what tells one state of things from another: a plan is worked out anew on another day."""
    return [facts.on.isoformat(), ground_fingerprint(facts), told.pk if told else 0]


def _side(result: Mapping[str, Any], facts: GardenFacts) -> Side:
    return Side(
        facts=facts,
        stays=tuple(with_beds(_stays_of(result["stays"], facts), facts)),
        items=CostItems(**result["items"]),
        cost=result["cost"],
        lower_bound=result["lower_bound"],
    )


def _row_of(stay: PlannedStay) -> dict[str, Any]:
    return {
        "batch": stay.batch_id,
        "pen": stay.pen_id,
        "bed": stay.bed_id,
        "offset_mm": stay.offset_mm,
        "stretch_mm": stay.stretch_mm,
        "first_day": stay.first_day.isoformat(),
        "end_day": stay.end_day.isoformat(),
        "nitrogen_g": stay.nitrogen_g,
        "because": stay.because,
    }


def _stays_of(rows: Iterable[Mapping[str, Any]], facts: GardenFacts) -> list[PlannedStay]:
    """Return kept rows as unsaved stays, without those of birds that are gone."""
    runs = {(run.batch.pk, run.pen.pk): run for run in facts.runs}
    return [
        PlannedStay(
            batch=runs[row["batch"], row["pen"]].batch,
            pen=runs[row["batch"], row["pen"]].pen,
            bed_id=row["bed"],
            offset_mm=row["offset_mm"],
            stretch_mm=row["stretch_mm"],
            first_day=date.fromisoformat(row["first_day"]),
            end_day=date.fromisoformat(row["end_day"]),
            nitrogen_g=row["nitrogen_g"],
            because=row["because"],
        )
        for row in rows
        if (row["batch"], row["pen"]) in runs
    ]
