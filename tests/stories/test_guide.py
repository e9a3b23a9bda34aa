"""The first run: from nothing to beds and pens."""

import re

import pytest
from django.test import Client

from garden.actions import US_FEED_BAG_KG, garden_create
from garden.crops_reference import crop_table
from garden.models import Garden, Planting
from tests.factories import BedFactory, CropFactory, GardenFactory, UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def newcomer(db):
    client = Client()
    client.force_login(UserFactory(username="nora"))
    return client


def test_a_newcomer_is_told_what_to_do_first(newcomer):
    page = newcomer.get("/").content.decode()

    assert "Make a garden" in page
    assert 'href="/gardens/new/"' in page


def test_from_nothing_to_birds_in_three_screens(newcomer):
    typed = {"name": "Plot 9", "time_zone": "Europe/Vienna", "unit_system": "metric"}
    beds_page = newcomer.post("/gardens/new/", typed)["Location"]
    garden = Garden.objects.get()
    assert beds_page == f"/g/{garden.pk}/guide/beds/"

    first = newcomer.get(beds_page)
    assert "Screen 1 of 3" in first.content.decode()
    assert "Next: pens" not in first.content.decode()
    shown = {name: first.context["form"][name].value() for name in first.context["form"].fields}
    newcomer.post(beds_page, {name: value for name, value in shown.items() if value})
    assert "4 beds so far" in newcomer.get(beds_page).content.decode()

    pens_page = f"/g/{garden.pk}/guide/pens/"
    second = newcomer.get(pens_page)
    assert "Screen 2 of 3" in second.content.decode()
    pen_form = second.context["pen_form"]
    # The bed is 2400 by 1200 mm inside; 10 mm of clearance on each side leaves this.
    assert pen_form["length_mm"].value() == "2380 mm"
    assert pen_form["width_mm"].value() == "1180 mm"
    shown = {name: pen_form[name].value() or "" for name in pen_form.fields}
    newcomer.post(pens_page, shown | {"add": "pen"})

    [pen] = garden.pens.all()
    # Less 38 mm of framing on each side: 2.304 m by 1.104 m.
    assert (pen.name, pen.floor_m2) == ("Pen A", pytest.approx(2.304 * 1.104))
    third = newcomer.get(pens_page).content.decode()
    assert f'href="/g/{garden.pk}/batches/new/?guide=1"' in third


def test_what_grows_already_is_put_in_on_the_second_screen(garden, owner):
    bed, crop = BedFactory(garden=garden), CropFactory(garden=garden, name="Leek")
    typed = {
        "add": "planting",
        "planted-bed": bed.pk,
        "planted-crop": crop.pk,
        "planted-starts_on": "2026-05-20",
    }

    owner.post(f"/g/{garden.pk}/guide/pens/", typed)

    assert str(Planting.objects.get()) == f"Leek in {bed} from 2026-05-20"
    assert "<bdi>Leek</bdi>" in owner.get(f"/g/{garden.pk}/guide/pens/").content.decode()


@pytest.mark.parametrize("strange", ["bed", "crop"])
def test_the_guide_takes_no_bed_or_crop_of_another_garden(garden, owner, strange):
    elsewhere = GardenFactory()
    bed = BedFactory(garden=elsewhere if strange == "bed" else garden)
    crop = CropFactory(garden=elsewhere if strange == "crop" else garden)
    typed = {
        "add": "planting",
        "planted-bed": bed.pk,
        "planted-crop": crop.pk,
        "planted-starts_on": "2026-05-20",
    }

    answer = owner.post(f"/g/{garden.pk}/guide/pens/", typed)

    assert answer.status_code == 422
    assert answer.context["planted_form"].errors.keys() == {strange}


def test_a_mistake_in_the_pen_leaves_the_planting_alone(garden, owner):
    BedFactory(garden=garden)

    answer = owner.post(
        f"/g/{garden.pk}/guide/pens/",
        {"add": "pen", "name": "Pen A", "length_mm": "x", "width_mm": "1180"},
    )

    page = answer.content.decode()
    assert answer.status_code == 422
    assert page.count('class="summary"') == 1
    assert 'value="x"' in page


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"name": ""}, "name"),
        ({"time_zone": "Mars/Base"}, "time_zone"),
        ({"unit_system": "old"}, "unit_system"),
    ],
)
def test_a_garden_needs_a_name_a_place_and_units(newcomer, changed, field):
    typed = {"name": "Plot 9", "time_zone": "UTC", "unit_system": "metric"} | changed

    answer = newcomer.post("/gardens/new/", typed)

    assert answer.status_code == 422
    assert answer.context["form"].errors.keys() == {field}
    assert "data-guess-zone" not in answer.content.decode()
    assert not Garden.objects.exists()


def test_a_new_garden_has_every_crop_with_its_source():
    garden = garden_create(
        user=UserFactory(), name="Plot", time_zone="America/Chicago", unit_system="us"
    )

    crops = {crop.name: crop for crop in garden.crops.all()}
    assert crops.keys() == crop_table().keys()
    assert all(crop.source for crop in crops.values())
    assert max(len(crop.source) for crop in crops.values()) <= 200
    for crop in crops.values():
        crop.full_clean()
    assert crops["Cabbage"].nitrogen_kg_ha == crop_table()["Cabbage"].nitrogen_kg_ha
    assert "(from memory)" in crops["Cabbage"].source
    assert garden.feed_bag_kg == US_FEED_BAG_KG


def test_the_guide_is_for_owners(garden, helper, stranger):
    for page in ("beds", "pens"):
        assert helper.get(f"/g/{garden.pk}/guide/{page}/").status_code == 403
        assert stranger.get(f"/g/{garden.pk}/guide/{page}/").status_code == 404


def test_a_member_of_two_gardens_chooses(owner, garden):
    other = garden_create(user=owner.user, name="Second", time_zone="UTC", unit_system="metric")

    page = owner.get("/").content.decode()

    assert set(re.findall(r'href="/g/(\d+)/"', page)) == {str(garden.pk), str(other.pk)}
