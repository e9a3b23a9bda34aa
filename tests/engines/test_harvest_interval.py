"""The clock between the last bird on a bed and the first harvest from it, both ways round."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garden.harvest_interval import (
    Contact,
    HarvestRule,
    PlantingDates,
    first_safe_harvest,
    last_bird_day_before,
)

RULE = HarvestRule()


@pytest.mark.parametrize(
    ("last_bird_day", "contact", "first_harvest"),
    [
        (date(2026, 3, 1), "touches", date(2026, 6, 29)),  # within one summer
        (date(2026, 3, 1), "clear", date(2026, 5, 30)),
        (date(2026, 10, 20), "touches", date(2027, 2, 17)),  # across the year's end
        (date(2027, 11, 1), "touches", date(2028, 2, 29)),  # ends on a leap day
        (date(2028, 1, 31), "clear", date(2028, 4, 30)),  # crosses a leap day
        (date(2027, 1, 31), "clear", date(2027, 5, 1)),  # the same days in a common year
        (date(2028, 2, 29), "touches", date(2028, 6, 28)),  # starts on a leap day
    ],
)
def test_the_clock_runs_the_same_both_ways(
    last_bird_day: date, contact: str, first_harvest: date
) -> None:
    assert first_safe_harvest(last_bird_day, contact, RULE) == first_harvest
    assert last_bird_day_before(first_harvest, contact, RULE) == last_bird_day


@settings(derandomize=True, deadline=None)
@given(
    day=st.dates(date(2000, 1, 1), date(2100, 1, 1)),
    contact=st.sampled_from(Contact),
    days=st.integers(0, 400),
)
def test_one_function_undoes_the_other(day: date, contact: Contact, days: int) -> None:
    rule = HarvestRule(days_clear=days // 2, days_touches=days, days_cooked=days // 3)

    harvest = first_safe_harvest(day, contact, rule)

    assert last_bird_day_before(harvest, contact, rule) == day


def test_a_stay_s_end_day_is_not_a_bird_day() -> None:
    """Birds leave on the morning of 10 April, so 9 April is day 0."""
    end_day = date(2026, 4, 10)

    harvest = first_safe_harvest(end_day - timedelta(days=1), Contact.CLEAR, RULE)

    assert harvest == date(2026, 7, 8)


def test_a_cooked_crop_waits_as_one_that_touches_until_the_garden_says_otherwise() -> None:
    strict = HarvestRule(days_touches=150)
    relaxed = HarvestRule(days_touches=150, days_cooked=60)

    assert strict.days_for(Contact.COOKED) == 150
    assert relaxed.days_for(Contact.COOKED) == 60
    assert relaxed.days_for(Contact.TOUCHES) == 150


@pytest.mark.parametrize(
    ("waits", "message"),
    [
        ({"days_clear": -1}, "days_clear: expected 0 to 1826 days"),
        ({"days_touches": 1827}, "days_touches: expected 0 to 1826 days"),
        ({"days_cooked": -5}, "days_cooked: expected 0 to 1826 days"),
        ({"days_touches": 60}, "days_touches: expected at least days_clear"),
    ],
)
def test_a_rule_out_of_range_is_refused(waits: dict[str, int], message: str) -> None:
    with pytest.raises(ValueError, match=f"^{message}$"):
        HarvestRule(**waits)


def test_a_word_that_is_no_contact_is_refused() -> None:
    with pytest.raises(ValueError, match="splashed"):
        first_safe_harvest(date(2026, 4, 1), "splashed", RULE)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"first_harvest_on": date(2026, 4, 30)}, "first_harvest_on: expected from starts_on"),
        ({"first_harvest_on": date(2026, 9, 1)}, "first_harvest_on: expected from starts_on"),
        ({"nitrogen_kg_ha": -1.0}, "nitrogen_kg_ha: expected a number >= 0"),
        ({"nitrogen_kg_ha": float("nan")}, "nitrogen_kg_ha: expected a number >= 0"),
        ({"contact": "raw"}, "'raw' is not a valid Contact"),
    ],
)
def test_a_planting_out_of_order_is_refused(change: dict[str, object], message: str) -> None:
    sound = {
        "crop_name": "kale",
        "starts_on": date(2026, 5, 1),
        "first_harvest_on": date(2026, 7, 3),
        "ends_on": date(2026, 9, 1),
        "contact": "touches",
        "nitrogen_kg_ha": 145.0,
    }
    assert PlantingDates(**sound).crop_name == "kale"

    with pytest.raises(ValueError, match=message):
        PlantingDates(**sound | change)
