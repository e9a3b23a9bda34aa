"""Gardens so small that the right plan can be said by hand, and a plan in words to compare."""

from datetime import date, timedelta

from flocks.models import Batch
from garden.models import Bed, Garden
from pens.models import Pen
from rotation.ground import stretches
from rotation.models import PinnedStay, Plan
from rotation.planning import Effort
from tests.conftest import TODAY
from tests.factories import BatchFactory, BatchPenFactory, BedFactory, PenFactory

ROUNDS = Effort(rounds=20)


def day(offset: int) -> date:
    """Return a day counted from today."""
    return TODAY + timedelta(days=offset)


def bed(garden: Garden, name: str, **fields: float | str) -> Bed:
    """Return a bed with one place for the usual pen."""
    return BedFactory(garden=garden, name=name, **({"length_mm": 1250, "width_mm": 1200} | fields))


def flock(
    garden: Garden,
    *,
    days: int = 6,
    birds: int = 2,
    pens: int = 1,
    comes_out: date = TODAY,
    **pen: float | str,
) -> Batch:
    """Return a batch that is in the garden from a day on, in as many pens."""
    batch = BatchFactory(
        garden=garden,
        hatch_on=comes_out - timedelta(days=28),
        leaves_brooder_on=comes_out,
        processing_on=comes_out + timedelta(days=days),
        chicks=birds * pens,
    )
    for _ in range(pens):
        BatchPenFactory(batch=batch, pen=PenFactory(garden=garden, **pen), birds=birds)
    return batch


def pin(batch: Batch, where: Bed, first: date, end: date, pen: Pen | None = None) -> PinnedStay:
    """Fix a pen to the first of its places on a bed."""
    pen = pen or batch.pens.first()
    place = stretches(where, pen, batch.garden)[0]
    return PinnedStay.objects.create(
        batch=batch,
        pen=pen,
        bed=where,
        offset_mm=place.offset_mm,
        stretch_mm=place.length_mm,
        first_day=first,
        end_day=end,
    )


def told(plan: Plan, since: date = TODAY) -> list[tuple[str, int, int]]:
    """Return a plan as (bed's name, first day, end day), days counted from one day."""
    return [
        (
            stay.bed.name if stay.bed else "off",
            (stay.first_day - since).days,
            (stay.end_day - since).days,
        )
        for stay in plan.stays.order_by("pen_id", "first_day")
    ]
