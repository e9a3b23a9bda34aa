"""The rows that a day is told from: a query for each kind, whatever the garden's size."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import DateField, OuterRef, Prefetch, Q, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce

from flocks.models import Batch, BatchPen
from garden.models import Garden, Planting, Spread
from garden.weather_values import Weather
from rotation.batch_log import Line, load_log
from rotation.day_notes import Mark, day_notes
from rotation.models import Plan, PlannedStay, Stay

LATE_DAYS = 7
"""How far back the plan is looked at for a move that was not made [day]. Our choice."""
CROPS_AHEAD_DAYS = 366
"""How far ahead plantings are looked at [day]. Our choice: what is sown later needs no word today."""


@dataclass(frozen=True)
class DayRows:
    """Rows of one garden for one day.

    `planned` is of the newest plan, `told` of the last one made before the day; `marks` are the
    day's, `weather` its own and that of the two days after.
    """

    batches: list[Batch]
    log: list[Line]
    stays: list[Stay]
    planned: list[PlannedStay]
    told: list[PlannedStay]
    plantings: list[Planting]
    marks: list[Mark]
    weather: list[Weather]


def rows_of(garden: Garden, on: date) -> DayRows:
    """Read a garden's day: seven queries with any number of birds, two without any."""
    shares = BatchPen.objects.select_related("pen__design")
    batches = list(
        garden.batches.unfinished()
        .order_by("hatch_on", "pk")
        .prefetch_related(Prefetch("shares", queryset=shares))
    )
    planned = list(_planned(garden, on)) if batches else []
    notes = day_notes(garden, on) if batches else None
    return DayRows(
        batches=batches,
        log=load_log(batches) if batches else [],
        stays=list(_stays(garden, on)) if batches else [],
        planned=[stay for stay in planned if stay.plan_id == stay.newest_plan],
        told=[stay for stay in planned if stay.plan.from_day < on],
        plantings=list(_plantings(garden, on)),
        marks=notes.marks if notes else [],
        weather=notes.weather if notes else [],
    )


def _stays(garden: Garden, on: date) -> QuerySet[Stay]:
    """Return the stays that last, and those that ended or began on the day."""
    return (
        Stay.objects.of(garden)
        .touching(on - timedelta(days=1))
        .begun(on)
        .select_related("pen", "bed", "logged_by")
    )


def _planned(garden: Garden, on: date) -> QuerySet[PlannedStay]:
    """Return what the newest plan, and the last one before today, say of the days about `on`.

    The plan is mended when something is logged and then begins today: only the plan before it knows what
    the grower was told to do yesterday. Each row is told which is the newest.
    """
    plans = Plan.objects.filter(garden=garden).order_by("-pk").values("pk")
    newest, told_before = Subquery(plans[:1]), Subquery(plans.filter(from_day__lt=on)[:1])
    return (
        PlannedStay.objects.filter(Q(plan=newest) | Q(plan=told_before))
        .filter(end_day__gt=on - timedelta(days=LATE_DAYS), first_day__lte=on + timedelta(days=1))
        .annotate(newest_plan=newest, birds_left_on=_birds_left(on))
        .select_related("plan", "pen", "bed")
    )


def _plantings(garden: Garden, on: date) -> QuerySet[Planting]:
    """Return what stands or will, with the days of the last birds and the last raw manure on its bed."""
    return (
        Planting.objects.of(garden)
        .reaching(on)
        .filter(starts_on__lt=on + timedelta(days=CROPS_AHEAD_DAYS), bed__retired_on=None)
        .annotate(birds_left_on=_birds_left(on), raw_on=_raw_manure(on))
        .select_related("bed", "crop")
    )


def _raw_manure(on: date) -> Subquery:
    """Return the last day on which manure that was not composted was spread on a planting's bed."""
    spread = Spread.objects.filter(bed=OuterRef("bed"), on__lte=on, kind=Spread.Kind.MANURE)
    return Subquery(spread.order_by("-on").values("on")[:1])


def _birds_left(on: date) -> Subquery:
    """Return the first day without birds after the newest stay on a bed; tomorrow where they are there."""
    tomorrow = Value(on + timedelta(days=1), output_field=DateField())
    stays = Stay.objects.filter(bed=OuterRef("bed")).annotate(left_on=Coalesce("end_day", tomorrow))
    return Subquery(stays.order_by("-left_on").values("left_on")[:1])
