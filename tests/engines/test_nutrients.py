"""Nitrogen room by need and by limit, and what droppings give in later years."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garden.nutrients import (
    FIGURES,
    Dropping,
    NitrogenPolicy,
    RoomRule,
    annual_room_g,
    available_nitrogen_g,
    carried_over_g,
    dropped_last_365_days_g,
    load_kg_ha,
    mass_for_load_g,
    nitrogen_room_g,
    nitrogen_wanted_g,
)

BY_NEED = NitrogenPolicy("crop_need")
BY_LIMIT = NitrogenPolicy("annual_limit")
SMALLER = NitrogenPolicy("smaller")


def test_a_load_and_its_mass_are_one_figure() -> None:
    """10 kg/ha is 1 g/m²."""
    assert load_kg_ha(3.0, 3.0) == pytest.approx(10.0)
    assert mass_for_load_g(10.0, 3.0) == pytest.approx(3.0)


@pytest.mark.parametrize("area_m2", [0.0, -1.0, float("nan")])
def test_a_bed_without_area_is_refused(area_m2: float) -> None:
    with pytest.raises(ValueError, match=r"^area_m2: expected a number > 0$"):
        load_kg_ha(1.0, area_m2)
    with pytest.raises(ValueError, match=r"^area_m2: expected a number > 0$"):
        nitrogen_room_g(area_m2, BY_LIMIT, need_kg_ha=None)


@pytest.mark.parametrize(
    ("policy", "available_share"),
    [
        (NitrogenPolicy(), 0.48),  # mixed in: 0.80 kept, 0.60 of it released in the first year
        (NitrogenPolicy(mixed_in=False), 0.36),  # left on top: 0.60 kept
        (NitrogenPolicy(first_year_share=0.5), 0.40),
    ],
)
def test_only_a_share_of_what_birds_drop_reaches_the_crop(
    policy: NitrogenPolicy, available_share: float
) -> None:
    assert policy.available_share == pytest.approx(available_share)
    assert available_nitrogen_g(100.0, policy) == pytest.approx(100 * available_share)


@pytest.mark.parametrize(
    ("policy", "need_kg_ha", "room_g", "wanted_g"),
    [
        # 10 m² before tomatoes: 145 g needed, 302.08 g dropped at 0.48; the limit allows 170 g
        (BY_NEED, 145.0, 302.083, 302.083),
        (BY_LIMIT, 145.0, 170.0, 302.083),
        (SMALLER, 145.0, 170.0, 302.083),
        # before radishes 60 g, so 125 g
        (BY_NEED, 60.0, 125.0, 125.0),
        (BY_LIMIT, 60.0, 170.0, 125.0),
        (SMALLER, 60.0, 125.0, 125.0),
        # before a legume nothing is wanted; only the limit alone leaves room
        (BY_NEED, 0.0, 0.0, 0.0),
        (BY_LIMIT, 0.0, 170.0, 0.0),
        (SMALLER, 0.0, 0.0, 0.0),
        # turf, or no crop planned: the limit decides whatever the rule, and no crop wants it
        (BY_NEED, None, 170.0, 0.0),
        (BY_LIMIT, None, 170.0, 0.0),
        (SMALLER, None, 170.0, 0.0),
    ],
)
def test_room_follows_the_garden_s_rule(
    policy: NitrogenPolicy, need_kg_ha: float | None, room_g: float, wanted_g: float
) -> None:
    room = nitrogen_room_g(10.0, policy, need_kg_ha=need_kg_ha)
    wanted = nitrogen_wanted_g(10.0, policy, need_kg_ha=need_kg_ha)

    assert room == pytest.approx(room_g, abs=0.001)
    assert wanted == pytest.approx(wanted_g, abs=0.001)


def test_what_soil_and_birds_already_gave_is_taken_off() -> None:
    """145 - 49 = 96 g lacking, 200 g dropped at 0.48, of which 80 g has fallen already."""
    known = {"need_kg_ha": 145.0, "soil_supply_kg_ha": 49.0, "dropped_for_crop_g": 80.0}

    assert nitrogen_wanted_g(10.0, BY_NEED, **known) == pytest.approx(120.0)
    assert nitrogen_room_g(10.0, BY_NEED, **known) == pytest.approx(120.0)
    room_g = nitrogen_room_g(10.0, SMALLER, **known, dropped_last_365_days_g=80.0)
    assert room_g == pytest.approx(90.0)


def test_room_is_never_below_zero() -> None:
    rich = {"need_kg_ha": 60.0, "soil_supply_kg_ha": 100.0, "dropped_last_365_days_g": 999.0}

    for policy in (BY_NEED, BY_LIMIT, SMALLER):
        assert nitrogen_room_g(10.0, policy, **rich) == 0.0


def test_the_limit_counts_what_was_dropped_not_what_is_left_of_it() -> None:
    """However the droppings are treated, 100 g dropped are 100 g of the limit."""
    for mixed_in in (True, False):
        policy = NitrogenPolicy(mixed_in=mixed_in)
        assert annual_room_g(10.0, policy, dropped_last_365_days_g=100.0) == pytest.approx(70.0)


@pytest.mark.parametrize(
    ("settings_given", "message"),
    [
        ({"rule": "none"}, "'none' is not a valid RoomRule"),
        ({"annual_limit_kg_ha": -1.0}, "annual_limit_kg_ha: expected a number >= 0"),
        ({"first_year_share": 0.0}, "first_year_share: expected a number > 0 and <= 1"),
        ({"first_year_share": 1.1}, "first_year_share: expected a number > 0 and <= 1"),
    ],
)
def test_a_policy_out_of_range_is_refused(settings_given: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        NitrogenPolicy(**settings_given)


@pytest.mark.parametrize(
    ("on", "dropped_g"),
    [
        (date(2028, 2, 28), 0.0),  # the day before
        (date(2028, 2, 29), 40.0),  # the day itself
        (date(2029, 2, 27), 40.0),  # the 365th day
        (date(2029, 2, 28), 0.0),  # a year of 365 days is over, a leap day notwithstanding
    ],
)
def test_the_year_of_the_limit_is_365_days(on: date, dropped_g: float) -> None:
    droppings = [Dropping(date(2028, 2, 29), 40.0)]

    assert dropped_last_365_days_g(droppings, on) == dropped_g


@settings(derandomize=True, deadline=None, max_examples=100)
@given(gaps=st.lists(st.integers(1, 200), min_size=1, max_size=12))
def test_filling_the_room_each_time_keeps_any_365_days_within_the_limit(gaps: list[int]) -> None:
    """A pen comes back after every gap and drops as much as it may."""
    day, droppings = date(2027, 1, 1), []
    for gap in gaps:
        day += timedelta(days=gap)
        dropped_g = dropped_last_365_days_g(droppings, day)
        room_g = annual_room_g(10.0, BY_LIMIT, dropped_last_365_days_g=dropped_g)
        droppings.append(Dropping(day, room_g))

    for last in droppings:
        year = [
            dropping.nitrogen_g
            for dropping in droppings
            if last.day - timedelta(days=365) < dropping.day <= last.day
        ]
        assert sum(year) <= 170.0 + 1e-9


@pytest.mark.parametrize(
    ("years_before", "available_g"),
    [(-1, 0.0), (0, 48.0), (1, 10.0), (2, 4.0), (3, 0.0)],  # of 100 g, 80 g stay in the bed
)
def test_droppings_go_on_giving_for_three_years(years_before: int, available_g: float) -> None:
    found_g = available_nitrogen_g(100.0, BY_LIMIT, years_before=years_before)

    assert found_g == pytest.approx(available_g)


def test_only_older_years_are_carried_over() -> None:
    """The spring's own droppings count for the crop after them, not as the soil's supply."""
    spring = date(2028, 4, 1)
    droppings = [
        Dropping(spring - timedelta(days=1000), 100.0),  # third year: 4 g
        Dropping(spring - timedelta(days=365), 100.0),  # second year: 10 g
        Dropping(spring - timedelta(days=364), 100.0),  # first year
        Dropping(spring + timedelta(days=5), 100.0),  # still to come
    ]

    assert carried_over_g(droppings, spring, BY_LIMIT) == pytest.approx(14.0)


def test_every_figure_tells_its_unit_and_source() -> None:
    for figure in FIGURES:
        assert figure.value > 0
        assert figure.unit
        recalled = figure.source.startswith("recalled: ")
        assert recalled == (figure.mark == "from memory")


def test_the_rules_are_the_garden_s_choices() -> None:
    """The values a garden stores are these words; renaming one needs a migration."""
    assert [str(rule) for rule in RoomRule] == ["crop_need", "annual_limit", "smaller"]
