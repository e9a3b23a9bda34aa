"""Adding beds, one or several alike, changing them and giving them up."""

import re

import pytest

from garden import giving_up
from garden.models import Bed
from tests.factories import BedFactory, GardenFactory, PlantingFactory

pytestmark = pytest.mark.django_db

TYPED = {
    "name": "Bed",
    "count": "3",
    "kind": "raised",
    "length_mm": "3.6 m",
    "width_mm": "120",
    "height_mm": "",
    "x_m": "",
    "y_m": "",
}


def address(garden, rest: str) -> str:
    return f"/g/{garden.pk}/beds/{rest}"


def test_an_owner_adds_three_beds_alike_and_undoes_them_at_once(garden, owner):
    assert owner.post(address(garden, "new/"), TYPED).status_code == 302

    beds = garden.beds.all()
    assert [bed.name for bed in beds] == ["Bed 1", "Bed 2", "Bed 3"]
    assert {(bed.length_mm, bed.width_mm, bed.height_mm) for bed in beds} == {(3600, 1200, 0)}
    assert [(bed.x_m, bed.y_m) for bed in beds] == [(0, 0), (1.8, 0), (3.6, 0)]

    page = owner.get(address(garden, "new/")).content.decode()
    assert "Bed 1 to Bed 3 added" in page
    owner.post(re.search(rf"/g/{garden.pk}/undo/\d+/", page)[0])
    assert not garden.beds.exists()


def test_adding_a_bed_cannot_be_undone_once_somebody_has_planted_it(garden, owner):
    owner.post(address(garden, "new/"), TYPED)
    page = owner.get(address(garden, "new/")).content.decode()
    planting = PlantingFactory(bed=garden.beds.first())

    undone = owner.post(re.search(rf"/g/{garden.pk}/undo/\d+/", page)[0], follow=True)

    assert "cannot be undone" in undone.content.decode()
    assert garden.beds.count() == 3
    planting.refresh_from_db()


def test_numbers_in_use_are_left_out(garden, owner):
    BedFactory(garden=garden, name="bed 2")

    owner.post(address(garden, "new/"), TYPED)

    assert [bed.name for bed in garden.beds.all()] == ["bed 2", "Bed 1", "Bed 3", "Bed 4"]


def test_one_bed_takes_its_name_and_place_as_given(garden, owner):
    typed = TYPED | {
        "name": "By the wall",
        "count": "1",
        "x_m": "4.5",
        "y_m": "2",
        "lies_across": "on",
    }
    owner.post(address(garden, "new/"), typed)

    bed = Bed.objects.get()
    assert (bed.name, bed.x_m, bed.y_m, bed.lies_across) == ("By the wall", 4.5, 2, True)


def test_a_garden_in_us_units_reads_plain_numbers_in_feet(owner, garden):
    garden.unit_system = "us"
    garden.save()

    owner.post(address(garden, "new/"), TYPED | {"length_mm": "8", "width_mm": "3 ft 10 1/2 in"})

    assert garden.beds.first().length_mm == pytest.approx(2438.4)
    assert garden.beds.first().width_mm == pytest.approx(1181.1)


@pytest.mark.parametrize(
    ("changed", "field", "told"),
    [
        ({"name": "Herbs", "count": "1"}, "name", "already has a bed called “Herbs”"),
        ({"name": "herbs", "count": "1"}, "name", "already has a bed called “Herbs”"),
        ({"name": ""}, "name", "This field is required"),
        ({"name": "x" * 40}, "name", "so that a number fits behind"),
        ({"count": "0"}, "count", "greater than or equal to 1"),
        ({"count": "51"}, "count", "less than or equal to 50"),
        ({"count": "two"}, "count", "Enter a whole number"),
        ({"length_mm": "long"}, "length_mm", "Give a length, for example"),
        ({"length_mm": "15 cm"}, "length_mm", "at least 20 cm"),
        ({"length_mm": "80"}, "length_mm", "the longer side as the length"),
        ({"width_mm": "-3"}, "width_mm", "not below zero"),
        ({"x_m": "3"}, "y_m", "Give both distances, or neither"),
        ({"kind": "tub"}, "kind", "Select a valid choice"),
    ],
)
def test_a_mistake_is_told_beside_its_field(garden, owner, changed, field, told):
    BedFactory(garden=garden, name="Herbs")

    answer = owner.post(address(garden, "new/"), TYPED | changed)

    assert answer.status_code == 422
    assert told in str(answer.context["form"].errors[field])
    assert garden.beds.count() == 1
    for name, typed in changed.items():
        assert answer.context["form"][name].value() == typed


def test_another_garden_may_have_a_bed_of_the_same_name(garden, owner):
    BedFactory(garden=GardenFactory(), name="Herbs")

    owner.post(address(garden, "new/"), TYPED | {"name": "Herbs", "count": "1"})

    assert garden.beds.get().name == "Herbs"


def test_an_owner_renames_a_bed_and_keeps_its_size(garden, owner):
    bed = BedFactory(garden=garden, name="Bed 1", length_mm=2438.4, width_mm=1219.2)
    form = owner.get(address(garden, f"{bed.pk}/edit/")).context["form"]
    shown = {name: form[name].value() or "" for name in form.fields} | {"name": "South bed"}

    answer = owner.post(address(garden, f"{bed.pk}/edit/"), shown)

    bed.refresh_from_db()
    assert answer["Location"] == address(garden, f"{bed.pk}/")
    assert (bed.name, bed.length_mm, bed.width_mm) == ("South bed", 2438.4, 1219.2)


def test_a_bed_is_given_up_and_its_name_is_not_free(garden, owner):
    bed = BedFactory(garden=garden, name="Old")

    assert owner.post(address(garden, f"{bed.pk}/retire/")).status_code == 302
    clash = owner.post(address(garden, "new/"), TYPED | {"name": "Old", "count": "1"})

    assert not garden.beds.in_use().exists()
    assert "was given up" in clash.content.decode()
    assert owner.get(address(garden, f"{bed.pk}/edit/")).status_code == 404


def test_a_bed_that_a_floor_above_needs_is_kept_and_the_reason_told(garden, owner, monkeypatch):
    bed = BedFactory(garden=garden, name="Bed 4")
    monkeypatch.setattr(giving_up, "_questions", [lambda row, on: [f"Pen A stands on {row} now."]])

    answer = owner.post(address(garden, f"{bed.pk}/retire/"), follow=True)

    assert "Pen A stands on Bed 4 now." in answer.content.decode()
    assert garden.beds.in_use().exists()


@pytest.mark.parametrize("who", ["helper", "viewer"])
def test_beds_are_an_owners_business(garden, request, who):
    client, bed = request.getfixturevalue(who), BedFactory(garden=garden)

    assert client.post(address(garden, "new/"), TYPED).status_code == 403
    assert client.get(address(garden, f"{bed.pk}/edit/")).status_code == 403
    assert client.post(address(garden, f"{bed.pk}/retire/")).status_code == 403


def test_a_bed_of_another_garden_is_not_found(garden, owner, stranger):
    foreign = BedFactory(garden=GardenFactory())

    assert owner.get(address(garden, f"{foreign.pk}/edit/")).status_code == 404
    assert owner.post(address(garden, f"{foreign.pk}/retire/")).status_code == 404
    assert stranger.post(address(garden, "new/"), TYPED).status_code == 404
    foreign.refresh_from_db()
    assert foreign.retired_on is None
