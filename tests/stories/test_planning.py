"""The seam: gardens small enough that the right plan can be said by hand."""

from datetime import date, timedelta

import pytest

from flocks.models import Batch
from garden.models import Garden
from rotation import planning
from rotation.engine.explain import off_bed_spans
from rotation.engine.problem import Problem, Solution
from rotation.engine.rules import cost_of
from rotation.facts import facts_of
from rotation.models import Plan, PlannedStay, Stay
from rotation.planning import Effort, plan_again, plan_faults, plan_mend
from rotation.problems import size_problem, sizes_of
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    GardenFactory,
    PenFactory,
    PlantingFactory,
    StayFactory,
)

TODAY = date(2026, 6, 12)
ROUNDS = Effort(rounds=20)
pytestmark = pytest.mark.django_db


def day(offset: int) -> date:
    """Return a day counted from today."""
    return TODAY + timedelta(days=offset)


def flock(garden: Garden, *, pens: int = 1, birds: int = 2, days: int = 4, **pen: float) -> Batch:
    """Return a batch that is in the garden from today for some days, in as many pens."""
    batch = BatchFactory(
        garden=garden,
        hatch_on=day(-28),
        leaves_brooder_on=TODAY,
        processing_on=day(days),
        chicks=birds * pens,
    )
    for _ in range(pens):
        BatchPenFactory(batch=batch, pen=PenFactory(garden=garden, **pen), birds=birds)
    return batch


def bed(garden: Garden, name: str, **fields: float) -> object:
    """Return a bed with one place for the usual pen."""
    return BedFactory(garden=garden, name=name, **({"length_mm": 1250, "width_mm": 1200} | fields))


def told(plan: Plan) -> list[tuple[str, str, int, int]]:
    """Return a plan as (pen's place, first and end day counted from today)."""
    return [
        (
            stay.bed.name if stay.bed else "off",
            (stay.first_day - TODAY).days,
            (stay.end_day - TODAY).days,
        )
        for stay in plan.stays.order_by("pen_id", "first_day")
    ]


def test_two_young_birds_stay_on_the_only_bed_as_long_as_its_nitrogen_lasts(garden):
    # 1.25 x 1.2 m at 170 kg/ha: place 1.17 x 1.2 m = 1.40 m2, so 23.9 g; two birds of four weeks drop under
    # 5 g a day together, so four days fit and one stay without an off-bed day is best.
    only = bed(garden, "Only")
    flock(garden)
    assert told(plan_again(garden=garden, on=TODAY, effort=ROUNDS)) == [(only.name, 0, 4)]


def test_many_big_birds_fill_a_bed_in_a_day_and_the_rest_is_off_bed(garden):
    bed(garden, "Only")
    flock(garden, birds=9)
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    off = [stay for stay in plan.stays.all() if stay.bed is None]
    assert sum((stay.end_day - stay.first_day).days for stay in off) == 3
    assert {reason for stay in off for reason in stay.because} <= {"nitrogen", "rest"}


def test_a_standing_crop_and_the_interval_ahead_of_one_shut_a_bed_and_are_named(garden):
    planted, sown_later = bed(garden, "Planted"), bed(garden, "Sown later")
    crop = CropFactory(garden=garden, contact="touches")
    PlantingFactory(
        bed=planted, crop=crop, starts_on=day(-10), first_harvest_on=day(30), ends_on=day(60)
    )
    # First harvest in 90 days, crop touches soil: birds should have left 30 days ago.
    PlantingFactory(
        bed=sown_later, crop=crop, starts_on=day(20), first_harvest_on=day(90), ends_on=day(99)
    )
    flock(garden)
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    assert told(plan) == [("off", 0, 4)]
    assert plan.stays.get().because == {"crop": 2}


def test_birds_leave_early_enough_that_mixing_in_on_the_last_day_keeps_the_interval(garden):
    here = bed(garden, "Here")
    crop = CropFactory(garden=garden, contact="touches")
    # 120 days before the harvest on day 122 is day 2: droppings mixed in on day 2 are just in time.
    PlantingFactory(
        bed=here, crop=crop, starts_on=day(60), first_harvest_on=day(122), ends_on=day(140)
    )
    flock(garden)
    assert told(plan_again(garden=garden, on=TODAY, effort=ROUNDS)) == [
        ("Here", 0, 2),
        ("off", 2, 4),
    ]
    garden.mixed_in = False
    garden.save()
    # Left on top, the interval counts from the last day with birds, which may then be day 2 itself.
    assert told(plan_again(garden=garden, on=TODAY, effort=ROUNDS)) == [
        ("Here", 0, 3),
        ("off", 3, 4),
    ]


def test_rest_after_the_last_flock_is_told_as_rest_and_not_as_a_crop(garden):
    here = bed(garden, "Here")
    batch = flock(garden, days=6)
    old = BatchFactory(garden=garden, finished_on=day(-2), hatch_on=day(-60))
    StayFactory(
        pen=batch.pens.get(), batch=old, bed=here, offset_mm=40, stretch_mm=1170,
        first_day=day(-29), end_day=day(-27),
    )  # fmt: skip
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    # Thirty days of rest end on day 3.
    assert told(plan) == [("off", 0, 3), ("Here", 3, 6)]
    assert plan.stays.filter(bed=None).get().because == {"rest": 1}


def test_a_pen_goes_on_standing_for_nothing_and_not_beyond_the_longest_stay(garden):
    garden.annual_limit_kg_ha = 500
    garden.save()
    here, there = bed(garden, "Here"), bed(garden, "There", x_m=30)
    PlantingFactory(bed=there, starts_on=day(-90), first_harvest_on=day(-20), ends_on=day(2))
    batch = flock(garden, days=4)
    StayFactory(
        pen=batch.pens.get(),
        batch=batch,
        bed=here,
        offset_mm=40,
        stretch_mm=1170,
        first_day=day(-5),
    )
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    assert told(plan) == [("Here", 0, 2), ("There", 2, 4)]  # seven days is the longest stay
    assert plan.cost_items["moves"] == 10


def test_two_sizes_of_pen_never_share_ground(garden):
    long_bed = bed(garden, "Long", length_mm=3700)
    batch = flock(garden, days=6)
    short = batch.pens.get()
    long_pen = PenFactory(garden=garden, length_mm=3500, width_mm=1170, floor_m2=3.7)
    BatchPenFactory(batch=batch, pen=long_pen, birds=2)
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    days_of = {short: set(), long_pen: set()}
    for stay in plan.stays.filter(bed=long_bed):
        days_of[stay.pen] |= {
            stay.first_day + timedelta(days=d) for d in range((stay.end_day - stay.first_day).days)
        }
    assert days_of[long_pen]
    assert not days_of[long_pen] & days_of[short]
    # The rest of thirty days keeps the short pen off for as long as the long one has stood.
    assert not days_of[short]


def test_a_plan_that_still_holds_is_kept_and_one_that_does_not_is_mended(garden):
    here, there = bed(garden, "Here"), bed(garden, "There", x_m=3)
    batch = flock(garden, birds=1, days=6)
    first = plan_mend(garden=garden, on=TODAY, because="first plan")
    assert isinstance(first, Plan)
    assert plan_mend(garden=garden, on=TODAY, because="looked again") is None
    stay = first.stays.order_by("first_day").first()
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=stay.bed, offset_mm=stay.offset_mm,
        stretch_mm=stay.stretch_mm, first_day=TODAY,
    )  # fmt: skip
    assert plan_mend(garden=garden, on=TODAY, because="done as told") is None
    crop = CropFactory(garden=garden)
    PlantingFactory(
        bed=stay.bed, crop=crop, starts_on=day(1), first_harvest_on=day(180), ends_on=day(190)
    )
    second = plan_mend(garden=garden, on=TODAY, because="a crop was put in")
    assert second.pk != first.pk
    other = there if stay.bed == here else here
    assert (other.name, 1, 6) in told(second)
    assert second.changes == [
        f"{batch.pens.get().name}, Sat 13 June to Wed 17 June: {other.name} instead of {stay.bed.name}"
    ]


def test_planning_again_in_no_time_never_trades_a_good_plan_for_a_worse_one(garden, monkeypatch):
    bed(garden, "Here")
    flock(garden)
    good = plan_again(garden=garden, on=TODAY, effort=ROUNDS)

    def gives_up(problem: Problem, **_: object) -> Solution:
        off = off_bed_spans(problem, ())
        items = cost_of(problem, (), off)
        return Solution(items, 0.0, 0.0, 0, (), off)

    monkeypatch.setattr(planning, "solve_going_on", gives_up)
    again = plan_again(garden=garden, on=TODAY)
    assert told(again) == told(good)
    assert again.cost == good.cost


def test_a_plan_shows_its_faults_in_names_once_a_crop_stands_in_its_way(garden):
    here = bed(garden, "Here")
    flock(garden)
    plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    assert plan_faults(garden, TODAY) == []
    PlantingFactory(bed=here, starts_on=day(1), first_harvest_on=day(50), ends_on=day(70))
    faults = plan_faults(garden, TODAY)
    assert faults
    assert all("Here" in fault and "bed-" not in fault for fault in faults), faults


def test_the_plan_reaches_over_new_year_and_a_leap_day(garden, settings):
    start = date(2027, 12, 20)
    bed(garden, "Turf", kind="turf", length_mm=30000, width_mm=1500)
    batch = BatchFactory(
        garden=garden, hatch_on=date(2028, 1, 10), leaves_brooder_on=date(2028, 2, 10),
        processing_on=date(2028, 3, 5), chicks=3,
    )  # fmt: skip
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden))
    plan = plan_again(garden=garden, on=start, effort=ROUNDS)
    stays = list(plan.stays.order_by("first_day"))
    assert stays[0].first_day == date(2028, 2, 10)
    assert stays[-1].end_day == date(2028, 3, 5)
    assert any(stay.first_day <= date(2028, 2, 29) < stay.end_day for stay in stays)
    assert sum((stay.end_day - stay.first_day).days for stay in stays) == 24


def test_stays_of_a_finished_batch_end_and_other_gardens_are_left_alone(garden):
    batch = flock(garden)
    stay = StayFactory(pen=batch.pens.get(), batch=batch, first_day=day(-3))
    elsewhere = StayFactory()
    batch.finished_on = TODAY
    batch.save()
    plan_mend(garden=garden, on=TODAY, because="all processed")
    assert Stay.objects.get(pk=stay.pk).end_day == TODAY
    assert Stay.objects.get(pk=elsewhere.pk).end_day is None
    assert not PlannedStay.objects.filter(plan__garden=elsewhere.pen.garden).exists()


def test_a_garden_without_beds_or_with_ten_thousand_birds_still_gets_an_answer(garden):
    flock(garden, birds=10_000)
    assert told(plan_again(garden=garden, on=TODAY, effort=ROUNDS)) == [("off", 0, 4)]
    assert told(plan_again(garden=GardenFactory(), on=TODAY, effort=ROUNDS)) == []


def test_reading_the_facts_takes_no_more_queries_for_a_bigger_garden(
    garden, django_assert_max_num_queries
):
    for number in range(12):
        PlantingFactory(bed=bed(garden, f"Bed {number}"))
    batch = flock(garden, pens=3)
    for pen in batch.pens.all():
        StayFactory(pen=pen, batch=batch, bed=garden.beds.first(), first_day=day(-2))
    # Stays; batches and their shares, pens, weighings, feed, losses, processings; beds, plantings, crops.
    with django_assert_max_num_queries(11):
        facts = facts_of(garden, TODAY)
        [runs] = sizes_of(facts)
        size_problem(facts, runs, decided=[], announced=[])
