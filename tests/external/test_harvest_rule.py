"""The waits against the text of the rule and against advice to growers."""

from datetime import date

import pytest

from garden.harvest_interval import HarvestRule, first_safe_harvest, last_bird_day_before

FIRST_HARVEST = date(2026, 9, 28)


@pytest.mark.parametrize(
    ("contact", "last_bird_day"),
    [
        # 7 CFR 205.203(c)(1)(ii): not less than 120 days prior to the harvest of a product whose
        # edible portion has direct contact with the soil surface or soil particles
        ("touches", date(2026, 5, 31)),
        # 7 CFR 205.203(c)(1)(iii): not less than 90 days where it has no such contact
        ("clear", date(2026, 6, 30)),
        # 7 CFR 205.203(c)(1) excepts crops not for human consumption (i), not crops to be cooked
        ("cooked", date(2026, 5, 31)),
    ],
)
def test_the_federal_rule_is_the_default(contact: str, last_bird_day: date) -> None:
    assert last_bird_day_before(FIRST_HARVEST, contact, HarvestRule()) == last_bird_day
    assert first_safe_harvest(last_bird_day, contact, HarvestRule()) == FIRST_HARVEST


@pytest.mark.parametrize(
    "days",
    [
        365,  # leafy greens agreement: one year after raw manure (Cornell, National GAPs Program)
        1825,  # some buyers: up to five years (same page)
    ],
)
def test_a_buyer_s_longer_wait_can_be_set(days: int) -> None:
    assert HarvestRule(days_touches=days).days_for("touches") == days
