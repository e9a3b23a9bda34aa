"""What would save days off the beds: on gardens in which the smallest change that does is plain to see."""

import html
import re
from dataclasses import replace

import pytest
from django.urls import reverse

from garden.models import Garden
from rotation.change_kinds import read_changes
from rotation.changed_plan import changed_plan, days_off_in
from rotation.changes_tried import apply
from rotation.facts import facts_of
from rotation.models import Plan, WhatIf
from rotation.planning import Effort, current_plan, solved
from rotation.why import cure_search
from rotation.why.cure_search import Cure, CureSearch
from rotation.why.ladder import best_size, climbed, next_size
from tests.conftest import TODAY
from tests.factories import (
    CropFactory,
    PenFactory,
    PlantingFactory,
    StayFactory,
)
from tests.stories.small_gardens import flock, planned
from tests.stories.small_plans import ROUNDS, day
from tests.stories.small_plans import bed as one_place_bed

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _work_and_not_the_clock(monkeypatch):
    """Let work end the searches, as it does on a quiet machine, however busy this one is."""
    monkeypatch.setattr(cure_search, "CURE_EFFORT", replace(cure_search.CURE_EFFORT, seconds=None))
    monkeypatch.setattr(cure_search, "QUICK_SECONDS", 60.0)


def found(garden: Garden, plan: Plan) -> CureSearch:
    """Return a search that has ended."""
    search = CureSearch(facts_of(garden, TODAY), current_plan(garden))
    while not search.is_done:
        search.go_on(10)
    return search


def cure_of(search: CureSearch, kind: str, *words: str) -> Cure:
    """Return the only cure of a kind whose sentence has some words."""
    [cure] = [
        cure
        for cure in search.cures()
        if [change["kind"] for change in cure.changes] == [kind]
        and all(word in cure.words for word in words)
    ]
    return cure


def off_days_with(garden: Garden, cure: Cure) -> int:
    """Plan the changed garden afresh, with work enough, and count its days off the beds."""
    facts = apply(facts_of(garden, TODAY), read_changes(cure.changes))
    return sum(
        (stay.end_day - stay.first_day).days
        for stay in solved(facts, ROUNDS).stays
        if stay.bed_id is None
    )


def test_just_so_many_birds_fit_as_the_bed_has_room_for(garden):
    one_place_bed(garden, "Only")
    batch = flock(garden, birds=9, days=2)
    plan = planned(garden)
    search = found(garden, plan)
    assert search.off.count == 1
    [run] = facts_of(garden, TODAY).runs
    # 170 kg/ha on the place's 1.17 x 1.19 m, shared by so many birds for two days.
    most = int(170 / 10 * 1.17 * 1.19 / (sum(run.nitrogen_g) / 9))
    cure = cure_of(search, "birds")
    assert cure.words == f"{batch.name}: {most} birds instead of 9"
    assert (cure.left, cure.saved) == (0, 1)
    assert off_days_with(garden, cure) == 0


def test_a_rest_just_short_enough_opens_the_bed(garden):
    bed = one_place_bed(garden, "Only")
    batch = flock(garden, birds=2, days=2)
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=bed, offset_mm=40, stretch_mm=1170,
        first_day=day(-21), end_day=day(-20),
    )  # fmt: skip
    search = found(garden, planned(garden))
    assert (
        cure_of(search, "rule").words == "Rest of a place between two visits: 20 days instead of 30"
    )
    assert cure_of(search, "rule").left == 0


def test_a_crop_cleared_on_the_first_day_off_the_beds_and_no_sooner(garden):
    bed = one_place_bed(garden, "Bed 3")
    lettuce = CropFactory(garden=garden, name="Lettuce")
    planting = PlantingFactory(
        bed=bed, crop=lettuce, starts_on=day(-60), first_harvest_on=day(-20), ends_on=day(30)
    )
    flock(garden, birds=2, first=5, days=2)
    search = found(garden, planned(garden))
    cure = cure_of(search, "clear")
    assert cure.words == "Lettuce in Bed 3 cleared on Wed 17 June instead of Sun 12 July"
    assert cure.changes == [{"kind": "clear", "planting": planting.pk, "on": "2026-06-17"}]
    assert (cure.left, cure.saved) == (0, 2)


def test_a_crop_that_is_not_picked_yet_is_not_offered_up(garden):
    bed = one_place_bed(garden, "Bed 3")
    PlantingFactory(bed=bed, starts_on=day(-10), first_harvest_on=day(20), ends_on=day(30))
    flock(garden, birds=2, days=2)
    search = found(garden, planned(garden))
    assert not [cure for cure in search.cures() if cure.changes[0]["kind"] == "clear"]


def test_one_more_bed_and_the_shortest_strip_that_does(garden):
    one_place_bed(garden, "Bed 1")
    flock(garden, birds=9, days=4)
    search = found(garden, planned(garden))
    assert search.off.count == 3
    # One bed takes these birds for a day.
    assert cure_of(search, "bed", "raised bed").saved == 1
    strip = cure_of(search, "bed", "grass strip")
    assert strip.left == 0
    # Places 1170 mm long, 1.5 m wide of which the pen covers 1.19: one day each, three days.
    assert strip.words.endswith(", 400 cm by 150 cm")


def test_a_batch_that_is_not_hatched_can_wait_for_the_bed(garden):
    bed = one_place_bed(garden, "Only")
    PlantingFactory(bed=bed, starts_on=day(-60), first_harvest_on=day(30), ends_on=day(50))
    batch = flock(garden, birds=2, first=40, days=3)
    search = found(garden, planned(garden))
    assert search.off.count == 3
    cure = cure_of(search, "shift")
    assert cure.words == f"{batch.name} 10 days later, hatched on Sat 4 July"
    assert cure.left == 0
    # Nobody can put off birds that have hatched.
    batch.hatch_on = TODAY
    batch.save()
    again = found(garden, planned(garden))
    assert not [cure for cure in again.cures() if cure.changes[0]["kind"] == "shift"]


def test_birds_on_the_heavy_side_can_go_earlier_or_in_part(garden):
    bed = one_place_bed(garden, "Only")
    batch = flock(garden, birds=6, days=2)
    batch.target_g = 1200
    batch.save()
    # The pen was put there this morning, so the day off the beds is tomorrow.
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=bed, offset_mm=40, stretch_mm=1170, first_day=TODAY
    )
    search = found(garden, planned(garden))
    cure = cure_of(search, "process")
    assert cure.words == f"{batch.name} processed on Sat 13 June instead of Sun 14 June"
    assert re.fullmatch(r"They weigh about 1\.\d\d kg each by then\.", cure.note)
    part = cure_of(search, "part_processed")
    assert re.match(rf"\d birds? of {batch.name} processed on Sat 13 June", part.words)
    assert part.left == 0
    assert off_days_with(garden, part) == 0


def test_birds_still_too_light_are_not_offered_for_processing(garden):
    one_place_bed(garden, "Only")
    batch = flock(garden, birds=9, days=2)
    batch.target_g = 8000
    batch.save()
    kinds = {cure.changes[0]["kind"] for cure in found(garden, planned(garden)).cures()}
    assert kinds & {"process", "part_processed"} == set()
    assert "birds" in kinds


def test_another_pen_that_fits_the_bed(garden):
    one_place_bed(garden, "Narrow", length_mm=4000, width_mm=700)
    batch = flock(garden, birds=2, days=2)
    slim = PenFactory(garden=garden, name="Slim", length_mm=2400, width_mm=600, floor_m2=1.3)
    small = PenFactory(garden=garden, name="Small", length_mm=600, width_mm=600, floor_m2=0.3)
    search = found(garden, planned(garden))
    cure = cure_of(search, "pens", " in Slim")
    assert cure.changes == [{"kind": "pens", "batch": batch.pk, "pens": [slim.pk]}]
    assert cure.left == 0
    # Two birds would be crowded in a quarter of the floor, so it is not tried alone.
    assert not [cure for cure in search.cures() if cure.changes[0].get("pens") == [small.pk]]


def test_a_cure_of_one_batch_may_not_push_another_off_its_bed(garden):
    one_place_bed(garden, "Only")
    flock(garden, birds=2, days=2)
    flock(garden, name="Pen B", birds=2, days=2)
    search = found(garden, planned(garden))
    # Two pens, one place: whatever is done with one batch, short of another bed, the other has none.
    assert search.off.count == 2
    kinds = {cure.changes[0]["kind"] for cure in search.cures() if cure.left == 0}
    assert kinds == {"bed"}


def test_what_saves_most_comes_first_and_the_smallest_of_those_alike(garden):
    one_place_bed(garden, "Bed 1")
    flock(garden, birds=9, days=4)
    cures = found(garden, planned(garden)).cures()
    assert [cure.saved for cure in cures] == sorted((cure.saved for cure in cures), reverse=True)
    assert cures[0].left == 0
    alike = [cure.share for cure in cures if cure.saved == cures[0].saved]
    assert alike == sorted(alike)


def test_a_plan_without_days_off_has_nothing_to_cure(viewer, garden):
    one_place_bed(garden, "Bed 1")
    flock(garden, birds=1, days=2)
    planned(garden)
    told = viewer.get(reverse("plan_cures", args=[garden.pk])).content.decode()
    assert "No pen has to stand off the beds." in told


def test_a_search_goes_on_step_by_step_and_is_kept(viewer, garden, monkeypatch):
    monkeypatch.setattr("rotation.views.why.STEP_SECONDS", 0)
    monkeypatch.setattr("rotation.views.why.PAGE_SECONDS", 0)
    one_place_bed(garden, "Bed 1")
    flock(garden, birds=9, days=2)
    planned(garden)
    place = reverse("plan_cures", args=[garden.pk])
    page = viewer.get(place).content.decode()
    assert "Look further" in page
    assert 'hx-trigger="load"' in page
    steps = 0
    while 'hx-trigger="load"' in page:
        answer = viewer.get(place, headers={"HX-Request": "true"})
        page, steps = answer.content.decode(), steps + 1
        assert "<html" not in page
        assert steps < 100
    assert steps > 5
    assert "birds instead of 9" in page
    assert "Saves the day." in page


def test_a_helper_sees_the_plan_of_a_cure_with_one_tap_and_a_viewer_only_reads(
    helper, viewer, garden
):
    one_place_bed(garden, "Bed 1")
    flock(garden, birds=9, days=2)
    search = found(garden, planned(garden))
    place = reverse("plan_cures", args=[garden.pk])
    assert "See the plan" not in viewer.get(place).content.decode()
    told = helper.get(place).content.decode()
    assert told.count("See the plan") == len(search.cures())
    offered = re.search(r'name="changes" value="([^"]+)"', told)[1]
    answer = helper.post(
        reverse("what_if_try", args=[garden.pk]), {"changes": html.unescape(offered)}, follow=True
    )
    assert answer.status_code == 200
    [kept] = WhatIf.objects.of(garden)
    assert kept.changes == search.cures()[0].changes


def test_the_changed_plan_leaves_no_more_days_off_than_its_cure_told(garden):
    for number in range(3):
        one_place_bed(garden, f"Bed {number}", x_m=3.0 * number)
    flock(garden, birds=9, days=4)
    flock(garden, name="Long pen", birds=6, days=4, length_mm=1190)
    plan = planned(garden)
    facts, told = facts_of(garden, TODAY), list(current_plan(garden).stays.all())
    cures = found(garden, plan).cures()
    assert cures
    for cure in cures:
        changed = apply(facts, read_changes(cure.changes))
        answer = changed_plan(facts, changed, told, Effort(rounds=15))
        assert days_off_in(answer.stays, TODAY) <= cure.left
        assert answer.lower_bound <= answer.cost == pytest.approx(answer.items.total)


def test_a_search_of_another_plan_begins_anew(garden):
    one_place_bed(garden, "Bed 1")
    flock(garden, birds=9, days=2)
    search = found(garden, planned(garden))
    assert search.is_done
    planned(garden)
    assert not CureSearch(facts_of(garden, TODAY), current_plan(garden)).is_done


@pytest.mark.parametrize(
    ("leaves", "smallest"),
    [
        ([3, 3, 2, 1, 0, 0, 0], 4),
        ([3, 3, 2, 1, 1, 1], 3),  # none saves all: the smallest that saves as much as the largest
        ([0], 0),
        ([3, 3, 3], None),
        ([], None),
    ],
)
def test_the_smallest_size_is_found_with_few_plans(leaves, smallest):
    left = climbed(len(leaves), leaves.__getitem__, 3)
    assert best_size(left, 3) == smallest
    assert len(left) <= 4


def test_a_date_that_need_not_help_the_more_the_later_is_looked_for_step_by_step():
    leaves = [4, 4, 4, 4, 2, 0, 0, 3, 3, 3]
    left = climbed(10, leaves.__getitem__, 4, coarse=(2, 6, 9))
    assert set(left) == {2, 6, 4, 5}
    assert best_size(left, 4) == 5
    assert next_size(10, left, 4, (2, 6, 9)) is None
