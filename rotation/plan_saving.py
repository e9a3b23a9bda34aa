"""Writing a solved plan into the rows, and what that rests on."""

from dataclasses import asdict, dataclass
from datetime import date, timedelta

from garden.models import Garden
from rotation.changes import sentences
from rotation.engine.problem import CostItems
from rotation.facts import GardenFacts
from rotation.models import Plan, PlannedStay, Stay
from rotation.problems import horizon_of
from rotation.told import doings, ground_fingerprint

PLANS_KEPT = 20
"""Plans kept for each garden, so that a page can say what changed. Our choice."""


@dataclass(frozen=True)
class Solved:
    """A plan that is not saved yet."""

    stays: tuple[PlannedStay, ...]
    cost: float
    lower_bound: float
    items: CostItems
    seconds: float


def stays_of(told: Plan | None) -> list[PlannedStay]:
    """Return the stays of a plan read with them; none of no plan."""
    return list(told.stays.all()) if told else []


def is_newest(told: Plan | None, garden: Garden) -> bool:
    """Whether nobody has planned meanwhile; whoever looks makes the others wait for the transaction's end."""
    Garden.objects.select_for_update().get(pk=garden.pk)
    newest = Plan.objects.filter(garden=garden).values_list("pk", flat=True).first()
    return newest == (told.pk if told else None)


def plan_save(
    *,
    facts: GardenFacts,
    told: Plan | None,
    because: str,
    answer: Solved,
    instead_of: Plan | None = None,
) -> Plan:
    """Save a plan that says what differs from `told`, in place of an early one; call in a transaction."""
    if instead_of is not None:
        Plan.objects.filter(pk=instead_of.pk).delete()
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
        changes=sentences(doings(stays_of(told), facts), doings(answer.stays, facts)),
    )
    for row in answer.stays:
        row.plan = plan
    PlannedStay.objects.bulk_create(answer.stays)
    old = Plan.objects.filter(garden=facts.garden).values_list("pk", flat=True)[PLANS_KEPT:]
    Plan.objects.filter(pk__in=list(old)).delete()
    return plan


def stays_close_finished(*, garden: Garden, on: date) -> None:
    """End the stays of pens whose birds have all been processed."""
    for stay in Stay.objects.of(garden).standing().select_related("batch"):
        if stay.batch.finished_on is not None:
            stay.end_day = max(stay.batch.finished_on, stay.first_day + timedelta(days=1))
            stay.save(update_fields=["end_day"])
