"""Droppings that are lifted for compost: from the standing ground on off-bed days, and from a bed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Max

from flocks.excretion_methods import CARBON_IN_DROPPINGS, LITRES_PER_SOLIDS_KG, excretion_of
from flocks.forecasting import diet_of
from garden.models import Bed, Garden, HeapInput
from garden.npk import NOTHING, Npk
from rotation.dropped import stay_dropped
from rotation.models import Stay
from rotation.stays_dropped import batches_of

LONGEST_BACK_DAYS = 120
"""How far back droppings are offered for a heap [days]: older ones have long been lifted. Our choice."""


@dataclass(frozen=True)
class Lifted:
    """Droppings of some days together: what they held when they were dropped."""

    pen_days: int
    last_day: date | None
    nutrients: Npk
    dry_matter_g: float

    @property
    def carbon_g(self) -> float:
        """Carbon in them [g]."""
        return self.dry_matter_g * CARBON_IN_DROPPINGS.value

    @property
    def mass_kg(self) -> float:
        """Weight as dropped, a litre taken to weigh a kilogram [kg]."""
        return self.dry_matter_g / 1000 * LITRES_PER_SOLIDS_KG.value


def off_bed_droppings(garden: Garden, on: date) -> Lifted:
    """Return what was dropped off the beds since such droppings last went on a heap, up to the eve of `on`."""
    put_on = HeapInput.objects.of(garden).aggregate(until=Max("days_until"))["until"]
    since = max(filter(None, [put_on, on - timedelta(days=LONGEST_BACK_DAYS)]))
    stays = Stay.objects.of(garden).filter(bed=None)
    stays = stays.touching(since).begun(on).select_related("pen", "batch")
    return _dropped(stays, garden, since, on)


def bed_droppings(bed: Bed, garden: Garden, on: date) -> Lifted:
    """Return what lies on a bed on a day since something was last lifted from it."""
    lifted = bed.lifted.filter(on__lte=on).aggregate(last=Max("on"))["last"]
    since = max(filter(None, [lifted, on - timedelta(days=LONGEST_BACK_DAYS)]))
    stays = Stay.objects.of(garden).filter(bed=bed)
    stays = stays.touching(since).begun(on).select_related("pen", "batch")
    return _dropped(stays, garden, since, on)


def _dropped(stays: Iterable[Stay], garden: Garden, since: date, on: date) -> Lifted:
    stays = list(stays)
    batches, forecasts = batches_of(stays, garden, on)
    nutrients, dry_matter_g, pen_days, last_day = NOTHING, 0.0, 0, None
    for stay in stays:
        batch = batches[stay.batch_id]
        forecast = forecasts[batch.pk]
        excretion = excretion_of(forecast, diet_of(batch.strain))
        first_day, end_day = max(stay.first_day, since), min(stay.end_day or on, on)
        dropped = stay_dropped(batch, stay.pen_id, forecast, excretion, first_day, end_day)
        if dropped is None:
            continue
        nutrients += dropped.mass.likely
        pen_days += len(dropped.birds)
        last_day = max(filter(None, [last_day, dropped.last_day]))
        age = batch.age_days(first_day)
        dry_matter_g += sum(
            birds * excretion.dry_matter_on(age + number)
            for number, birds in enumerate(dropped.birds)
        )
    return Lifted(pen_days, last_day, nutrients, dry_matter_g)
