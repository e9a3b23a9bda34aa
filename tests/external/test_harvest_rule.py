"""The waits against the text of the rule and against advice to growers."""

import re
from datetime import date, timedelta

import pytest

from garden.crops_reference import Frost
from garden.frost import EARLIEST_OUT_DAYS
from garden.harvest_interval import HarvestRule, first_safe_harvest, last_bird_day_before
from garden.harvest_standards import LONGER_WAIT, RULES, Standard, standard_of, standards
from garden.provenance import Mark

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


RULE_TEXT = {
    # 7 CFR 205.203(c)(1)(ii) and (iii), as the Government Publishing Office prints it (CFR 2011, title 7,
    # vol. 3, section 205.203) and unchanged in the eCFR of June 2026
    "touches": "Incorporated into the soil not less than 120 days prior to the harvest of a product whose "
    "edible portion has direct contact with the soil surface or soil particles",
    "clear": "Incorporated into the soil not less than 90 days prior to the harvest of a product whose "
    "edible portion does not have direct contact with the soil surface or soil particles",
}


@pytest.mark.parametrize("contact", RULE_TEXT)
def test_the_organic_standard_is_the_rule_as_printed(contact: str) -> None:
    printed = int(re.search(r"not less than (\d+) days", RULE_TEXT[contact])[1])
    rule = RULES[Standard.ORGANIC]
    assert rule.days_for(contact) == printed
    # "Not less than" is met on that day itself, and not on the day before.
    mixed_in = date(2026, 6, 1)
    assert first_safe_harvest(mixed_in, contact, rule) - mixed_in == timedelta(days=printed)


def test_the_longer_standard_is_a_year_whatever_the_crop() -> None:
    """Cornell, National GAPs Program, soil amendments decision tree, "Raw manure": the Leafy Greens Marketing
    Agreement requires an application interval of at least one year."""
    assert (LONGER_WAIT.value, LONGER_WAIT.mark) == (365, Mark.PUBLISHED)
    waits = {RULES[Standard.LONGER].days_for(contact) for contact in ("touches", "clear", "cooked")}
    assert waits == {365}


@pytest.mark.parametrize(
    ("rule", "standard"),
    [
        (HarvestRule(90, 120), "organic"),
        (HarvestRule(365, 365), "longer"),
        (HarvestRule(90, 121), "own"),
        (HarvestRule(90, 120, days_cooked=0), "own"),  # the rule makes no exception for cooking
    ],
)
def test_a_standard_is_known_by_its_days(rule: HarvestRule, standard: str) -> None:
    assert standard_of(rule) == standard


def test_every_standard_says_what_it_rests_on_and_defers_to_local_rules() -> None:
    assert [words.standard for words in standards()] == list(Standard)
    for words in standards():
        assert "Where local rules ask for more, they count." in words.rests_on


@pytest.mark.parametrize(
    ("hardiness", "weeks"),
    [
        # Purdue Extension HO-203, footnotes 1 to 4: planted 4 to 6 weeks before the average frost-free date,
        # 2 to 3 weeks before, on or after it, 1 to 2 weeks after
        (Frost.VERY_HARDY, (-6, -4)),
        (Frost.FROST_TOLERANT, (-3, -2)),
        (Frost.TENDER, (0, 0)),
        (Frost.WARM_LOVING, (1, 2)),
    ],
)
def test_crops_go_out_at_the_earliest_that_is_printed(hardiness: Frost, weeks: tuple) -> None:
    assert EARLIEST_OUT_DAYS[hardiness] == 7 * weeks[0]
