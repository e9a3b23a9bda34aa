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
    shown = {name: form[name].value() for name in form.fields if form[name].value() is not None}
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
        ("annual_limit_kg_ha", "nan", "Give a load, for example 150"),
        ("harvest_days_cooked", "1826", "less than or equal to 1825"),
        ("last_frost", "the ides of March", "such as 20 April"),
        ("last_frost", "29 February", "a day that every year has"),
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


@pytest.mark.parametrize(
    ("standard", "typed", "waits"),
    [
        ("longer", {}, (365, 365, None)),
        ("organic", {}, (120, 90, None)),
        # Days typed beside a standard left as it was are the garden's own.
        ("organic", {"harvest_days_touches": "150"}, (150, 90, None)),
        ("own", {"harvest_days_touches": "1825", "harvest_days_cooked": "60"}, (1825, 90, 60)),
        # A standard brings its own days, so that nonsense typed beside it stands in nobody's way.
        ("longer", {"harvest_days_clear": "soon"}, (365, 365, None)),
    ],
)
def test_a_standard_sets_the_waits(garden, owner, standard, typed, waits):
    answer = owner.post(address(garden), TYPED | {"harvest_standard": standard} | typed)

    assert answer.status_code == 302
    garden.refresh_from_db()
    found = (garden.harvest_days_touches, garden.harvest_days_clear, garden.harvest_days_cooked)
    assert found == waits
    # The planner counts from the last bird, a day more where droppings are mixed in the day after.
    assert garden.bird_day_rule().days_touches == waits[0] + 1


def test_the_standard_shown_follows_from_the_days(garden, owner, viewer):
    garden.harvest_days_touches = garden.harvest_days_clear = 365
    garden.save()
    assert owner.get(address(garden)).context["form"]["harvest_standard"].value() == "longer"
    garden.harvest_days_clear = 200
    garden.save()
    assert "own days</b>" in viewer.get(address(garden)).content.decode()


def test_frosts_are_typed_as_people_say_them(garden, owner):
    frosts = {"last_frost": "20th April", "first_frost": "Oct 25"}
    assert owner.post(address(garden), TYPED | frosts).status_code == 302

    garden.refresh_from_db()
    assert (garden.last_frost, garden.first_frost) == ("04-20", "10-25")
    assert 'value="25 October"' in owner.get(address(garden)).content.decode()


@pytest.mark.parametrize(
    ("frosts", "field", "told"),
    [
        (("20 April", ""), "first_frost", "Give both frosts"),
        (("", "25 October"), "last_frost", "Give both frosts"),
        (("20 April", "20 April"), "first_frost", "cannot fall on one day"),
    ],
)
def test_one_frost_alone_says_nothing(garden, owner, frosts, field, told):
    typed = dict(zip(("last_frost", "first_frost"), frosts, strict=True))
    answer = owner.post(address(garden), TYPED | typed)

    assert answer.status_code == 422
    assert told in str(answer.context["form"].errors[field])
