"""The demo garden: a made-up shared back lot, told relative to today so that every page has something to show.

Beds, crops, birds and weights are invented; what follows from them is not. Growth comes from the growth engine
with a seeded scatter, and past moves are what the planner says on the day the birds left the brooder.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import cycle
from random import Random
from typing import Any

from django.db import transaction

from flocks.forecasting import BatchForecast, draft_forecast
from flocks.headcount import birds_alive
from flocks.models import Batch, BatchPen, FeedRecord, Loss, Note, Processing, Weighing
from flocks.sharing import shared_out
from garden.actions import garden_create
from garden.models import Bed, Crop, Garden, Planting
from pens.demo_designs import demo_designs_make
from pens.fit import floor_area_m2
from pens.models import Pen
from rotation.demo_books import demo_books
from rotation.demo_feed import feed_store_make
from rotation.demo_ground import demo_ground
from rotation.demo_weather import PLACE, demo_weather_make
from rotation.models import Stay
from rotation.planning import Effort, plan_again

SEED = 1926
EFFORT = Effort(rounds=120, seed=SEED)
"""Work, not time, ends the search, so that the demo is the same on every machine."""

# name, kind, length mm, width mm, height mm, x m, y m, lies across, day its bird gap opens (None: no crops)
BEDS = (
    ("Bed 1", "raised", 2400, 1200, 300, 1.0, 1.2, False, -14),
    ("Bed 2", "raised", 2400, 1200, 300, 3.0, 1.2, False, -10),
    ("Bed 3", "raised", 2400, 1200, 300, 5.0, 1.2, False, 44),
    ("Bed 4", "raised", 3700, 1200, 300, 1.0, 4.6, False, -12),
    ("Bed 5", "raised", 3700, 1200, 300, 3.0, 4.6, False, -4),
    ("Bed 6", "raised", 3700, 1200, 300, 5.0, 4.6, False, 14),
    ("Bed 7", "raised", 3700, 1200, 300, 7.0, 4.6, False, 24),
    ("Bed 8", "raised", 1300, 1200, 450, 7.0, 0.8, False, 12),
    ("Bed 9", "raised", 1300, 1200, 450, 7.0, 2.7, False, 2),
    ("Bed 10", "ground", 1300, 1200, 0, 1.0, 9.2, False, 28),
    ("East grass", "turf", 11000, 1250, 0, 9.2, 0.8, False, None),
    ("South grass", "turf", 11000, 1250, 0, 1.0, 12.4, True, None),
)
PENS = (("Short pen", 1170, 1170), ("Long pen", 3500, 1170))
BIRDS_DESIGNED_FOR = 8
GRASS_LIMIT_KG_HA = 250.0
"""What these growers let their cut grass take in a year; beds go by their next crop's need."""
FROSTS = ("04-20", "10-30")
# Days after the gap opens: planted, first harvest, clear again. The first crop is slow, so that the birds'
# last day is 120 days before its harvest even where droppings are mixed in the day after.
YEAR_OF_A_BED = ((34, 151, 174), (177, 224, 240), (243, 272, 282), (285, 340, 356))
SLOW_CROPS = ("Leek", "Cabbage", "Brussels sprouts", "Celery")
COOL_CROPS = ("Spinach", "Lettuce, leaf", "Kale or collards", "Beet", "Radish", "Onion, green")
WARM_CROPS = ("Snap bean, bush", "Lettuce, leaf", "Summer squash", "Chard", "Kohlrabi", "Beet")
WARM_MONTHS = range(5, 9)
TARGET_G = 2300.0
OUT_AT_DAYS, PROCESSED_AT_DAYS = 24, 49
FLOCK_PACE = {"last": 0.97, "now": 0.95}
"""How the made-up flocks grow against the strain's median curve."""
BIRD_CV = 0.10
FEED_GIVEN = 1.05
"""Feed given against feed eaten: what is spilt."""


def demo_make(*, user: Any, on: date) -> Garden:
    """Make the demo garden for `user`, with `on` as its today."""
    with transaction.atomic():
        garden = garden_create(
            user=user, name="Quarry Lane back lot", time_zone="Europe/Dublin", unit_system="metric"
        )
        garden.is_demo = True
        garden.nitrogen_policy = Garden.NitrogenPolicy.CROP_NEED
        garden.annual_limit_kg_ha = GRASS_LIMIT_KG_HA
        garden.last_frost, garden.first_frost = FROSTS
        garden.place = PLACE
        garden.save()
        demo_weather_make(garden)
        pens = _pens(garden)
        _beds_and_crops(garden, on)
        demo_designs_make(garden, pens, BIRDS_DESIGNED_FOR)
        scatter = Random(SEED)  # noqa: S311 - invented weights, no secret
        _last_season(garden, pens, on, user, scatter)
        _in_the_garden(garden, pens, on, user, scatter)
        _in_the_brooder(garden, pens, on, user)
        _batch(garden, "Third batch", on + timedelta(days=26), 5, pens)
        demo_ground(garden, on, user)
        feed_store_make(garden=garden, user=user, on=on)
        demo_books(garden, on, user)
        plan_again(garden=garden, on=on, because="the demo garden was made", effort=EFFORT)
    return garden


def _pens(garden: Garden) -> list[Pen]:
    return [
        Pen.objects.create(
            garden=garden,
            name=name,
            length_mm=length_mm,
            width_mm=width_mm,
            floor_m2=round(floor_area_m2(length_mm, width_mm), 2),
        )
        for name, length_mm, width_mm in PENS
    ]


def _beds_and_crops(garden: Garden, on: date) -> None:
    crops = {crop.name: crop for crop in garden.crops.all()}
    slow, cool, warm = cycle(SLOW_CROPS), cycle(COOL_CROPS), cycle(WARM_CROPS)
    for name, kind, length_mm, width_mm, height_mm, x_m, y_m, across, gap_opens in BEDS:
        bed = Bed.objects.create(
            garden=garden, name=name, kind=kind, length_mm=length_mm, width_mm=width_mm,
            height_mm=height_mm, x_m=x_m, y_m=y_m, lies_across=across,
        )  # fmt: skip
        if gap_opens is None:
            continue
        for year_days in (-365, 0):
            opens = on + timedelta(days=gap_opens + year_days)
            Planting.objects.bulk_create(_plantings(bed, opens, crops, slow, cool, warm))


def _plantings(
    bed: Bed,
    opens: date,
    crops: dict[str, Crop],
    slow: Iterator[str],
    cool: Iterator[str],
    warm: Iterator[str],
) -> Iterator[Planting]:
    for number, (planted, harvest, clear) in enumerate(YEAR_OF_A_BED):
        starts_on = opens + timedelta(days=planted)
        quick = warm if starts_on.month in WARM_MONTHS else cool
        yield Planting(
            bed=bed,
            crop=crops[next(quick if number else slow)],
            starts_on=starts_on,
            first_harvest_on=opens + timedelta(days=harvest),
            ends_on=opens + timedelta(days=clear),
        )


def _batch(garden: Garden, name: str, hatch_on: date, chicks: int, pens: list[Pen]) -> Batch:
    batch = Batch.objects.create(
        garden=garden,
        name=name,
        hatch_on=hatch_on,
        chicks=chicks,
        strain="fast",
        target_g=TARGET_G,
        leaves_brooder_on=hatch_on + timedelta(days=OUT_AT_DAYS),
        processing_on=hatch_on + timedelta(days=PROCESSED_AT_DAYS),
    )
    for pen, birds in zip(pens, shared_out(chicks, [pen.floor_m2 for pen in pens]), strict=True):
        BatchPen.objects.create(batch=batch, pen=pen, birds=birds)
    return batch


def _last_season(garden: Garden, pens: list[Pen], on: date, user: Any, scatter: Random) -> None:
    hatch_on = on - timedelta(days=455)
    batch = _batch(garden, "Last year's batch", hatch_on, 14, pens)
    truth = draft_forecast("fast", hatch_on, target_g=TARGET_G)
    Loss.objects.create(batch=batch, on=hatch_on + timedelta(days=4), count=1, logged_by=user)
    ages = (7, 14, 21, 28, 35, 42, 49)
    _weigh(batch, truth, ages, FLOCK_PACE["last"], user, scatter)
    _feed(batch, truth, batch.processing_on, FLOCK_PACE["last"], user)
    _walk(garden, batch, until=batch.processing_on, user=user)
    live_g = truth.weight_g(batch.processing_on).median * FLOCK_PACE["last"]
    birds = birds_alive(batch, batch.processing_on)
    Processing.objects.create(
        batch=batch, on=batch.processing_on, count=birds, live_mean_g=round(live_g, -1),
        dressed_kg=round(birds * live_g * 0.71 / 1000, 1), logged_by=user,
    )  # fmt: skip
    batch.finished_on = batch.processing_on
    batch.save(update_fields=["finished_on"])


def _in_the_garden(garden: Garden, pens: list[Pen], on: date, user: Any, scatter: Random) -> None:
    hatch_on = on - timedelta(days=33)
    batch = _batch(garden, "First batch", hatch_on, 10, pens)
    truth = draft_forecast("fast", hatch_on, target_g=TARGET_G)
    Loss.objects.create(batch=batch, on=hatch_on + timedelta(days=3), count=1, logged_by=user)
    Loss.objects.create(
        batch=batch, pen=pens[1], on=hatch_on + timedelta(days=27), count=1,
        cause=Loss.Cause.PREDATOR, logged_by=user,
    )  # fmt: skip
    _weigh(batch, truth, (9, 16, 23, 30), FLOCK_PACE["now"], user, scatter)
    _feed(batch, truth, on, FLOCK_PACE["now"], user)
    _walk(garden, batch, until=on, user=user)
    Note.objects.create(
        garden=garden, batch=batch, on=on - timedelta(days=6), logged_by=user,
        text="Fox tracks along the east fence. Weighed the skirt down with two slabs.",
    )  # fmt: skip


def _in_the_brooder(garden: Garden, pens: list[Pen], on: date, user: Any) -> None:
    hatch_on = on - timedelta(days=8)
    batch = _batch(garden, "Second batch", hatch_on, 6, pens)
    truth = draft_forecast("fast", hatch_on, target_g=TARGET_G)
    _feed(batch, truth, on, 1.0, user)


def _weigh(
    batch: Batch,
    truth: BatchForecast,
    ages: tuple[int, ...],
    pace: float,
    user: Any,
    scatter: Random,
) -> None:
    for age in ages:
        on = batch.hatch_on + timedelta(days=age)
        middle_g = truth.weight_g(on).median * pace
        birds_g = [round(middle_g * scatter.gauss(1.0, BIRD_CV) / 5) * 5 for _ in range(6)]
        Weighing.objects.create(
            batch=batch,
            on=on,
            count=len(birds_g),
            mean_g=sum(birds_g) / len(birds_g),
            weights_g=birds_g,
            logged_by=user,
        )


def _feed(batch: Batch, truth: BatchForecast, until: date, pace: float, user: Any) -> None:
    """Log a filling every third day, of what the birds eat up to the next one."""
    day = batch.hatch_on
    while day < until:
        next_day = day + timedelta(days=3)
        eaten_kg = truth.feed_kg(birds_alive(batch, day), day, next_day) * pace
        given_kg = max(0.1, round(eaten_kg * FEED_GIVEN, 1))
        FeedRecord.objects.create(batch=batch, on=day, mass_kg=given_kg, logged_by=user)
        day = next_day


def _walk(garden: Garden, batch: Batch, *, until: date, user: Any) -> None:
    """Let the pens stand where the planner would have put them, from the brooder up to `until`."""
    plan = plan_again(
        garden=garden, on=batch.leaves_brooder_on, because="the birds moved out", effort=EFFORT
    )
    planned = plan.stays.begun(until - timedelta(days=1)).select_related("pen")
    still_there = until < batch.processing_on
    Stay.objects.bulk_create(
        Stay(
            pen=stay.pen,
            batch=batch,
            bed_id=stay.bed_id,
            offset_mm=stay.offset_mm,
            stretch_mm=stay.stretch_mm,
            first_day=stay.first_day,
            end_day=None if still_there and stay.end_day >= until else min(stay.end_day, until),
            logged_by=user,
        )
        for stay in planned
    )
