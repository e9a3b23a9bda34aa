"""The plan explains itself, on gardens whose right explanation is plain to see."""

import pytest
from django.urls import reverse

from garden.models import Garden
from rotation.facts import facts_of
from rotation.models import Closure, PinnedStay, Plan, PlannedStay
from rotation.why.here import WhyHere, why_here
from rotation.why.shut import ShutPlace, shut_groups, shut_places
from rotation.why.shut_words import Kind
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    CropFactory,
    PenFactory,
    PlanFactory,
    PlannedStayFactory,
    PlantingFactory,
    StayFactory,
)
from tests.stories.small_gardens import flock, off_row, planned
from tests.stories.small_plans import bed as one_place_bed
from tests.stories.small_plans import day, told

pytestmark = pytest.mark.django_db


def shut(garden: Garden, plan: Plan, pen: str = "Pen A") -> list[ShutPlace]:
    """Return what shuts each place from a pen's first day off the beds to its last."""
    rows = plan.stays.filter(bed=None, pen__name=pen).order_by("first_day")
    facts = facts_of(garden, TODAY)
    run = next(run for run in facts.runs if run.pen.name == pen)
    stays = list(plan.stays.select_related("pen", "bed", "batch"))
    return shut_places(facts, stays, run, rows.first().first_day, rows.last().end_day)


def sentences(garden: Garden, plan: Plan, pen: str = "Pen A") -> dict[str, tuple[Kind, str]]:
    """Return one sentence for each bed, for days on which it does not change."""
    places = shut(garden, plan, pen)
    assert len({place.bed for place in places}) == len(places)
    return {place.bed.name: (place.kind, place.words) for place in places}


def test_a_crop_shuts_its_bed_until_the_day_before_it_is_cleared(garden):
    bed = one_place_bed(garden, "Bed 3")
    lettuce = CropFactory(garden=garden, name="Lettuce")
    PlantingFactory(bed=bed, crop=lettuce, starts_on=day(-30), ends_on=day(40))
    flock(garden)
    assert sentences(garden, planned(garden)) == {
        "Bed 3": (Kind.CROP, "planted with Lettuce until Tue 21 July")
    }


def test_the_interval_ahead_of_carrots_shuts_a_bed_that_is_still_bare(garden):
    garden.mixed_in = False
    garden.save()
    bed = one_place_bed(garden, "Bed 4")
    carrots = CropFactory(garden=garden, name="Carrots", contact="touches")
    PlantingFactory(
        bed=bed, crop=carrots, starts_on=day(20), first_harvest_on=day(110), ends_on=day(130)
    )
    flock(garden)
    # Day 110 is 30 September; 120 days before it is 2 June.
    assert sentences(garden, planned(garden)) == {
        "Bed 4": (
            Kind.INTERVAL,
            "birds after Tue 2 June would be within 120 days of the harvest of Carrots on Wed 30 September",
        )
    }


def test_a_bed_that_one_day_fills_says_what_is_left_and_what_the_birds_drop(garden):
    garden.annual_limit_kg_ha = 160
    garden.save()
    one_place_bed(garden, "Bed 5")
    # Ten birds of four weeks drop 21.6 g, a day later 22.7 g, and the room is 22.3 g: they stay the first day.
    flock(garden, birds=10, days=2)
    plan = planned(garden)
    [on_bed] = plan.stays.exclude(bed=None)
    left_g = 160 / 10 * 1.17 * 1.19 - on_bed.nitrogen_g
    [place] = shut(garden, plan)
    assert place.kind is Kind.NITROGEN
    assert place.words.startswith(f"{left_g:.0f} g of nitrogen room left, and the birds drop ")
    # The young birds of the first day drop less than those of the second.
    dropped_g = int(place.words.split()[-4])
    assert on_bed.nitrogen_g <= dropped_g < on_bed.nitrogen_g + 2


def test_a_bed_rests_after_the_last_flock(garden):
    bed = one_place_bed(garden, "Bed 6")
    batch = flock(garden, birds=2, days=2)
    old = BatchFactory(garden=garden, finished_on=day(-2), hatch_on=day(-60))
    StayFactory(
        pen=batch.pens.get(), batch=old, bed=bed, offset_mm=40, stretch_mm=1170,
        first_day=day(-12), end_day=day(-10),
    )  # fmt: skip
    # Thirty days from day -10: the last of them is day 19, 1 July.
    assert sentences(garden, planned(garden)) == {"Bed 6": (Kind.RESTING, "rests until Wed 1 July")}


def test_another_pen_stands_there_and_a_later_one_keeps_a_place(garden):
    garden.annual_limit_kg_ha = 900
    garden.save()
    one_place_bed(garden, "Bed 7")
    first, late = (
        flock(garden, birds=1, days=3),
        flock(garden, name="Pen B", birds=1, first=3, days=4),
    )
    plan = PlanFactory(garden=garden)
    bed = garden.beds.get()
    for batch, start, end in ((late, 3, 7),):
        PlannedStayFactory(
            plan=plan, pen=batch.pens.get(), batch=batch, bed=bed, offset_mm=40, stretch_mm=1170,
            first_day=day(start), end_day=day(end), nitrogen_g=10,
        )  # fmt: skip
    PlannedStayFactory(
        plan=plan, pen=first.pens.get(), batch=first, bed=None, first_day=TODAY, end_day=day(3)
    )
    assert sentences(garden, plan) == {
        "Bed 7": (
            Kind.KEPT,
            "Pen B comes on Mon 15 June, and the place rests 30 days before",
        )
    }
    plan.stays.filter(bed=bed).update(first_day=TODAY, end_day=day(7))
    assert sentences(garden, plan) == {"Bed 7": (Kind.TAKEN, "Pen B stands there")}


def test_a_pen_too_wide_is_told_by_how_much(garden):
    one_place_bed(garden, "Bed 8", length_mm=2400, width_mm=1150)
    flock(garden, birds=1)
    # 1170 mm with 10 mm on each side lacks 40 mm.
    assert sentences(garden, planned(garden)) == {"Bed 8": (Kind.TOO_SMALL, "too narrow by 40 mm")}


def test_a_bed_that_the_grower_has_closed_says_why(garden):
    bed = one_place_bed(garden, "Bed 9")
    Closure.objects.create(bed=bed, first_day=day(-1), end_day=day(9), why="hose broken")
    flock(garden, birds=1)
    assert sentences(garden, planned(garden)) == {
        "Bed 9": (Kind.CLOSED, "not to be had until Sat 20 June: hose broken")
    }


def test_a_pen_that_has_stood_long_enough_may_not_stay(garden):
    garden.annual_limit_kg_ha = 900
    garden.save()
    bed = one_place_bed(garden, "Bed 1")
    batch = flock(garden, birds=1, days=4)
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=bed, offset_mm=40, stretch_mm=1170, first_day=day(-7)
    )
    assert sentences(garden, planned(garden)) == {
        "Bed 1": (Kind.STOOD, "the pen has stood there 7 days, the longest stay")
    }


def test_a_stay_that_may_not_be_so_short_is_told_as_open_for_too_short_a_time(garden):
    garden.min_stay_days = 3
    garden.save()
    bed = one_place_bed(garden, "Bed 2")
    PlantingFactory(bed=bed, starts_on=day(2), first_harvest_on=day(180), ends_on=day(190))
    flock(garden, birds=1, days=4)
    places = shut(garden, planned(garden))
    assert [(place.kind, place.first_day, place.end_day) for place in places] == [
        (Kind.TOO_SHORT, TODAY, day(2)),
        (Kind.CROP, day(2), day(4)),
    ]
    assert places[0].words == "open, but not for 3 days on end, the shortest stay"


def test_every_place_is_told_and_the_commonest_reason_comes_first(garden):
    lettuce = CropFactory(garden=garden, name="Lettuce")
    for name in ("Bed 1", "Bed 2"):
        bed = one_place_bed(garden, name, length_mm=2500)
        PlantingFactory(bed=bed, crop=lettuce, starts_on=day(-30), ends_on=day(40))
    one_place_bed(garden, "Bed 3", width_mm=1000)
    closed = one_place_bed(garden, "Bed 4")
    Closure.objects.create(bed=closed, first_day=TODAY, end_day=day(9))
    flock(garden, birds=1)
    plan = planned(garden)
    groups = [(group.kind, group.count) for group in shut_groups(shut(garden, plan))]
    assert groups == [(Kind.CROP, 4), (Kind.CLOSED, 1), (Kind.TOO_SMALL, 1)]
    # The planner's own count of the places that it could use agrees.
    assert sum(off_row(plan).because.values()) == 5


def why(garden: Garden, plan: Plan, bed: str) -> WhyHere:
    """Return what is said of the only stay on a bed."""
    facts = facts_of(garden, TODAY)
    stays = list(plan.stays.select_related("pen", "bed", "batch"))
    [stay] = [stay for stay in stays if stay.bed and stay.bed.name == bed]
    run = next(run for run in facts.runs if run.batch.pk == stay.batch_id)
    return why_here(facts, stays, run, stay)


def test_the_next_best_place_costs_the_way_to_it(garden):
    one_place_bed(garden, "Start", x_m=0)
    near, far = one_place_bed(garden, "Near", x_m=10), one_place_bed(garden, "Far", x_m=22)
    batch = flock(garden, birds=9, days=2)
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=garden.beds.get(name="Start"), offset_mm=40,
        stretch_mm=1170, first_day=day(0),
    )  # fmt: skip
    plan = planned(garden)
    assert told(plan) == [("Start", 0, 1), (near.name, 1, 2)]
    said = why(garden, plan, "Near")
    assert said.reasons[0] == "It is 10 m from Start, where the pen stands before."
    assert said.next_best == f"Next best: {far.name}. It would cost 12 m more carrying."


def test_where_nothing_else_is_open_the_days_off_the_beds_are_told(garden):
    one_place_bed(garden, "Only")
    flock(garden, birds=2, days=2)
    said = why(garden, planned(garden), "Only")
    assert said.next_best == (
        "No other place is open to it on these days: without this one it takes two more days off the beds."
    )
    assert "and the place has room for 24 g." in said.reasons[0]


def test_a_crop_that_wants_the_nitrogen_speaks_for_its_bed(garden):
    bed = one_place_bed(garden, "Hungry")
    one_place_bed(garden, "Bare", x_m=3)
    crop = CropFactory(garden=garden, name="Cabbage", contact="clear", nitrogen_kg_ha=200)
    PlantingFactory(
        bed=bed, crop=crop, starts_on=day(60), first_harvest_on=day(150), ends_on=day(160)
    )
    flock(garden, birds=2, days=2)
    plan = planned(garden)
    assert told(plan) == [("Hungry", 0, 2)]
    said = why(garden, plan, "Hungry")
    [dropped] = {stay.nitrogen_g for stay in plan.stays.all()}
    assert f"Cabbage, planted next, can use {dropped:.0f} g of it." in said.reasons
    assert said.next_best == (
        f"Next best: Bare. It would cost {dropped:.0f} g of nitrogen "
        "that a crop wants and would not get."
    )


def test_two_places_alike_are_told_so_and_one_that_is_taken_is_not_offered(garden):
    one_place_bed(garden, "Bed 1", x_m=0)
    one_place_bed(garden, "Bed 2", x_m=5)
    flock(garden, birds=2, days=2)
    plan = planned(garden)
    [(here, _, _)] = told(plan)
    other = "Bed 2" if here == "Bed 1" else "Bed 1"
    assert why(garden, plan, here).next_best == f"{other} would do as well."
    flock(garden, name="Pen B", birds=2, days=2)
    plan = planned(garden)
    assert why(garden, plan, here).next_best.startswith("No other place is open")


def test_a_stay_that_the_grower_fixed_needs_no_other_reason(garden):
    bed = one_place_bed(garden, "Bed 1")
    one_place_bed(garden, "Bed 2")
    batch = flock(garden, birds=2, days=2)
    PinnedStay.objects.create(
        pen=batch.pens.get(), batch=batch, bed=bed, offset_mm=40, stretch_mm=1170,
        first_day=TODAY, end_day=day(2),
    )  # fmt: skip
    said = why(garden, planned(garden), "Bed 1")
    assert said.reasons[0] == "You have fixed this stay, and the planner plans around it."
    assert said.next_best == ""


def page(client, garden: Garden, row: PlannedStay, **headers: str) -> str:
    answer = client.get(reverse("why", args=[garden.pk, row.pk]), headers=headers)
    assert answer.status_code == 200
    return answer.content.decode()


def test_everybody_in_the_garden_may_ask_why_and_htmx_gets_the_answer_alone(viewer, garden):
    bed = one_place_bed(garden, "Bed 3")
    PlantingFactory(bed=bed, crop__name="Lettuce", starts_on=day(-30), ends_on=day(40))
    flock(garden)
    row = off_row(planned(garden))
    shown = page(viewer, garden, row)
    assert "Why off the beds?" in shown
    assert "This pen finds 1 place on 1 bed." in shown
    assert "planted with Lettuce until Tue 21 July" in shown
    alone = page(viewer, garden, row, **{"HX-Request": "true"})
    assert "planted with Lettuce" in alone
    assert "<html" not in alone


def test_rows_off_the_beds_with_other_reasons_are_one_stretch_of_days(viewer, garden):
    bed = one_place_bed(garden, "Bed 3")
    PlantingFactory(bed=bed, crop__name="Lettuce", starts_on=day(-30), ends_on=day(2),
                    first_harvest_on=day(1))  # fmt: skip
    Closure.objects.create(bed=bed, first_day=day(2), end_day=day(9), why="")
    flock(garden)
    plan = planned(garden)
    shown = page(viewer, garden, plan.stays.order_by("-first_day")[0])
    assert "Fri 12 June to Mon 15 June" in shown
    assert "Fri 12 June to Sat 13 June: planted with Lettuce until Sat 13 June" in shown
    assert "Sun 14 June to Mon 15 June: not to be had until Sat 20 June" in shown


def test_a_row_of_an_older_plan_leads_to_the_plan(viewer, garden):
    one_place_bed(garden, "Bed 3")
    flock(garden)
    row = off_row(planned(garden))
    planned(garden)
    answer = viewer.get(reverse("why", args=[garden.pk, row.pk]))
    assert answer.status_code == 302
    assert answer.url == reverse("plan", args=[garden.pk])


def test_why_costs_few_queries_however_many_beds(viewer, garden, django_assert_max_num_queries):
    for number in range(30):
        one_place_bed(garden, f"Bed {number}", x_m=2.0 * number)
    pens = PenFactory.create_batch(3, garden=garden)
    assert pens
    flock(garden, birds=9, days=20)
    row = planned(garden).stays.exclude(bed=None)[0]
    with django_assert_max_num_queries(16):
        page(viewer, garden, row)
