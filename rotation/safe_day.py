"""When a planting may be picked: what this floor answers to the forms of harvests."""

from datetime import date

from garden.harvest_wait import tells_safe_day
from garden.models import Garden, Planting
from rotation.bed_records import bed_record
from rotation.harvest_answers import HarvestAnswer, harvest_answers


def answer_for(garden: Garden, planting: Planting) -> HarvestAnswer | None:
    """Return today's answer for a planting, also for one that is over."""
    today = garden.today()
    record = bed_record(garden, planting.bed_id, today)
    answers = harvest_answers(
        record.bed.plantings.all(), record.fouled, garden, today, on=planting.starts_on
    )
    return next((answer for answer in answers if answer.planting.pk == planting.pk), None)


@tells_safe_day
def after_birds(garden: Garden, planting: Planting) -> date | None:
    """Return the day on which the wait after birds and raw manure is over."""
    answer = answer_for(garden, planting)
    return answer and answer.safe_from
