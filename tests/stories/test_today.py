"""The morning in the garden: what Today says."""

import pytest
from django.urls import reverse

from garden.models import Garden
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    CropFactory,
    FeedRecordFactory,
    LossFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
    StayFactory,
    WeighingFactory,
)
from tests.stories.morning import day, page, small_bed, tap


def test_the_first_card_says_which_pen_goes_where(helper, garden, morning) -> None:
    morning.plans(morning.bed_2)
    text = page(helper, garden)
    assert "Move Pen A to Bed 2</h2>" in text
    assert "Batch 12, day 33. Carry it 4 m." in text
    assert "Why Bed 2: no crop is due there, no birds there before." in text
    assert "about 40 g of nitrogen" in text


def test_a_bed_with_several_places_says_which(helper, garden, morning) -> None:
    long_bed = BedFactory(garden=garden, name="Long bed", length_mm=2400)
    PlannedStayFactory(
        plan=morning.plan,
        pen=morning.pen,
        batch=morning.batch,
        bed=long_bed,
        offset_mm=1210,
        stretch_mm=1170,
    )
    assert "Place 2 of 2 from the north end." in page(helper, garden)


def test_the_reason_tells_the_next_crop_and_the_last_birds(helper, garden, morning) -> None:
    crop = CropFactory(garden=garden, name="kale")
    PlantingFactory(bed=morning.bed_2, crop=crop, starts_on=day(200))
    other = PenFactory(garden=garden)
    StayFactory(
        pen=other,
        batch=BatchFactory(garden=garden, finished_on=day(-40)),
        bed=morning.bed_2,
        first_day=day(-50),
        end_day=day(-45),
    )
    morning.plans(morning.bed_2)
    text = page(helper, garden)
    assert "free until kale goes in on Tue 29 December, no birds since Tue 28 April" in text


def test_the_reason_tells_of_birds_on_another_place_of_the_bed(helper, garden, morning) -> None:
    long_bed = BedFactory(garden=garden, name="Long bed", length_mm=2400)
    StayFactory(pen=PenFactory(garden=garden), bed=long_bed, offset_mm=1210, first_day=day(-1))
    morning.plans(long_bed)
    assert "other birds are on it now" in page(helper, garden)


def test_a_pen_that_stays_says_for_how_long(helper, garden, morning) -> None:
    morning.plans(morning.bed_1, -2, 2)
    text = page(helper, garden)
    assert "<b>Pen A</b> stays on" in text
    assert "2 more days, until Sun 14 June" in text
    assert "No pen moves now" in text


def test_a_move_that_was_not_made_is_due_yesterday(helper, garden, morning) -> None:
    morning.plans(morning.bed_2, -1, 2)
    text = page(helper, garden)
    assert '<span class="late">Due yesterday</span>' in text
    assert "It still stands on Bed 1: each day more leaves about" in text


def test_a_late_move_stays_late_when_the_plan_was_mended_today(helper, garden, morning) -> None:
    morning.plan = PlanFactory(garden=garden, from_day=day(-1))
    morning.plans(morning.bed_2, -1, 1)
    morning.plan = PlanFactory(garden=garden, from_day=TODAY)
    morning.plans(morning.bed_2, 0, 2)
    assert '<span class="late">Due yesterday</span>' in page(helper, garden)


def test_a_plan_that_changed_its_mind_today_makes_nothing_late(helper, garden, morning) -> None:
    told = PlanFactory(garden=garden, from_day=day(-1))
    newest = PlanFactory(garden=garden, from_day=TODAY)
    morning.plan = told
    morning.plans(small_bed(garden, "Bed 3"), -1, 2)
    morning.plan = newest
    morning.plans(morning.bed_2, 0, 2)
    text = page(helper, garden)
    assert "Move Pen A to Bed 2</h2>" in text
    assert "Due yesterday" not in text


def test_a_day_off_the_beds_says_why(helper, garden, morning) -> None:
    morning.plans(None, 0, 1, because={"crop": 7, "nitrogen": 2, "rest": 1})
    text = page(helper, garden)
    assert "Stand Pen A off the beds</h2>" in text
    assert (
        "7 shut by a crop or the wait before its harvest, 2 without nitrogen room, 1 rest" in text
    )
    assert "Lift the droppings there for compost" in text


def test_chicks_are_taken_out_on_their_day(helper, garden, morning) -> None:
    morning.stay.delete()
    morning.batch.leaves_brooder_on = TODAY
    morning.batch.save()
    morning.plans(morning.bed_2)
    text = page(helper, garden)
    assert "Take 10 birds out to Pen A on Bed 2</h2>" in text
    assert "Carry it" not in text
    # Five weeks less two days: 60 °F (15.5 °C) from memory.
    assert "no nights below 16 °C" in text


def test_processing_day_comes_first_with_the_feed_withdrawn(helper, garden, morning) -> None:
    morning.batch.processing_on = TODAY
    morning.batch.save()
    text = page(helper, garden)
    assert "Processing day for Batch 12</h2>" in text
    assert "No feed for 8 to 12 hours before the first bird" in text
    assert reverse("processing_new", args=[garden.pk, morning.batch.pk]) in text
    assert "Feed Pen A" not in text


def test_tomorrow_tells_the_next_move_and_the_feed(helper, garden, morning) -> None:
    morning.plans(morning.bed_2, 0, 1)
    morning.plans(morning.bed_1, 1, 3)
    text = page(helper, garden)
    assert "<b>Pen A</b> goes to Bed 1, 4 m away." in text


def test_a_weighing_older_than_a_week_is_due(helper, garden, morning) -> None:
    morning.batch.weighing_set.update(on=day(-9))
    text = page(helper, garden)
    assert "Weigh 10 birds of Batch 12" in text
    assert "Due Wed 10 June" in text


def test_an_unsafe_harvest_is_named_with_its_day(helper, garden, morning) -> None:
    lettuce = CropFactory(garden=garden, name="lettuce")
    PlantingFactory(
        bed=morning.bed_1,
        crop=lettuce,
        starts_on=day(3),
        first_harvest_on=day(60),
        ends_on=day(300),
    )
    # The pen stands there until today at least: mixed in tomorrow, 120 days (7 CFR 205.203(c)(1)).
    assert "Do not harvest lettuce in" in page(helper, garden)
    assert "before Sun 11 October." in page(helper, garden)


def test_a_crop_that_is_over_too_soon_is_not_harvested_at_all(helper, garden, morning) -> None:
    PlantingFactory(bed=morning.bed_1, starts_on=day(3), first_harvest_on=day(40), ends_on=day(60))
    assert "at all:</strong>" in page(helper, garden)


def test_a_crop_on_a_bed_without_birds_is_not_warned_of(helper, garden, morning) -> None:
    PlantingFactory(bed=morning.bed_2)
    assert "Do not harvest" not in page(helper, garden)


def test_crowding_ahead_is_told_with_its_day_and_its_cure(helper, garden, morning) -> None:
    Garden.objects.filter(pk=garden.pk).update(density_limit_kg_m2=12)
    text = page(helper, garden)
    assert "Pen A is crowded from" in text
    assert "A second pen, or processing some of them young" in text


def test_losses_make_the_feed_smaller(helper, garden, morning) -> None:
    LossFactory(batch=morning.batch, pen=morning.pen, count=4, on=day(-1))
    assert "for 6 birds" in page(helper, garden)


def test_a_garden_in_pounds_reads_pounds(helper, garden, morning) -> None:
    Garden.objects.filter(pk=garden.pk).update(unit_system="us")
    text = page(helper, garden)
    assert " lb of grower for 10 birds" in text
    assert " quarts in all" in text


def test_without_a_plan_the_button_works_one_out(helper, garden, morning) -> None:
    text = page(helper, garden)
    assert "No plan for Pen A today" in text
    helper.post(reverse("plan_again", args=[garden.pk]))
    assert "No plan for" not in page(helper, garden)


def test_chicks_under_heat_bring_the_caution(helper, garden) -> None:
    BatchFactory(garden=garden, hatch_on=day(-3), name="Chicks")
    text = page(helper, garden)
    assert "Look at the chicks of Chicks" in text
    assert "Heat lamps start fires" in text


# The empty states


@pytest.mark.parametrize(
    ("has_beds", "has_pens", "heading", "button"),
    [
        (False, False, "Add your beds first", "guide_beds"),
        (True, False, "Add a pen next", "pen_new"),
        (True, True, "No birds now", "batch_new"),
    ],
)
def test_an_empty_garden_says_what_to_do_first(
    owner, garden, has_beds, has_pens, heading, button
) -> None:
    if has_beds:
        BedFactory(garden=garden)
    if has_pens:
        PenFactory(garden=garden)
    text = page(owner, garden)
    assert heading in text
    assert reverse(button, args=[garden.pk]) in text


def test_a_batch_that_is_yet_to_hatch_asks_for_nothing(helper, garden) -> None:
    BatchFactory(garden=garden, name="Autumn", hatch_on=day(1))
    text = page(helper, garden)
    assert "No work with birds today" in text
    assert "Autumn hatches" in text


def test_two_batches_and_four_pens_take_thirteen_queries(
    helper, garden, morning, django_assert_max_num_queries
) -> None:
    second = BatchFactory(garden=garden, name="Batch 13", hatch_on=day(-30))
    for number, name in enumerate(("Pen B", "Pen C", "Pen D"), 3):
        bed = small_bed(garden, f"Bed {number}")
        pen = PenFactory(garden=garden, name=name)
        BatchPenFactory(batch=second, pen=pen, birds=3)
        StayFactory(pen=pen, batch=second, bed=bed)
        FeedRecordFactory(batch=second, pen=pen, on=TODAY)
        PlantingFactory(bed=bed)
    LossFactory(batch=second)
    WeighingFactory(batch=second, weights_g=[800.0, 820.0], count=2, mean_g=810)
    morning.plans(morning.bed_2)
    tap(helper, garden, "water")
    # Session, user, membership, undo step; batches, shares, log, stays, plan, plantings, marks, books, run.
    with django_assert_max_num_queries(13):
        page(helper, garden)
