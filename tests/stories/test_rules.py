"""A garden's settings: read by everybody, changed by an owner."""

import re

import pytest

pytestmark = pytest.mark.django_db

TYPED = {
    "name": "Hill garden",
    "time_zone": "Europe/Dublin",
    "unit_system": "metric",
    "harvest_days_touches": "120",
    "harvest_days_clear": "90",
    "nitrogen_policy": "smaller",
    "annual_limit_kg_ha": "150",
    "soil_nitrogen_kg_ha": "12.5",
    "mixed_in": "on",
    "plan_for": "most",
    "rest_days": "21",
    "min_stay_days": "1",
    "max_stay_days": "5",
    "clearance_mm": "12",
    "density_limit_kg_m2": "18",
    "feed_bag_kg": "50 lb",
}


def address(garden) -> str:
    return f"/g/{garden.pk}/settings/"


def test_an_owner_changes_the_rules_and_takes_it_back(garden, owner):
    assert owner.post(address(garden), TYPED).status_code == 302

    garden.refresh_from_db()
    assert (garden.name, garden.rest_days, garden.nitrogen_policy) == ("Hill garden", 21, "smaller")
    assert garden.feed_bag_kg == pytest.approx(22.6796, abs=1e-4)
    assert garden.clearance_mm == 12

    page = owner.get(address(garden)).content.decode()
    owner.post(re.search(rf"/g/{garden.pk}/undo/\d+/", page)[0])
    garden.refresh_from_db()
    assert garden.rest_days == 30


@pytest.mark.parametrize("unit_system", ["metric", "us"])
def test_saving_untouched_changes_nothing(garden, owner, unit_system):
    garden.unit_system = unit_system
    garden.save()
    before = garden.__dict__.copy()
    form = owner.get(address(garden)).context["form"]
    shown = {name: form[name].value() for name in form.fields}
    shown["mixed_in"] = "on"

    assert owner.post(address(garden), shown).status_code == 302

    garden.refresh_from_db()
    same = {name: value for name, value in garden.__dict__.items() if not name.startswith("_")}
    assert same == {name: value for name, value in before.items() if not name.startswith("_")}
    assert "Undo" not in owner.get(address(garden)).content.decode()


@pytest.mark.parametrize(
    ("field", "typed", "told"),
    [
        ("time_zone", "Middle/Earth", "Select a valid choice"),
        ("max_stay_days", "0", "must not be shorter than the shortest"),
        ("harvest_days_touches", "80", "at least the wait of the others"),
        ("density_limit_kg_m2", "60", "at most 42.0 kg/m²"),
        ("clearance_mm", "a thumb", "Give a length, for example"),
        ("feed_bag_kg", "0", "at least 1.0 kg"),
        ("annual_limit_kg_ha", "nan", "Enter a number"),
    ],
)
def test_a_wrong_setting_is_told_and_kept_as_typed(garden, owner, field, typed, told):
    answer = owner.post(address(garden), TYPED | {field: typed})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert told in page
    assert f'href="#id_{field}"' in page
    assert answer.context["form"][field].value() == typed
    garden.refresh_from_db()
    assert garden.rest_days == 30


def test_a_refused_name_does_not_show_in_the_frame(garden, owner):
    page = owner.post(address(garden), TYPED | {"rest_days": "x"}).content.decode()

    assert f"{garden.name}</a>" in page


def test_the_longest_stay_is_not_shorter_than_the_shortest(garden, owner):
    answer = owner.post(address(garden), TYPED | {"min_stay_days": "6"})

    assert answer.context["form"].errors.keys() == {"max_stay_days"}


@pytest.mark.parametrize("who", ["helper", "viewer"])
def test_others_read_the_rules_with_their_reasons(garden, request, who):
    client = request.getfixturevalue(who)

    page = client.get(address(garden)).content.decode()

    assert "7 CFR 205.203" in page
    assert "20.0 kg/m²" in page
    assert "The garden" in page
    assert "Save" not in page
    assert client.post(address(garden), TYPED).status_code == 403


def test_a_stranger_finds_nothing(garden, stranger):
    assert stranger.get(address(garden)).status_code == 404
    assert stranger.post(address(garden), TYPED).status_code == 404


def test_an_old_name_of_a_zone_stays_choosable(garden, owner):
    garden.time_zone = "GB"
    garden.save()

    assert owner.post(address(garden), TYPED | {"time_zone": "GB"}).status_code == 302
