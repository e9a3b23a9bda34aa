"""The plan changed by hand on its pages: by form, lock and swap, and days on which a bed is not to be had."""

from datetime import timedelta

import pytest
from django.urls import reverse

from garden.models import Garden, UndoStep
from rotation.day_sheet import place_key
from rotation.facts import facts_of
from rotation.ground import stretches
from rotation.models import Closure, PinnedStay, Plan
from rotation.told import ground_fingerprint
from tests.conftest import TODAY
from tests.factories import (
    ClosureFactory,
    PinnedStayFactory,
    PlannedStayFactory,
    PlantingFactory,
    StayFactory,
)
from tests.stories.small_plans import bed, day, flock, pin, told
from tests.stories.test_board_edits import add_stay, told_plan

pytestmark = pytest.mark.django_db


@pytest.fixture
def scene(garden: Garden, settings):
    """Return a roomy garden with three beds and a pen that is told to stand on two of them."""
    settings.PLAN_SECONDS = 0.3
    garden.annual_limit_kg_ha, garden.rest_days = 5000, 3
    garden.save()
    beds = [bed(garden, name, x_m=3 * x) for x, name in enumerate(("One", "Two", "Three"))]
    batch = flock(garden, name="Pen A")
    plan = told_plan(batch, (beds[0], 0, 3), (beds[1], 3, 6))
    plan.ground = ground_fingerprint(facts_of(garden, TODAY))
    plan.save()
    return batch, beds, plan


def key(batch, where) -> str:
    return place_key(where.pk, stretches(where, batch.pens.first(), batch.garden)[0].offset_mm)


def at(name: str, garden: Garden, *ids: int) -> str:
    return reverse(name, args=[garden.pk, *ids])


def asked(batch, where, first: int, days: int, **more: str) -> dict[str, object]:
    return {"place": key(batch, where), "first_day": day(first).isoformat(), "days": days, **more}


def first_stay(plan: Plan):
    return plan.stays.order_by("first_day").first()


def test_a_helper_changes_a_stay_by_its_form_and_takes_it_back(helper, garden, scene) -> None:
    batch, (one, *_), plan = scene
    place = at("stay_change", garden, first_stay(plan).pk)
    told_now = helper.get(place).content.decode()
    assert "One, Fri 12 June to Sun 14 June" in told_now
    assert 'value="2026-06-12"' in told_now
    answer = helper.post(place, asked(batch, one, 0, 4), follow=True)
    page = answer.content.decode()
    assert "Every rule holds. Pen A, Mon 15 June: One instead of Two." in page
    assert "Changed by hand" in page
    assert "Make the rest fit" in page
    assert 'class="stay today locked"' in page
    assert told(Plan.objects.first()) == [("One", 0, 4), ("Two", 4, 6)]
    helper.post(at("undo", garden, UndoStep.objects.latest("pk").pk))
    assert not PinnedStay.objects.exists()
    assert Plan.objects.get() == plan


def test_what_is_wrong_is_said_beside_the_field_and_what_was_typed_is_kept(
    owner, garden, scene
) -> None:
    batch, (one, two, three), plan = scene
    ClosureFactory(bed=three, first_day=day(1), end_day=day(9))
    place = at("stay_change", garden, first_stay(plan).pk)
    answer = owner.post(place, asked(batch, three, 0, 4))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Three, Sat 13 June to Mon 15 June, not to be had until Sat 20 June: hose" in page
    assert f'value="{key(batch, three)}" selected' in page
    assert answer.context["form"].errors.keys() == {"place"}
    assert owner.post(place, asked(batch, one, -2, 3)).context["form"].errors.keys() == {
        "first_day"
    }
    assert owner.post(place, asked(batch, two, 0, 30)).context["form"].errors.keys() == {"days"}
    assert not PinnedStay.objects.exists()


def test_a_change_is_only_tried(owner, garden, scene) -> None:
    batch, (_, _, three), plan = scene
    place = at("stay_change", garden, first_stay(plan).pk)
    answer = owner.post(place, asked(batch, three, 0, 3) | {"try": "1"})
    assert answer.status_code == 200
    page = answer.content.decode()
    assert "Nothing is changed yet" in page
    assert "Three instead of One" in page
    assert Plan.objects.count() == 1


def test_the_rest_is_made_to_fit_round_a_stay_that_only_others_are_in_the_way_of(
    owner, garden, scene
) -> None:
    batch, (_, two, _), plan = scene
    place = at("stay_change", garden, first_stay(plan).pk)
    # The pen is told to come to Two on the day after, and a place rests three days.
    answer = owner.post(place, asked(batch, two, 0, 2))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "less than 3 days of rest" in page
    assert "Lock it and make the rest fit" in page
    answer = owner.post(place, asked(batch, two, 0, 2, fit="1"), follow=True)
    assert "Planned again." in answer.content.decode()
    assert PinnedStay.objects.get().bed == two
    assert told(Plan.objects.first())[0] == ("Two", 0, 2)


def test_the_script_is_told_by_the_same_rules(owner, garden, scene) -> None:
    batch, (one, two, _), plan = scene
    place = at("stay_judge", garden, first_stay(plan).pk)
    good = owner.get(place, asked(batch, one, 0, 4)).json()
    assert (good["holds"], good["said"]) == (True, "Every rule holds.")
    assert good["where"] == "Pen A on One, Fri 12 June to Mon 15 June"
    assert good["changes"] == ["Pen A, Mon 15 June: One instead of Two"]
    bad = owner.get(place, asked(batch, two, 0, 2)).json()
    assert (bad["holds"], bad["fits"]) == (False, True)
    assert owner.get(place, {"place": "x", "first_day": "y", "days": "0"}).json()["holds"] is False
    assert Plan.objects.count() == 1


def test_two_pens_are_swapped_and_both_are_locked(owner, garden, scene) -> None:
    _, (_, _, three), plan = scene
    second = flock(garden, name="Pen B")
    theirs = add_stay(plan, second, second.pens.get(), three, 0, 6)
    mine = first_stay(plan)
    page = owner.get(at("stay_change", garden, mine.pk)).content.decode()
    assert "Pen B on Three, Fri 12 June to Wed 17 June" in page
    owner.post(at("stay_swap", garden, mine.pk), {"swap": theirs.pk})
    now = {(pin.pen.name, pin.bed.name, pin.end_day) for pin in PinnedStay.objects.all()}
    assert now == {("Pen A", "Three", day(3)), ("Pen B", "One", day(6))}
    assert Plan.objects.first().is_by_hand
    again = first_stay(Plan.objects.first())
    answer = owner.post(at("stay_swap", garden, again.pk), {"swap": "999"})
    assert answer.status_code == 422


def test_a_locked_stay_is_unlocked(owner, garden, scene) -> None:
    batch, (one, *_), plan = scene
    stay = first_stay(plan)
    owner.post(at("stay_change", garden, stay.pk), asked(batch, one, 0, 3))
    locked = PinnedStay.objects.get()
    newest = Plan.objects.first()
    page = owner.get(at("stay_change", garden, first_stay(newest).pk)).content.decode()
    assert "It is locked." in page
    owner.post(at("pin_remove", garden, locked.pk))
    assert not PinnedStay.objects.exists()
    assert Plan.objects.first() == newest


def test_an_older_tab_changes_the_same_stay_of_the_newest_plan(owner, garden, scene) -> None:
    batch, (one, two, _), plan = scene
    old_tab = at("stay_change", garden, first_stay(plan).pk)
    other = at("stay_change", garden, plan.stays.get(bed=two).pk)
    owner.post(other, asked(batch, two, 3, 2))
    assert owner.post(old_tab, asked(batch, one, 0, 2)).status_code == 302
    assert PinnedStay.objects.count() == 2
    # A stay that no plan has any more is said to be gone.
    gone = owner.post(old_tab, asked(batch, one, 0, 1), follow=True).content.decode()
    assert "The plan has changed meanwhile" in gone
    assert PinnedStay.objects.filter(end_day=day(2)).exists()


def test_a_lock_that_life_has_broken_is_told_with_its_ways_out(
    owner, viewer, garden, scene
) -> None:
    batch, (_, _, three), _ = scene
    fixed = pin(batch, three, day(2), day(4))
    PlantingFactory(bed=three, starts_on=day(0), first_harvest_on=day(40), ends_on=day(60))
    page = owner.get(at("plan", garden)).content.decode()
    assert "One lock that no plan can keep" in page
    assert "Pen A on Three, Sun 14 June to Mon 15 June: the bed is not open to birds" in page
    assert at("pin_change", garden, fixed.pk) in page
    assert at("pin_remove", garden, fixed.pk) in page
    assert at("pin_remove", garden, fixed.pk) not in viewer.get(at("plan", garden)).content.decode()
    form = owner.get(at("pin_change", garden, fixed.pk))
    assert "Locked, but no plan can have it so" in form.content.decode()
    owner.post(at("pin_change", garden, fixed.pk), asked(batch, three, 2, 2))
    assert PinnedStay.objects.get() == fixed
    _, (one, _, _), _ = scene
    assert (
        owner.post(at("pin_change", garden, fixed.pk), asked(batch, one, 0, 3)).status_code == 302
    )
    assert PinnedStay.objects.get().bed == one


def test_a_bed_is_closed_and_the_plan_goes_round_it(helper, garden, scene) -> None:
    _, (one, *_), _ = scene
    page = helper.get(at("closure_new", garden) + f"?bed={one.pk}").content.decode()
    assert f'value="{one.pk}" selected' in page
    sent = {"bed": one.pk, "first_day": day(0), "last_day": day(6), "why": "hose broken"}
    told_now = helper.post(at("closure_new", garden), sent, follow=True).content.decode()
    assert "Not to be had Fri 12 June" in told_now or "not to be had Fri 12 June" in told_now
    assert "hose broken" in told_now
    assert Closure.objects.get().end_day == day(7)
    assert "One" not in {name for name, *_ in told(Plan.objects.first())}
    assert "Not to be had" in helper.get(at("bed", garden, one.pk)).content.decode()
    assert "Not to be had" in helper.get(at("beds", garden)).content.decode()


def test_days_of_a_closure_are_checked_and_changed(owner, garden, scene) -> None:
    _, (one, *_), _ = scene
    wrong = {"bed": one.pk, "first_day": day(4), "last_day": day(2), "why": "x"}
    answer = owner.post(at("closure_new", garden), wrong)
    assert answer.status_code == 422
    assert answer.context["form"].errors["last_day"] == ["That is before the first day."]
    past = wrong | {"first_day": day(-9), "last_day": day(-2)}
    assert owner.post(at("closure_new", garden), past).context["form"].errors.keys() == {"last_day"}
    closure = ClosureFactory(bed=one)
    place = at("closure_edit", garden, closure.pk)
    assert 'value="2026-06-26"' in owner.get(place).content.decode()
    owner.post(place, wrong | {"last_day": day(30)})
    closure.refresh_from_db()
    assert closure.end_day == day(31)
    owner.post(at("closure_remove", garden, closure.pk))
    assert not Closure.objects.exists()
    owner.post(at("undo", garden, UndoStep.objects.latest("pk").pk))
    assert Closure.objects.get().end_day == day(31)


def test_rows_of_another_garden_are_neither_found_nor_chosen(owner, garden, scene) -> None:
    batch, (one, *_), plan = scene
    theirs = bed(Garden.objects.create(name="Elsewhere"), "Theirs")
    sent = {"bed": theirs.pk, "first_day": day(0), "last_day": day(3)}
    assert owner.post(at("closure_new", garden), sent).status_code == 422
    mine = at("stay_change", garden, first_stay(plan).pk)
    wrong = asked(batch, one, 0, 3) | {"place": f"{theirs.pk}:40"}
    assert owner.post(mine, wrong).status_code == 422
    foreign = PlannedStayFactory()
    for name in ("stay_change", "stay_judge"):
        assert owner.get(at(name, garden, foreign.pk)).status_code == 404
    assert owner.post(at("pin_remove", garden, PinnedStayFactory().pk)).status_code == 404
    assert owner.post(at("closure_remove", garden, ClosureFactory().pk)).status_code == 404


def test_who_only_looks_finds_no_way_to_change(viewer, garden, scene) -> None:
    _, _, plan = scene
    page = viewer.get(at("plan", garden)).content.decode()
    assert "data-stay" not in page
    assert "board-data" not in page
    assert "A bed is not to be had" not in page
    assert viewer.get(at("stay_change", garden, first_stay(plan).pk)).status_code == 403


def test_every_stay_of_the_list_can_be_changed_without_script(owner, garden, scene) -> None:
    batch, (one, two, _), plan = scene
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=one, offset_mm=40, stretch_mm=1170,
        first_day=TODAY - timedelta(days=1),
    )  # fmt: skip
    page = owner.get(at("plan", garden)).content.decode()
    lists = page[page.index('id="moves"') :]
    assert "stays on" in lists
    for where in (one, two):
        assert at("stay_change", garden, plan.stays.get(bed=where).pk) in lists


def test_a_pen_that_stands_between_two_places_is_kept_longer_where_it_is(
    owner, garden, scene
) -> None:
    batch, (one, *_), plan = scene
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=one, offset_mm=5, stretch_mm=1170,
        first_day=TODAY - timedelta(days=1),
    )  # fmt: skip
    plan.stays.filter(bed=one).update(offset_mm=5)
    place = at("stay_change", garden, first_stay(plan).pk)
    assert f'value="{one.pk}:5" selected' in owner.get(place).content.decode()
    assert f'"key": "{one.pk}:5"' in owner.get(at("plan", garden)).content.decode()
    sent = asked(batch, one, 0, 4) | {"place": f"{one.pk}:5"}
    assert owner.post(place, sent).status_code == 302
    assert told(Plan.objects.first()) == [("One", 0, 4), ("Two", 4, 6)]


def test_a_pen_too_full_is_told_with_its_cure(owner, garden, scene) -> None:
    garden.density_limit_kg_m2 = 1
    garden.save()
    page = owner.get(at("plan", garden)).content.decode()
    assert "Pen A</bdi> is crowded" in page
    assert "A second pen, or processing some of them young, cures it." in page


def test_judging_is_cheap(owner, garden, scene, django_assert_max_num_queries) -> None:
    batch, (one, *_), plan = scene
    for number in range(30):
        bed(garden, f"More {number}", x_m=number)
    with django_assert_max_num_queries(20):
        owner.get(at("stay_judge", garden, first_stay(plan).pk), asked(batch, one, 0, 4))
