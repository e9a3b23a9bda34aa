"""What the grower has decided for the planner: stays that are fixed, and beds not to be had."""

from datetime import date, timedelta

import pytest

from rotation.facts import facts_of
from rotation.models import Closure
from rotation.planning import plan_again, plan_mend
from rotation.problems import size_problem, sizes_of
from rotation.told import faults_of, ground_fingerprint, in_names
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    CropFactory,
    PenFactory,
    PlantingFactory,
    StayFactory,
)
from tests.stories.small_plans import ROUNDS, bed, day, flock, pin, told

pytestmark = pytest.mark.django_db


def planned(garden, on: date = TODAY):
    return plan_again(garden=garden, on=on, effort=ROUNDS)


def broken_words(garden, on: date = TODAY) -> list[str]:
    """Return what keeps each pin from coming true."""
    facts, words = facts_of(garden, on), []
    for runs in sizes_of(facts):
        part = size_problem(facts, runs, decided=[], announced=[])
        for broken in part.broken_pins:
            words += [in_names(str(breach), part, facts) for breach in broken.breaches]
    return words


def test_a_fixed_stay_is_a_stay_of_every_plan(garden):
    near, far = bed(garden, "Near"), bed(garden, "Far", x_m=30)
    batch = flock(garden, days=4)
    # One stay of four days on either bed is best; the plan must not have it so.
    assert len(told(planned(garden))) == 1
    pin(batch, far, day(1), day(3))
    assert ("Far", 1, 3) in told(planned(garden))
    assert {name for name, *_ in told(planned(garden))} <= {near.name, "Far", "off"}
    assert faults_of(planned(garden), facts_of(garden, TODAY)) == []


def test_a_plan_told_before_the_pin_no_longer_holds(garden):
    bed(garden, "Near")
    far = bed(garden, "Far", x_m=30)
    batch = flock(garden)
    planned(garden)
    assert plan_mend(garden=garden, on=TODAY, because="looked") is None
    pin(batch, far, day(2), day(4))
    mended = plan_mend(garden=garden, on=TODAY, because="a stay was fixed")
    assert ("Far", 2, 4) in told(mended)


def test_a_pen_goes_on_standing_as_it_was_fixed(garden):
    here = bed(garden, "Here")
    bed(garden, "There", x_m=1)
    batch = flock(garden)
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=here, offset_mm=40, stretch_mm=1170,
        first_day=day(-1),
    )  # fmt: skip
    pin(batch, here, day(-1), day(3))
    plan = planned(garden)
    assert ("Here", 0, 3) in told(plan)
    assert broken_words(garden) == []


def test_a_pen_put_there_a_day_early_stays_on_without_leaving(garden):
    here = bed(garden, "Here")
    bed(garden, "There", x_m=1)
    batch = flock(garden)
    fixed = pin(batch, here, day(1), day(3))
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=here, offset_mm=40, stretch_mm=1170, first_day=TODAY
    )  # fmt: skip
    assert ("Here", 0, 3) in told(planned(garden))
    assert fixed in facts_of(garden, TODAY).pins


def test_a_stay_that_has_happened_asks_for_nothing_more(garden):
    here, there = bed(garden, "Here"), bed(garden, "There", x_m=1)
    batch = flock(garden)
    pin(batch, here, day(-3), day(2))
    stood = {"pen": batch.pens.get(), "batch": batch, "offset_mm": 40, "stretch_mm": 1170}
    StayFactory(bed=here, first_day=day(-3), end_day=day(-1), **stood)
    StayFactory(bed=there, first_day=day(-1), **stood)
    facts = facts_of(garden, TODAY)
    assert facts.pins == ()
    assert len(facts.spent_pins) == 1
    assert "Here" not in {name for name, *_ in told(planned(garden))}


def test_the_ground_is_the_same_when_a_fixed_stay_has_ended(garden):
    here = bed(garden, "Here")
    batch = flock(garden)
    pin(batch, here, day(0), day(2))
    before = ground_fingerprint(facts_of(garden, TODAY))
    assert ground_fingerprint(facts_of(garden, day(2))) == before
    pin(batch, here, day(3), day(4))
    assert ground_fingerprint(facts_of(garden, TODAY)) != before


def test_a_smaller_pens_fixed_place_is_kept_free_when_the_larger_is_planned_first(garden):
    only = bed(garden, "Only", length_mm=3700)
    batch = flock(garden)
    long_pen = PenFactory(garden=garden, length_mm=3500, width_mm=1170, floor_m2=3.7)
    BatchPenFactory(batch=batch, pen=long_pen, birds=2)
    assert {stay.pen for stay in planned(garden).stays.filter(bed=only)} == {long_pen}
    fixed = pin(batch, only, day(0), day(4), pen=batch.pens.exclude(pk=long_pen.pk).get())
    plan = planned(garden)
    assert {stay.pen for stay in plan.stays.filter(bed=only)} == {fixed.pen}
    assert plan.stays.filter(bed=only, first_day=day(0), end_day=day(4)).exists()


def test_a_larger_pens_fixed_place_is_taken_ground_for_the_smaller(garden):
    only = bed(garden, "Only", length_mm=3700)
    batch = flock(garden)
    long_pen = PenFactory(garden=garden, length_mm=3500, width_mm=1170, floor_m2=3.7)
    BatchPenFactory(batch=batch, pen=long_pen, birds=2)
    pin(batch, only, day(3), day(5), pen=long_pen)
    plan = planned(garden)
    assert plan.stays.filter(pen=long_pen, bed=only, first_day=day(3), end_day=day(5)).exists()
    assert not plan.stays.exclude(pen=long_pen).filter(bed=only).exists()


def test_a_pin_that_a_crop_made_impossible_is_left_out_and_said(garden):
    here = bed(garden, "Here")
    batch = flock(garden)
    pin(batch, here, day(1), day(3))
    PlantingFactory(bed=here, starts_on=day(0), first_harvest_on=day(40), ends_on=day(60))
    assert told(planned(garden)) == [("off", 0, 6)]
    [words] = broken_words(garden)
    assert "Here, Sat 13 June to Sun 14 June: the bed is not open to birds" in words


def test_of_two_pins_that_share_ground_the_one_set_first_is_kept(garden):
    here = bed(garden, "Here")
    batch = flock(garden, pens=2)
    first, second = batch.pens.all()
    pin(batch, here, day(0), day(2), pen=first)
    pin(batch, here, day(4), day(6), pen=second)
    plan = planned(garden)
    assert plan.stays.filter(pen=first, bed=here, end_day=day(2)).exists()
    assert not plan.stays.filter(pen=second, bed=here).exists()
    assert "30 days of rest" in broken_words(garden)[0]


def test_a_pen_fixed_to_two_places_on_one_day_keeps_the_first(garden):
    here, there = bed(garden, "Here"), bed(garden, "There", x_m=3)
    batch = flock(garden)
    pin(batch, here, day(0), day(3))
    pin(batch, there, day(2), day(4))
    assert ("Here", 0, 3) in told(planned(garden))
    assert "two places on one day" in broken_words(garden)[0]


def test_a_place_that_a_smaller_clearance_has_moved_is_no_longer_there(garden):
    here = bed(garden, "Here")
    batch = flock(garden)
    fixed = pin(batch, here, day(0), day(3))
    fixed.offset_mm = 7
    fixed.save()
    assert "no such place" in broken_words(garden)[0]
    assert planned(garden).stays.exists()


def test_a_bed_is_not_to_be_had_while_it_is_closed_and_that_is_the_reason_told(garden):
    here = bed(garden, "Here")
    flock(garden, days=4)
    Closure.objects.create(bed=here, first_day=day(0), end_day=day(2), why="hose broken")
    plan = planned(garden)
    assert told(plan) == [("off", 0, 2), ("Here", 2, 4)]
    assert plan.stays.get(bed=None).because == {"closed": 1}


def test_a_closure_in_the_middle_leaves_both_sides_open_with_one_room_between_them(garden):
    garden.nitrogen_policy, garden.rest_days, garden.max_stay_days = "crop_need", 0, 3
    garden.save()
    here = bed(garden, "Here")
    crop = CropFactory(garden=garden, contact="clear", nitrogen_kg_ha=60)
    PlantingFactory(
        bed=here, crop=crop, starts_on=day(20), first_harvest_on=day(150), ends_on=day(170)
    )
    flock(garden, days=8, birds=1)
    Closure.objects.create(bed=here, first_day=day(3), end_day=day(5))
    facts = facts_of(garden, TODAY)
    [spot] = size_problem(facts, facts.runs, decided=[], announced=[]).problem.spots
    assert [(window.first_day, window.end_day) for window in spot.windows] == [(0, 3), (5, 8)]
    rooms = {round(window.nitrogen_room_g, 6) for window in spot.windows}
    assert rooms == {round(spot.nitrogen_room_g, 6)}
    assert sum(window.nitrogen_wanted_g > 0 for window in spot.windows) == 1
    assert told(planned(garden)) == [("Here", 0, 3), ("off", 3, 5), ("Here", 5, 8)]


@pytest.mark.parametrize(
    ("start", "zone"),
    [(date(2026, 10, 23), "Europe/Dublin"), (date(2026, 12, 29), "Australia/Sydney")],
    ids=["over the end of summer time", "over new year"],
)
def test_days_are_whole_days_over_a_clock_change_and_a_year_end(garden, settings, start, zone):
    settings.PRETEND_TODAY = start
    garden.time_zone = zone
    garden.save()
    near, far = bed(garden, "Near"), bed(garden, "Far", x_m=30)
    batch = flock(garden, comes_out=start)
    pin(batch, far, start + timedelta(days=1), start + timedelta(days=4))
    Closure.objects.create(
        bed=near, first_day=start + timedelta(days=4), end_day=start + timedelta(days=5)
    )
    plan = planned(garden, start)
    assert ("Far", 1, 4) in told(plan, start)
    assert ("Near", 5, 6) in told(plan, start) or ("off", 4, 6) in told(plan, start)
    assert not [t for t in told(plan, start) if t[0] == "Near" and t[1] <= 4 < t[2]]


def test_pins_of_finished_birds_and_given_up_beds_are_spent(garden):
    here, gone = bed(garden, "Here"), bed(garden, "Gone", x_m=3)
    batch = flock(garden)
    pin(batch, gone, day(0), day(2))
    old = BatchFactory(garden=garden, finished_on=day(-1), hatch_on=day(-60))
    pin(old, here, day(0), day(3), pen=PenFactory(garden=garden))
    gone.retired_on = TODAY
    gone.save()
    facts = facts_of(garden, TODAY)
    assert facts.pins == ()
    assert len(facts.spent_pins) == 2
    assert told(planned(garden))[0][0] in ("Here", "off")
