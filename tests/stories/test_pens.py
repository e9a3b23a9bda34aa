"""Adding, changing and giving up pens."""

import pytest

from garden import giving_up
from pens.models import Pen
from tests.factories import BedFactory, GardenFactory, PenFactory

pytestmark = pytest.mark.django_db

TYPED = {"name": "Pen A", "length_mm": "2380", "width_mm": "1180", "floor_m2": ""}


def address(garden, rest: str) -> str:
    return f"/g/{garden.pk}/build/pens/{rest}"


def test_an_owner_adds_a_pen_and_the_floor_is_worked_out(garden, owner):
    answer = owner.post(address(garden, "new/"), TYPED)

    assert answer["Location"] == f"/g/{garden.pk}/build/"
    assert Pen.objects.get().floor_m2 == pytest.approx(2.304 * 1.104)


def test_a_floor_that_is_given_is_kept(garden, owner):
    owner.post(address(garden, "new/"), TYPED | {"floor_m2": "2.2"})

    assert Pen.objects.get().floor_m2 == 2.2


def test_the_next_free_name_and_a_size_that_fits_are_suggested(garden, owner):
    BedFactory.create_batch(2, garden=garden, length_mm=3600, width_mm=1200)
    PenFactory(garden=garden, name="pen a")

    form = owner.get(address(garden, "new/")).context["form"]

    assert form["name"].value() == "Pen B"
    # Two along the bed with 10 mm before, between and behind: (3600 - 30) / 2.
    assert (form["length_mm"].value(), form["width_mm"].value()) == ("1785 mm", "1180 mm")


@pytest.mark.parametrize(
    ("changed", "field", "told"),
    [
        ({"name": "OLD"}, "name", "already has a pen called “Old”"),
        ({"length_mm": "1000"}, "length_mm", "longer side"),
        ({"length_mm": "20 cm"}, "length_mm", "at least 300 mm"),
        ({"width_mm": ""}, "width_mm", "required"),
        ({"floor_m2": "3"}, "floor_m2", "larger than the pen"),
        ({"floor_m2": "wide"}, "floor_m2", "Give an area"),
    ],
)
def test_a_mistake_is_told_beside_its_field(garden, owner, changed, field, told):
    PenFactory(garden=garden, name="Old")

    answer = owner.post(address(garden, "new/"), TYPED | changed)

    assert answer.status_code == 422
    assert answer.context["form"].errors.keys() == {field}
    assert told in str(answer.context["form"].errors[field])
    assert Pen.objects.count() == 1


def test_a_pen_is_renamed_and_keeps_its_size(garden, owner):
    pen = PenFactory(garden=garden, length_mm=1174.75, width_mm=1170, floor_m2=1.2001)
    form = owner.get(address(garden, f"{pen.pk}/edit/")).context["form"]
    shown = {name: form[name].value() or "" for name in form.fields} | {"name": "Long pen"}

    assert owner.post(address(garden, f"{pen.pk}/edit/"), shown).status_code == 302

    pen.refresh_from_db()
    assert pen.name == "Long pen"
    assert pen.length_mm == pytest.approx(1174.75, abs=0.5)
    assert pen.floor_m2 == pytest.approx(1.2001, abs=5e-4)


def test_a_pen_is_given_up_unless_it_is_needed(garden, owner, monkeypatch):
    pen = PenFactory(garden=garden, name="Pen A")
    monkeypatch.setattr(giving_up, "_questions", [lambda row, on: [f"Birds live in {row}."]])
    kept = owner.post(address(garden, f"{pen.pk}/retire/"), follow=True)
    assert "Birds live in Pen A." in kept.content.decode()
    assert garden.pens.in_use().exists()

    monkeypatch.setattr(giving_up, "_questions", [])
    owner.post(address(garden, f"{pen.pk}/retire/"))
    assert not garden.pens.in_use().exists()


@pytest.mark.parametrize("who", ["helper", "viewer"])
def test_pens_are_an_owners_business(garden, request, who):
    client, pen = request.getfixturevalue(who), PenFactory(garden=garden)

    assert client.post(address(garden, "new/"), TYPED).status_code == 403
    assert client.get(address(garden, f"{pen.pk}/edit/")).status_code == 403
    assert client.post(address(garden, f"{pen.pk}/retire/")).status_code == 403


def test_a_pen_of_another_garden_is_not_found(garden, owner):
    foreign = PenFactory(garden=GardenFactory())

    assert owner.get(address(garden, f"{foreign.pk}/edit/")).status_code == 404
    assert owner.post(address(garden, f"{foreign.pk}/retire/")).status_code == 404
    assert owner.get(f"/g/{garden.pk}/build/cut/?pen={foreign.pk}").status_code == 404


def test_what_a_pen_weighs_may_be_told_in_any_unit(garden, owner):
    owner.post(address(garden, "new/"), TYPED | {"mass_kg": "55 lb"})

    assert Pen.objects.get().mass_kg == pytest.approx(24.948, abs=1e-3)
    assert "about 24.9 kg" in owner.get(f"/g/{garden.pk}/build/").content.decode()
