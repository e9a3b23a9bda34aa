"""Crops in beds, and the garden's own figures of each crop."""

import re
from datetime import date

import pytest

from garden.models import Crop, Planting
from tests.factories import BedFactory, CropFactory, GardenFactory, PlantingFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def bed(garden):
    return BedFactory(garden=garden, name="Bed 1")


@pytest.fixture
def carrot(garden):
    return CropFactory(garden=garden, name="Carrot", days_to_harvest=60, harvest_days=41)


def address(garden, rest: str) -> str:
    return f"/g/{garden.pk}/beds/{rest}"


def test_a_helper_plants_and_blank_days_come_from_the_crop(garden, helper, bed, carrot):
    typed = {"crop": carrot.pk, "starts_on": "2026-06-01", "first_harvest_on": "", "ends_on": ""}
    answer = helper.post(address(garden, f"{bed.pk}/plantings/new/"), typed)

    planting = Planting.objects.get()
    assert answer["Location"] == address(garden, f"{bed.pk}/")
    # 60 days after 1 June is 31 July; 41 days of picking end on 10 September.
    assert planting.first_harvest_on == date(2026, 7, 31)
    assert planting.ends_on == date(2026, 9, 10)


def test_days_that_are_given_win(garden, helper, bed, carrot):
    typed = {
        "crop": carrot.pk,
        "starts_on": "2026-06-01",
        "first_harvest_on": "2026-08-10",
        "ends_on": "2026-08-20",
    }
    helper.post(address(garden, f"{bed.pk}/plantings/new/"), typed)

    planting = Planting.objects.get()
    assert (planting.first_harvest_on, planting.ends_on) == (date(2026, 8, 10), date(2026, 8, 20))


@pytest.mark.parametrize(
    ("changed", "field", "told"),
    [
        ({"crop": ""}, "crop", "required"),
        ({"starts_on": ""}, "starts_on", "required"),
        ({"starts_on": "1 June"}, "starts_on", "valid date"),
        ({"first_harvest_on": "2026-05-01"}, "first_harvest_on", "before the planting"),
        ({"ends_on": "2026-07-31"}, "ends_on", "only after the first harvest"),
        ({"starts_on": "9999-12-31"}, "starts_on", "between 1996 and 2036"),
        ({"first_harvest_on": "soon"}, "first_harvest_on", "valid date"),
    ],
)
def test_a_mistake_is_told_beside_its_field(garden, helper, bed, carrot, changed, field, told):
    typed = {"crop": carrot.pk, "starts_on": "2026-06-01"} | changed

    answer = helper.post(address(garden, f"{bed.pk}/plantings/new/"), typed)

    assert answer.status_code == 422
    assert answer.context["form"].errors.keys() == {field}
    assert told in str(answer.context["form"].errors[field])
    assert not Planting.objects.exists()


def test_two_crops_in_one_bed_are_allowed_and_said(garden, helper, bed, carrot):
    lettuce = CropFactory(garden=garden, name="Lettuce")
    PlantingFactory(bed=bed, crop=lettuce, starts_on=date(2026, 4, 20))  # clear on 9 July

    typed = {"crop": carrot.pk, "starts_on": "2026-06-01"}
    answer = helper.post(address(garden, f"{bed.pk}/plantings/new/"), typed, follow=True)

    told = [str(message) for message in answer.context["messages"]]
    assert told == [
        "Lettuce shares the bed from Mon 1 June to Thu 9 July. Two crops in one place are allowed."
    ]


def test_a_crop_that_follows_another_on_the_day_it_clears_shares_nothing(
    garden, helper, bed, carrot
):
    earlier = PlantingFactory(bed=bed, starts_on=date(2026, 4, 20))

    typed = {"crop": carrot.pk, "starts_on": earlier.ends_on.isoformat()}
    answer = helper.post(address(garden, f"{bed.pk}/plantings/new/"), typed, follow=True)

    assert list(answer.context["messages"]) == []


def test_a_crop_that_clears_the_day_another_begins_shares_nothing(garden, helper, bed, carrot):
    later = PlantingFactory(bed=bed, starts_on=date(2026, 9, 10))

    # 60 days to the first harvest and 41 of picking: clear on 10 September.
    typed = {"crop": carrot.pk, "starts_on": "2026-06-01"}
    answer = helper.post(address(garden, f"{bed.pk}/plantings/new/"), typed, follow=True)

    assert list(answer.context["messages"]) == []
    assert later.starts_on == Planting.objects.get(crop=carrot).ends_on


def test_a_planting_is_changed(garden, helper, bed, carrot):
    planting = PlantingFactory(bed=bed, crop=carrot)
    form = helper.get(address(garden, f"plantings/{planting.pk}/edit/")).context["form"]
    shown = {name: form[name].value() for name in form.fields}

    helper.post(
        address(garden, f"plantings/{planting.pk}/edit/"), shown | {"ends_on": "2026-08-30"}
    )

    planting.refresh_from_db()
    assert planting.ends_on == date(2026, 8, 30)


def test_a_removed_planting_comes_back_by_undo(garden, helper, bed):
    planting = PlantingFactory(bed=bed)

    helper.post(address(garden, f"plantings/{planting.pk}/remove/"))
    assert not Planting.objects.exists()

    page = helper.get(address(garden, "crops/")).content.decode()
    helper.post(re.search(rf"/g/{garden.pk}/undo/\d+/", page)[0])
    assert Planting.objects.get().starts_on == planting.starts_on


def test_a_grass_strip_takes_no_crop(garden, helper):
    strip = BedFactory(garden=garden, kind="turf")

    assert helper.get(address(garden, f"{strip.pk}/plantings/new/")).status_code == 404


def test_crops_and_beds_of_another_garden_are_out_of_reach(garden, helper, bed):
    foreign = PlantingFactory(bed__garden=GardenFactory())

    posted = {"crop": foreign.crop.pk, "starts_on": "2026-06-01"}
    answer = helper.post(address(garden, f"{bed.pk}/plantings/new/"), posted)

    assert answer.status_code == 422
    assert "crop" in answer.context["form"].errors
    assert helper.get(address(garden, f"{foreign.bed.pk}/plantings/new/")).status_code == 404
    assert helper.get(address(garden, f"plantings/{foreign.pk}/edit/")).status_code == 404
    assert helper.post(address(garden, f"plantings/{foreign.pk}/remove/")).status_code == 404
    assert Planting.objects.count() == 1


def test_a_viewer_reads_the_crops_and_plants_nothing(garden, viewer, stranger, bed, carrot):
    page = viewer.get(address(garden, "crops/")).content.decode()

    assert "Carrot" in page
    assert "Add a crop" not in page
    posted = {"crop": carrot.pk, "starts_on": "2026-06-01"}
    assert viewer.post(address(garden, f"{bed.pk}/plantings/new/"), posted).status_code == 403
    assert stranger.get(address(garden, "crops/")).status_code == 404


def test_an_owner_puts_in_a_figure_of_the_gardens_own(garden, owner, carrot):
    carrot.source = "a book"
    carrot.save()
    form = owner.get(address(garden, f"crops/{carrot.pk}/edit/")).context["form"]
    shown = {name: form[name].value() or "" for name in form.fields}

    owner.post(address(garden, f"crops/{carrot.pk}/edit/"), shown)
    carrot.refresh_from_db()
    assert carrot.source == "a book"

    owner.post(address(garden, f"crops/{carrot.pk}/edit/"), shown | {"nitrogen_kg_ha": "99"})
    carrot.refresh_from_db()
    assert (carrot.nitrogen_kg_ha, carrot.source) == (99, "this garden's own figure")


def test_an_owner_adds_a_crop_once(garden, owner, carrot):
    typed = {
        "name": "Sea kale",
        "nitrogen_kg_ha": "80",
        "contact": "touches",
        "days_to_harvest": "120",
        "harvest_days": "30",
    }

    assert owner.post(address(garden, "crops/new/"), typed).status_code == 302
    clash = owner.post(address(garden, "crops/new/"), typed | {"name": "carrot"})

    assert Crop.objects.get(name="Sea kale").source == "this garden's own figure"
    assert "already has a crop called “Carrot”" in clash.content.decode()


def test_a_helper_may_not_change_crops(garden, helper, carrot):
    assert helper.get(address(garden, f"crops/{carrot.pk}/edit/")).status_code == 403
    assert helper.get(address(garden, "crops/new/")).status_code == 403
