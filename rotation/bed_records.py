"""Beds as their pages need them, read from the rows once: visits, crops, nitrogen, last birds."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from django.db.models import QuerySet

from garden.bed_soil import UNKNOWN_SOIL, BedSoil
from garden.harvest_interval import PlantingDates
from garden.models import Bed, Garden
from garden.nutrients import YEAR_DAYS, Dropping
from garden.words import gettext as _
from rotation.bed_room import BedRoom, bed_room
from rotation.bed_state import BedState, bed_state
from rotation.facts import bed_facts, beds_in_use
from rotation.ground import BedFacts, place_number, stretches
from rotation.ground_days import BedGround, Closed, Visit
from rotation.models import Closure, PinnedStay, Plan, PlannedStay, Stay
from rotation.spans import pin_of
from rotation.stays_dropped import droppings_by_bed


@dataclass(frozen=True)
class BedRecord:
    """A bed on a day, with what happened on it in the last year and what is planned.

    `droppings` is empty where the nitrogen was not asked for.
    """

    bed: Bed
    garden: Garden
    on: date
    plantings: tuple[PlantingDates, ...]
    stays: tuple[Stay, ...]
    planned: tuple[PlannedStay, ...]
    droppings: tuple[Dropping, ...] = ()
    closures: tuple[Closed, ...] = ()
    pins: tuple[PinnedStay, ...] = ()
    soil: BedSoil = UNKNOWN_SOIL

    @cached_property
    def ground(self) -> BedGround:
        """The bed as the drawings need it."""
        visits = (
            visit(stay, self.on, place=place_mark(stay, self.bed, self.garden), pins=self.pins)
            for stay in (*self.stays, *self.planned)
        )
        return BedGround(
            self.bed.pk, self.bed.name, tuple(visits), self.plantings, closures=self.closures
        )

    @property
    def fouled(self) -> tuple[Visit, ...]:
        """Whatever a harvest must wait for: the visits, and raw manure that was spread by hand."""
        raw_on = getattr(self.bed, "raw_on", None)
        if raw_on is None:
            return self.ground.visits
        # Counted from its own day, as the rule counts from mixing in.
        end_day = raw_on if self.garden.mixed_in else raw_on + timedelta(days=1)
        return *self.ground.visits, Visit(
            _("Raw manure"), end_day - timedelta(days=1), end_day, is_manure=True
        )

    @property
    def closures_ahead(self) -> list[Closure]:
        """The rows of days not over yet on which the bed is not to be had."""
        return [row for row in self.bed.closures.all() if row.end_day > self.on]

    @cached_property
    def state(self) -> BedState:
        """What the bed is doing, in words."""
        return bed_state(
            self.ground, self.on, rule=self.garden.bird_day_rule(), rest_days=self.garden.rest_days
        )

    @cached_property
    def room(self) -> BedRoom:
        """Its account of nitrogen."""
        return bed_room(
            self.bed.area_m2,
            self.plantings,
            self.droppings,
            on=self.on,
            policy=self.garden.nitrogen_rules(),
            rule=self.garden.bird_day_rule(),
            soil_supply_kg_ha=self.garden.soil_nitrogen_kg_ha,
            planned_g=sum(stay.nitrogen_ahead_g(self.on) for stay in self.planned),
            soil=self.soil,
        )

    @cached_property
    def last_bird_day(self) -> date | None:
        """The last day with birds on the bed, today while they stand there; None where unknown."""
        days = (
            self.on if stay.end_day is None else stay.end_day - timedelta(days=1)
            for stay in self.stays
        )
        return max(days, default=None)


@dataclass(frozen=True)
class GardenRecords:
    """All beds in use, with every known stay and every planned one, off the beds too."""

    garden: Garden
    on: date
    beds: tuple[BedRecord, ...]
    stays: tuple[Stay, ...]
    planned: tuple[PlannedStay, ...]

    @property
    def standing(self) -> list[Stay]:
        """The stays that have not ended."""
        return [stay for stay in self.stays if stay.end_day is None]


def garden_records(garden: Garden, on: date) -> GardenRecords:
    """Return every bed in use with its nitrogen: eight queries, however many beds and birds."""
    beds = beds_in_use(garden, on)
    stays = _put_together(known_stays(garden, on), garden, beds)
    return records_of(
        garden,
        on,
        beds=beds,
        stays=stays,
        planned=tuple(planned_stays(garden, on)),
        droppings=_droppings(stays, garden, on),
    )


def ground_records(garden: Garden, on: date) -> GardenRecords:
    """Return every bed in use with its crops and birds, but no nitrogen: five queries."""
    return records_of(
        garden,
        on,
        beds=beds_in_use(garden, on),
        stays=tuple(known_stays(garden, on)),
        planned=tuple(planned_stays(garden, on)),
    )


def bed_record(garden: Garden, bed_id: int, on: date) -> BedRecord | None:
    """Return one bed of the garden, also one given up, or None where it has no such bed.

    Seven queries.
    """
    stays = tuple(known_stays(garden, on).filter(bed=bed_id))
    records = records_of(
        garden,
        on,
        beds=bed_facts(garden.beds.filter(pk=bed_id), garden, on),
        stays=stays,
        planned=tuple(planned_stays(garden, on)),
        droppings=_droppings(stays, garden, on),
    )
    return next(iter(records.beds), None)


def records_of(
    garden: Garden,
    on: date,
    *,
    beds: Iterable[BedFacts],
    stays: tuple[Stay, ...],
    planned: tuple[PlannedStay, ...],
    droppings: dict[int, list[Dropping]] | None = None,
    pins: tuple[PinnedStay, ...] = (),
) -> GardenRecords:
    """Sort rows that were read already to their beds; `pins` mark the planned stays that are fixed."""
    stays_on, planned_on, dropped_on = _by_bed(stays), _by_bed(planned), droppings or {}
    records = (
        BedRecord(
            bed=known.bed,
            garden=garden,
            on=on,
            plantings=known.plantings,
            stays=tuple(stays_on[known.bed.pk]),
            planned=tuple(planned_on[known.bed.pk]),
            droppings=tuple(dropped_on.get(known.bed.pk, ())),
            closures=known.closures,
            pins=pins,
            soil=known.soil,
        )
        for known in beds
    )
    return GardenRecords(garden, on, tuple(records), stays, planned)


def history_days(garden: Garden) -> int:
    """Return how far back stays are read: a year for the nitrogen, or the longest wait. [days]"""
    return max(YEAR_DAYS, garden.longest_wait_days + 1)


def known_stays(garden: Garden, on: date) -> QuerySet[Stay]:
    """Return the stays that the pages of a day look back on, with pen, batch and bed."""
    since = on - timedelta(days=history_days(garden))
    return Stay.objects.of(garden).touching(since).begun(on).select_related("pen", "batch", "bed")


def _put_together(
    stays: QuerySet[Stay], garden: Garden, beds: Iterable[BedFacts]
) -> tuple[Stay, ...]:
    """Return stays that share one row for each bed and batch, where a join makes new ones for every stay."""
    rows = tuple(stays.select_related(None).select_related("pen"))
    known_beds = {known.bed.pk: known.bed for known in beds}
    batches = garden.batches.in_bulk({stay.batch_id for stay in rows})
    for stay in rows:
        stay.batch = batches[stay.batch_id]
        if stay.bed_id in known_beds:
            stay.bed = known_beds[stay.bed_id]
    return rows


def planned_stays(garden: Garden, on: date) -> QuerySet[PlannedStay]:
    """Return what the newest plan says from a day on, off-bed days too, in one query."""
    newest = Plan.objects.filter(garden=garden).order_by("-pk").values("pk")[:1]
    rows = PlannedStay.objects.filter(plan=newest, end_day__gt=on)
    return rows.select_related("pen", "batch", "bed")


def visit(
    stay: Stay | PlannedStay, on: date, *, place: str = "", pins: Iterable[PinnedStay] = ()
) -> Visit:
    """Return a row as the drawings need it."""
    # A pen that still stands here stands here today; tomorrow is the plan's to say.
    still = max(on, stay.first_day) + timedelta(days=1)
    is_planned = isinstance(stay, PlannedStay)
    return Visit(
        pen=stay.pen.name,
        first_day=stay.first_day,
        end_day=stay.end_day or still,
        offset_mm=stay.offset_mm,
        stretch_mm=stay.stretch_mm,
        planned=is_planned,
        place=place,
        id=stay.pk if is_planned else None,
        is_locked=is_planned and pin_of(stay, pins) is not None,
    )


def place_mark(stay: Stay | PlannedStay, bed: Bed, garden: Garden) -> str:
    """Return ``place 2/3``, or nothing where the pen finds one place only or stands between two."""
    places = stretches(bed, stay.pen, garden)
    number = place_number(places, stay.offset_mm) if len(places) > 1 else None
    return _("place {number}/{of}").format(number=number, of=len(places)) if number else ""


def _by_bed(rows: Iterable[Stay | PlannedStay]) -> dict[int | None, list[Stay | PlannedStay]]:
    by_bed = defaultdict(list)
    for row in rows:
        by_bed[row.bed_id].append(row)
    return by_bed


def _droppings(stays: Iterable[Stay], garden: Garden, on: date) -> dict[int, list[Dropping]]:
    """Return what was dropped as carefully as the garden plans: what may have been dropped takes room."""
    on_beds = [stay for stay in stays if stay.bed_id and stay.first_day < on]
    return droppings_by_bed(on_beds, garden, on, garden.nitrogen_quantile)
