"""Every garden with birds is looked at once on each of its own days, from its midnight on."""

from collections.abc import Iterator
from datetime import date

from django.db import transaction
from django.db.models import QuerySet

from flocks.models import Batch
from garden.clock import today_in
from garden.models import Garden
from rotation.enqueuing import MORNING, enqueue
from rotation.models import GardenMorning

AT_ONCE = 500
"""Gardens put into the queue in one transaction. Our choice: others write in between."""


def mornings_ask() -> int:
    """Let every garden with birds on whose present day none has looked be looked at; return how many."""
    return sum(_ask(on, garden_ids) for on, garden_ids in _begun())


def _begun() -> Iterator[tuple[date, list[int]]]:
    with_birds = Garden.objects.filter(pk__in=Batch.objects.unfinished().values("garden"))
    for time_zone in with_birds.order_by().values_list("time_zone", flat=True).distinct():
        on = today_in(time_zone)
        while garden_ids := _not_looked_at(with_birds.filter(time_zone=time_zone), on):
            yield on, garden_ids


def _not_looked_at(gardens: QuerySet[Garden], on: date) -> list[int]:
    waiting = gardens.exclude(morning__on=on).order_by("pk")
    return list(waiting.values_list("pk", flat=True)[:AT_ONCE])


@transaction.atomic
def _ask(on: date, garden_ids: list[int]) -> int:
    GardenMorning.objects.bulk_create(
        [GardenMorning(garden_id=garden_id, on=on) for garden_id in garden_ids],
        update_conflicts=True,
        unique_fields=["garden"],
        update_fields=["on"],
    )
    for garden_id in garden_ids:
        enqueue(MORNING, garden_id)
    return len(garden_ids)
