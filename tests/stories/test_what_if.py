"""What if: changes tried in a copy of the garden, shown beside the plan as it is, and made so or dropped."""

import json
import re
from datetime import date, timedelta

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from flocks.models import Batch
from garden.models import Bed, Garden
from rotation.models import Plan, WhatIf
from rotation.planning import Effort, current_plan, plan_again
from rotation.what_if_actions import CannotAcceptError, what_if_accept
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    ClosureFactory,
    CropFactory,
    PenFactory,
    PlantingFactory,
    ProcessingFactory,
    WhatIfFactory,
    processed_sooner,
)

TODAY = date(2026, 6, 12)
HTMX = {"HX-Request": "true"}
PICKED = {"starts_on": date(2026, 3, 1), "first_harvest_on": date(2026, 5, 20)}
pytestmark = pytest.mark.django_db


def day(offset: int) -> date:
    """Return a day counted from today."""
    return TODAY + timedelta(days=offset)


def flock(garden: Garden, name: str, *, out: int = 0, end: int = 4, birds: int = 4) -> Batch:
    """Return birds that are in the garden on days `out` to `end` from today, hatched 28 days before."""
    batch = BatchFactory(
        garden=garden,
        name=name,
        hatch_on=day(out - 28),
        leaves_brooder_on=day(out),
        processing_on=day(end),
        chicks=birds,
    )
    pen = PenFactory(garden=garden, name=f"Pen of {name}")
    BatchPenFactory(batch=batch, pen=pen, birds=birds)
    return batch


def small_bed(garden: Garden, name: str, **fields: float) -> Bed:
    """Return a bed with one place for the usual pen: 24 g of nitrogen a year."""
    return BedFactory(garden=garden, name=name, length_mm=1200, width_mm=1200, **fields)


def planned(garden: Garden) -> Plan:
    """Plan the garden as it is."""
    return plan_again(garden=garden, on=TODAY, effort=Effort(rounds=10))


def tried(client: Client, garden: Garden, *changes: dict[str, object], name: str = "") -> WhatIf:
    """Try changes as another page offers them, and return the what-if."""
    answer = client.post(
        reverse("what_if_try", args=[garden.pk]), {"changes": json.dumps(changes), "name": name}
    )
    assert answer.status_code == 302, answer.content.decode()
    return WhatIf.objects.latest("pk")


def at(name: str, row: WhatIf) -> str:
    """Return an address of a what-if."""
    return reverse(name, args=[row.garden_id, row.pk])


def words(answer: HttpResponse) -> str:
    """Return a page as a reader sees it, without tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def take_back(client: Client, garden: Garden) -> None:
    """Press Undo."""
    page = client.get(reverse("what_ifs", args=[garden.pk])).content.decode()
    answer = client.post(re.search(rf"/g/{garden.pk}/undo/\d+/", page)[0], follow=True)
    assert "Undone: " in words(answer), words(answer)


def fewer(batch: Batch, birds: int) -> dict[str, object]:
    """Return the change to so many birds."""
    return {"kind": "birds", "batch": batch.pk, "birds": birds}


def test_fewer_chicks_fit_and_are_made_so_and_taken_back(garden, owner):
    only = small_bed(garden, "Only")
    # Eight birds of four weeks drop 15 g or more a day, so the bed of 24 g is full after one day.
    batch = flock(garden, "Autumn", out=40, end=44, birds=8)
    told = planned(garden)
    row = tried(owner, garden, fewer(batch, 2))
    assert row.name == "Autumn: 2 birds instead of 8"

    shown = owner.get(at("what_if_worked", row))
    assert "Fewer days off the beds" in words(shown)
    compared = shown.context["compared"]
    assert (compared.now.off_bed_days, compared.then.off_bed_days) == (3, 0)
    (line,) = compared.beds
    assert line.bed == only
    assert 0 < line.then_g < 24.48
    assert line.room_now_g == line.room_then_g == pytest.approx(24.48, abs=0.01)

    answer = owner.post(at("what_if_accept", row), follow=True)
    assert "is accepted, and planned" in words(answer)
    batch.refresh_from_db()
    assert (batch.chicks, batch.shares.get().birds) == (2, 2)
    made = current_plan(garden)
    assert made.pk != told.pk
    assert made.because == "“Autumn: 2 birds instead of 8” was accepted"
    assert [stay.bed for stay in made.stays.all()] == [only]
    assert not WhatIf.objects.exists()

    take_back(owner, garden)
    batch.refresh_from_db()
    assert (batch.chicks, batch.shares.get().birds) == (8, 8)
    assert WhatIf.objects.get().name == "Autumn: 2 birds instead of 8"


def test_ground_that_a_change_opens_goes_to_the_pen_that_lacks_it(garden, owner):
    """The large pen is planned first, and would gain a little where the small one gains four days."""
    near, far = small_bed(garden, "Near", x_m=0), small_bed(garden, "Far", x_m=60)
    small_bed(garden, "Third", x_m=2)
    ClosureFactory(bed=far, first_day=TODAY, end_day=day(3))
    crop = PlantingFactory(bed=garden.beds.get(name="Third"), ends_on=day(30), **PICKED)
    # Three birds fill a bed in three days. Two drop less than its room in four.
    large = flock(garden, "Large", birds=3)
    large.pens.update(length_mm=1175)
    small = flock(garden, "Small", birds=2)
    told = planned(garden)
    assert [stay.bed for stay in told.stays.filter(batch=large).order_by("first_day")] == [
        near,
        far,
    ]
    assert [stay.bed for stay in told.stays.filter(batch=small)] == [None]
    row = tried(owner, garden, {"kind": "clear", "planting": crop.pk, "on": TODAY.isoformat()})
    compared = owner.get(at("what_if_worked", row)).context["compared"]
    assert (compared.now.off_bed_days, compared.then.off_bed_days) == (4, 0)


def test_the_plan_that_is_accepted_is_the_one_that_was_shown(garden, owner):
    for number in range(5):
        small_bed(garden, f"Bed {number}", x_m=2 * number)
    batch = flock(garden, "Autumn", out=40, end=48, birds=4)
    planned(garden)
    row = tried(owner, garden, {"kind": "shift", "batch": batch.pk, "days": 10})
    shown = owner.get(at("what_if_worked", row)).context["compared"].then
    owner.post(at("what_if_accept", row))
    made = current_plan(garden)
    places = [(stay.bed_id, stay.first_day, stay.end_day) for stay in shown.stays]
    assert sorted((stay.bed_id, stay.first_day, stay.end_day) for stay in made.stays.all()) == (
        sorted(places)
    )


def test_every_change_that_can_be_written_is_written_in_one_step(garden, owner):
    bed = small_bed(garden, "Bed 1")
    batch = flock(garden, "Autumn", out=40, end=48)
    other = PenFactory(garden=garden, name="Other pen")
    planting = PlantingFactory(
        bed=bed, crop=CropFactory(garden=garden), starts_on=day(-20), ends_on=day(50)
    )
    planned(garden)
    row = tried(
        owner,
        garden,
        {"kind": "shift", "batch": batch.pk, "days": -7},
        {"kind": "process", "batch": batch.pk, "on": day(39).isoformat()},
        {"kind": "pens", "batch": batch.pk, "pens": [other.pk]},
        {"kind": "rule", "name": "rest_days", "value": 21},
        {"kind": "rule", "name": "annual_limit_kg_ha", "value": 120.5},
        {"kind": "clear", "planting": planting.pk, "on": day(5).isoformat()},
        {
            "kind": "bed",
            "kind_of_bed": "turf",
            "length_mm": 6e3,
            "width_mm": 1.5e3,
            "name": "Strip",
        },
        name="All at once",
    )
    shown = owner.get(at("what_if_worked", row)).context["compared"].then
    assert {stay.bed.name for stay in shown.stays if stay.bed} <= {"Bed 1", "Strip"}
    owner.post(at("what_if_accept", row))

    batch.refresh_from_db()
    assert (batch.hatch_on, batch.leaves_brooder_on) == (day(5), day(33))
    assert (batch.processing_on, batch.pens.get()) == (day(39), other)
    garden.refresh_from_db()
    assert (garden.rest_days, garden.annual_limit_kg_ha) == (21, 120.5)
    planting.refresh_from_db()
    assert (planting.first_harvest_on, planting.ends_on) == (day(4), day(5))
    strip = garden.beds.get(name="Strip")
    assert (strip.kind, strip.length_mm) == ("turf", 6000)
    assert {stay.bed for stay in current_plan(garden).stays.all()} <= {bed, strip}

    take_back(owner, garden)
    garden.refresh_from_db()
    batch.refresh_from_db()
    assert (garden.rest_days, batch.hatch_on, garden.beds.count()) == (30, day(12), 1)


def test_what_only_the_grower_can_do_is_said_and_not_written(garden, helper):
    batch = flock(garden, "Spring", birds=10)
    planned(garden)
    part = {"kind": "part_processed", "batch": batch.pk, "on": day(2).isoformat(), "birds": 4}
    row = tried(helper, garden, part)
    page = words(helper.get(at("what_if", row)))
    assert "Process 4 birds of Spring on Sun 14 June and log it that day" in page
    assert "None of this can be written down" in page
    assert "Accept" not in page
    assert "None of these changes" in words(helper.post(at("what_if_accept", row), follow=True))
    assert WhatIf.objects.filter(pk=row.pk).exists()

    both = tried(helper, garden, fewer(batch, 7), *processed_sooner(batch, 1))
    assert "Spring has 3 birds more than that" in words(helper.get(at("what_if", both)))
    answer = words(helper.post(at("what_if_accept", both), follow=True))
    assert "Log them as processed or lost when they go" in answer
    batch.refresh_from_db()
    assert (batch.chicks, batch.processing_on) == (10, day(3))


def test_rules_and_beds_are_for_an_owner_to_accept_and_a_viewer_looks_on(
    garden, owner, helper, viewer, stranger
):
    flock(garden, "Spring")
    planned(garden)
    row = tried(helper, garden, {"kind": "rule", "name": "rest_days", "value": 10})
    assert "takes an owner of the garden" in words(helper.get(at("what_if", row)))
    assert helper.post(at("what_if_accept", row)).status_code == 403
    page = words(viewer.get(at("what_if_worked", row)))
    assert "Side by side" in page
    assert ">Drop it<" not in page
    assert stranger.get(at("what_if", row)).status_code == 404
    assert owner.post(at("what_if_accept", row)).status_code == 302
    garden.refresh_from_db()
    assert garden.rest_days == 10


def test_no_page_waits_for_the_search_but_the_part_that_asks_for_it(garden, owner, monkeypatch):
    small_bed(garden, "Only")
    batch = flock(garden, "Spring")
    planned(garden)
    row = tried(owner, garden, fewer(batch, 2))

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a page searched")

    with monkeypatch.context() as patch:
        patch.setattr("rotation.what_if.changed_plan", refuse)
        page = owner.get(at("what_if", row)).content.decode()
        assert f'hx-get="{at("what_if_worked", row)}"' in page
        assert f'href="{at("what_if_worked", row)}"' in page
    part = owner.get(at("what_if_worked", row), headers=HTMX).content.decode()
    assert part.strip().startswith('<div id="sides"')
    monkeypatch.setattr("rotation.what_if.changed_plan", refuse)
    assert "Nitrogen, bed by bed" in words(owner.get(at("what_if", row)))


def test_a_plan_worked_out_on_another_day_or_ground_is_not_shown(garden, owner, settings):
    small_bed(garden, "Only")
    batch = flock(garden, "Spring")
    planned(garden)
    row = tried(owner, garden, fewer(batch, 2))
    owner.get(at("what_if_worked", row))
    assert owner.get(at("what_if", row)).context["compared"]
    garden.max_stay_days = 3
    garden.save()
    assert owner.get(at("what_if", row)).context["compared"] is None
    owner.get(at("what_if_worked", row))
    settings.PRETEND_TODAY = day(1)
    assert owner.get(at("what_if", row)).context["compared"] is None


def test_a_change_that_can_no_longer_be_says_why(garden, owner):
    small_bed(garden, "Only")
    batch = flock(garden, "Spring")
    planned(garden)
    row = tried(owner, garden, *processed_sooner(batch, 1))
    ProcessingFactory(batch=batch, on=TODAY, count=4)
    batch.finished_on = TODAY
    batch.save()
    for name in ("what_if", "what_if_worked"):
        page = words(owner.get(at(name, row)))
        assert "no such batch with birds to plan for. It can no longer be tried" in page
    answer = owner.post(at("what_if_accept", row), follow=True)
    assert "no such batch" in words(answer)
    listed = words(owner.get(reverse("what_ifs", args=[garden.pk])))
    assert "Something that is no longer there" in listed


def test_two_taps_on_accept_write_once(garden, owner):
    flock(garden, "Spring")
    bed = {"kind": "bed", "kind_of_bed": "turf", "length_mm": 6e3, "width_mm": 2e3, "name": "Strip"}
    row = tried(owner, garden, bed)
    twin = WhatIf.objects.get(pk=row.pk)
    what_if_accept(what_if=row, user=owner.user, on=TODAY)
    # The second tap had read the row, and the garden without the bed, before the first was through.
    garden.beds.update(name="Renamed")
    with pytest.raises(CannotAcceptError, match="already"):
        what_if_accept(what_if=twin, user=owner.user, on=TODAY)
    assert garden.beds.count() == 1
    assert owner.post(at("what_if_accept", twin)).status_code == 404


def test_a_what_if_is_dropped_and_comes_back(garden, helper):
    batch = flock(garden, "Spring")
    row = tried(helper, garden, *processed_sooner(batch, 1))
    helper.post(at("what_if_drop", row))
    assert not WhatIf.objects.exists()
    take_back(helper, garden)
    assert WhatIf.objects.get().changes == row.changes


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ("", "changes: expected JSON"),
        ("[[[", "changes: expected JSON"),
        ("{}", "changes: expected a list"),
        ("[]", "There is no change to try"),
        ('[{"kind": "weather"}]', "changes[0].kind: expected one of birds"),
        ('[{"kind": "rule", "name": "rest_days", "value": 400}]', "less than or equal to 365"),
        ("[" * 100_000, "changes: expected JSON"),
        ("9" * 10_000, "changes: expected JSON"),
        (f'[{{"kind": "clear", "planting": {10**30}, "on": "2026-07-01"}}]', "planting: expected"),
    ],
)
def test_what_is_no_list_of_changes_is_refused_in_a_sentence(garden, owner, sent, said):
    answer = owner.post(reverse("what_if_try", args=[garden.pk]), {"changes": sent})
    assert answer.status_code == 422
    assert said in words(answer)
    assert not WhatIf.objects.exists()


def test_rows_of_another_garden_are_not_found(garden, owner):
    theirs = flock(BedFactory().garden, "Theirs")
    sent = {"changes": json.dumps([fewer(theirs, 2)])}
    assert owner.post(reverse("what_if_try", args=[garden.pk]), sent).status_code == 404
    foreign = WhatIfFactory()
    place = reverse("what_if_accept", args=[garden.pk, foreign.pk])
    assert owner.post(place).status_code == 404


def typed(client: Client, garden: Garden, **changed: object) -> HttpResponse:
    """Open the form, change some fields, and send it."""
    place = reverse("what_if_new", args=[garden.pk])
    form = client.get(place).context["form"]
    sent = {name: form[name].value() for name in form.fields}
    sent = {name: value for name, value in sent.items() if value is not None} | changed
    return client.post(place, sent)


def test_the_form_shows_what_is_and_tries_what_is_typed_otherwise(garden, owner):
    batch = flock(garden, "Autumn", out=40, end=48, birds=8)
    other = PenFactory(garden=garden, name="Other pen")
    planting = PlantingFactory(
        bed=small_bed(garden, "Bed 1"), crop=CropFactory(garden=garden), ends_on=day(90)
    )
    answer = typed(
        owner,
        garden,
        **{
            f"birds_{batch.pk}": 6,
            f"shift_{batch.pk}": 3,
            f"pens_{batch.pk}": [other.pk],
            f"part_birds_{batch.pk}": 2,
            f"part_on_{batch.pk}": day(45).isoformat(),
        },
        rest_days=20,
        bed_length="3 m",
        bed_width="150",
        planting=planting.pk,
        clear_on=day(80).isoformat(),
        name="Many",
    )
    assert answer.status_code == 302
    row = WhatIf.objects.get()
    assert (row.name, row.made_by) == ("Many", owner.user)
    assert [change["kind"] for change in row.changes] == [
        "birds", "shift", "pens", "part_processed", "rule", "bed", "clear",
    ]  # fmt: skip
    assert row.changes[5] == {
        "kind": "bed",
        "kind_of_bed": "raised",
        "length_mm": 3000.0,
        "width_mm": 1500.0,
        "name": "New bed",
    }


def test_the_form_says_what_is_wrong_beside_the_field_and_keeps_what_was_typed(garden, owner):
    batch = flock(garden, "Spring", birds=10)
    nothing = typed(owner, garden)
    assert nothing.status_code == 422
    assert "Change something, and it is tried" in words(nothing)

    more = typed(owner, garden, **{f"birds_{batch.pk}": 12})
    form = more.context["form"]
    assert "there cannot be more by now" in form.errors[f"birds_{batch.pk}"][0]
    assert form[f"birds_{batch.pk}"].value() == "12"

    half = typed(owner, garden, bed_length="3 m", **{f"part_birds_{batch.pk}": 2})
    assert half.context["form"].errors.keys() == {"bed_width", f"part_on_{batch.pk}"}

    order = typed(owner, garden, min_stay_days=9)
    assert "longest stay must not be shorter" in order.context["form"].errors["min_stay_days"][0]
    together = typed(owner, garden, min_stay_days=9, max_stay_days=10)
    assert together.status_code == 302


def test_a_batch_in_the_garden_is_not_put_off(garden, owner):
    batch = flock(garden, "Spring")
    form = owner.get(reverse("what_if_new", args=[garden.pk])).context["form"]
    assert f"shift_{batch.pk}" not in form.fields


def test_a_garden_keeps_so_many_and_lists_them(garden, owner, django_assert_max_num_queries):
    batch = flock(garden, "Spring")
    WhatIfFactory.create_batch(30, garden=garden, changes=processed_sooner(batch, 1))
    with django_assert_max_num_queries(22):
        page = words(owner.get(reverse("what_ifs", args=[garden.pk])))
    assert page.count("Spring processed on Mon 15 June instead of Tue 16 June") == 30
    full = typed(owner, garden, rest_days=20)
    assert (full.status_code, WhatIf.objects.count()) == (422, 30)
    sent = {"changes": json.dumps(processed_sooner(batch, 1))}
    answer = owner.post(reverse("what_if_try", args=[garden.pk]), sent)
    assert "There are 30 what-ifs already" in words(answer)


def test_without_birds_there_is_nothing_to_try(garden, owner, viewer):
    page = words(owner.get(reverse("what_ifs", args=[garden.pk])))
    assert "It needs a batch with birds to plan for" in page
    assert "Try a change" not in page
    flock(garden, "Spring")
    assert "takes a helper or an owner" in words(viewer.get(reverse("what_ifs", args=[garden.pk])))
    assert "Try a change" in words(owner.get(reverse("what_ifs", args=[garden.pk])))


def test_the_page_of_both_plans_asks_the_database_a_few_dozen_questions_at_most(
    garden, owner, django_assert_max_num_queries
):
    for number in range(12):
        small_bed(garden, f"Bed {number}", x_m=2 * number)
    batch = flock(garden, "Spring", end=12, birds=4)
    planned(garden)
    row = tried(owner, garden, *processed_sooner(batch, 2))
    owner.get(at("what_if_worked", row))
    with django_assert_max_num_queries(24):
        owner.get(at("what_if", row))
