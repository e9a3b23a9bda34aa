"""Small gardens whose days off the beds can be explained by hand."""

from flocks.models import Batch
from garden.models import Garden
from rotation.models import Plan, PlannedStay
from rotation.planning import plan_again
from tests.conftest import TODAY
from tests.stories import small_plans
from tests.stories.small_plans import ROUNDS, day


def flock(
    garden: Garden,
    *,
    name: str = "Pen A",
    birds: int = 9,
    days: int = 4,
    first: int = 0,
    **pen: float,
) -> Batch:
    """Return a batch in one pen; nine birds of four weeks drop about 20 g a day, nearly a small bed's room."""
    return small_plans.flock(garden, birds=birds, days=days, comes_out=day(first), name=name, **pen)


def planned(garden: Garden) -> Plan:
    """Plan the garden with work enough for the best plan."""
    return plan_again(garden=garden, on=TODAY, effort=ROUNDS)


def off_row(plan: Plan, pen: str = "Pen A") -> PlannedStay:
    """Return a pen's first days off the beds."""
    return plan.stays.filter(bed=None, pen__name=pen).order_by("first_day")[0]
