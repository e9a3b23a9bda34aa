"""What the birds of some stays dropped, read from the rows: their batches once, and each stay's part by bed."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from django.db.models import prefetch_related_objects

from flocks.forecasting import BatchForecast
from flocks.models import Batch
from garden.models import Garden
from garden.nutrients import Dropping
from rotation.batch_log import load_log
from rotation.dropped import pen_droppings
from rotation.kept_forecasts import forecasts_of
from rotation.models import PlannedStay, Stay


def batches_of(
    stays: Iterable[Stay | PlannedStay], garden: Garden, on: date
) -> tuple[dict[int, Batch], Mapping[int, BatchForecast]]:
    """Return the batches of stays with their pens and records, and their forecasts, by id; two queries."""
    batches = {stay.batch_id: stay.batch for stay in stays}
    rows = list(batches.values())
    for batch in rows:
        batch.garden = garden  # spares a query for each batch
    prefetch_related_objects(rows, "shares")
    load_log(rows)
    return batches, forecasts_of(rows, on)


def droppings_by_bed(
    stays: Iterable[Stay], garden: Garden, on: date, quantile: float
) -> dict[int, list[Dropping]]:
    """Return what each stay on a bed has left there up to a day, counted on its last day; by the bed's id.

    Parameters
    ----------
    stays : iterable of Stay
        On beds, begun before the day, with their batches.
    quantile : float
        The share of flocks that drop no more.
    """
    stays = list(stays)
    batches, forecasts = batches_of(stays, garden, on)
    pens = {
        (batch_id, pen_id): pen_droppings(
            batches[batch_id], pen_id, forecasts[batch_id], on, quantile
        )
        for batch_id, pen_id in {(stay.batch_id, stay.pen_id) for stay in stays}
    }
    by_bed = defaultdict(list)
    for stay in stays:
        end_day = min(stay.end_day or on, on)
        dropped_g = pens[stay.batch_id, stay.pen_id].between(stay.first_day, end_day)
        by_bed[stay.bed_id].append(Dropping(end_day - timedelta(days=1), dropped_g))
    return by_bed
