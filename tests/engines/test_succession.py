"""What to plant after birds, worked by hand for a bed of 3 m²."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garden.crops_reference import Frost
from garden.frost import Frosts
from garden.harvest_interval import HarvestRule, first_safe_harvest
from garden.nutrients import NitrogenPolicy
from garden.succession import Candidate, FreeBed, Rules, Suggestion, available_g, suggestions

FREE = date(2026, 6, 12)
BED = FreeBed(area_m2=3.0, free_from=FREE, interval_from=FREE, dropped_g=100.0)
RULES = Rules(HarvestRule(), NitrogenPolicy(), frosts=Frosts("04-20", "10-25"))
KALE = Candidate(1, "Kale", "Brassicaceae", 145, "touches", 50, 60, Frost.VERY_HARDY)
BEAN = Candidate(2, "Bean", "Fabaceae", 0, "clear", 60, 30, Frost.TENDER)
TOMATO = Candidate(3, "Tomato", "Solanaceae", 145, "clear", 60, 68, Frost.TENDER)
LEEK = Candidate(4, "Leek", "Amaryllidaceae", 155, "touches", 90, 60, Frost.VERY_HARDY)


def one(crop: Candidate, bed: FreeBed = BED, rules: Rules = RULES) -> Suggestion:
    fit, unfit = suggestions([crop], bed, rules)
    assert not unfit, unfit[0].why
    return fit[0]


def why(crop: Candidate, bed: FreeBed = BED, rules: Rules = RULES) -> str:
    fit, unfit = suggestions([crop], bed, rules)
    assert not fit
    return unfit[0].why


def test_a_quick_crop_waits_until_its_harvest_is_safe() -> None:
    """Kale touches soil: 120 days from 12 June is 10 October; 50 days before that is 21 August."""
    kale = one(KALE)
    assert (kale.plant_on, kale.harvest_on) == (date(2026, 8, 21), date(2026, 10, 10))
    assert kale.put_off_days == 70
    # Two months of frosts after 25 October.
    assert kale.ends_on == date(2026, 12, 9)


def test_a_slow_crop_is_planted_at_once() -> None:
    """Ninety days from 12 June, leeks would be ripe on 10 September, a month too soon."""
    leek = one(LEEK)
    assert (leek.plant_on, leek.put_off_days) == (date(2026, 7, 12), 30)
    slow = one(replace(LEEK, days_to_harvest=130))
    assert (slow.plant_on, slow.put_off_days) == (FREE, 0)


def test_nitrogen_used_is_the_lesser_of_need_and_what_birds_leave() -> None:
    """100 g dropped, mixed in: 100 × 0.8 × 0.6 = 48 g to use; 3 m² of kale at 145 kg/ha need 43.5 g."""
    assert available_g(BED, RULES) == pytest.approx(48.0)
    assert one(KALE).used_g == pytest.approx(43.5)
    assert one(replace(KALE, nitrogen_kg_ha=200)).used_g == pytest.approx(48.0)
    # A soil that gives 45 kg/ha leaves 100 kg/ha of need: 30 g.
    fed = replace(RULES, soil_supply_kg_ha=45.0)
    assert one(KALE, rules=fed).need_g == pytest.approx(30.0)


def test_the_crop_that_uses_most_comes_first_and_one_with_no_need_last() -> None:
    fit, unfit = suggestions([BEAN, KALE, TOMATO, LEEK], BED, RULES)
    assert [found.crop.name for found in fit] == ["Leek", "Tomato", "Kale", "Bean"]
    assert fit[-1].used_g == 0
    assert unfit == []


def test_frost_ends_a_tender_crop() -> None:
    """Free on 1 September, tomatoes want until 31 October: next year, after the last frost."""
    late = replace(BED, free_from=date(2026, 9, 1), interval_from=None)
    found = one(TOMATO, late)
    assert (found.plant_on, found.harvest_on) == (date(2027, 4, 20), date(2027, 6, 19))
    assert one(TOMATO, late, replace(RULES, frosts=None)).plant_on == date(2026, 9, 1)
    # What is not in the table is taken as tender.
    assert one(replace(TOMATO, hardiness=None), late) == replace(
        found, crop=replace(TOMATO, hardiness=None)
    )


@pytest.mark.parametrize(
    ("crop", "bed", "rules", "told"),
    [
        (
            KALE,
            replace(BED, free_until=date(2026, 9, 1)),
            RULES,
            "before the bed is taken again, Tue 1 September 2026",
        ),
        (replace(TOMATO, days_to_harvest=200), BED, RULES, "between the frosts is too short"),
        (
            TOMATO,
            BED,
            replace(RULES, harvest=HarvestRule(days_clear=1000, days_touches=1000)),
            "not safe to eat before Thu 8 March 2029",
        ),
        (
            TOMATO,
            replace(BED, free_until=date(2028, 9, 1)),
            Rules(HarvestRule(1000, 1000), NitrogenPolicy()),
            "not safe to eat before Thu 8 March 2029",
        ),
    ],
)
def test_what_does_not_fit_says_why(crop, bed, rules, told) -> None:
    assert told in why(crop, bed, rules)


def test_a_family_that_stood_there_of_late_is_told() -> None:
    before = replace(BED, families={"Brassicaceae": date(2024, 9, 1), "Fabaceae": date(2022, 9, 1)})
    assert one(KALE, before).family_since == date(2024, 9, 1)
    assert one(BEAN, before).family_since is None


contacts = st.sampled_from(["touches", "clear", "cooked"])
candidates = st.builds(
    Candidate,
    st.just(1),
    st.just("crop"),
    st.just(""),
    st.floats(0, 300),
    contacts,
    st.integers(1, 240),
    st.integers(1, 120),
    st.one_of(st.none(), st.sampled_from(Frost)),
)
beds = st.builds(
    FreeBed,
    st.floats(0.1, 50),
    st.dates(date(2026, 1, 1), date(2027, 12, 31)),
    interval_from=st.one_of(st.none(), st.dates(date(2025, 6, 1), date(2026, 1, 1))),
    dropped_g=st.floats(0, 500),
)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(crop=candidates, bed=beds, wait=st.integers(0, 400), gap=st.integers(1, 400))
def test_a_suggestion_is_safe_and_fits(crop, bed, wait, gap) -> None:
    rules = replace(RULES, harvest=HarvestRule(days_clear=wait // 2, days_touches=wait))
    bed = replace(bed, free_until=bed.free_from + timedelta(days=gap))
    fit, unfit = suggestions([crop], bed, rules)
    assert len(fit) + len(unfit) == 1
    for found in fit:
        assert bed.free_from <= found.plant_on <= found.harvest_on < found.ends_on <= bed.free_until
        if bed.interval_from:
            safe = first_safe_harvest(bed.interval_from, crop.contact, rules.harvest)
            assert found.harvest_on >= safe
        assert 0 <= found.used_g <= found.need_g
    assert all(found.why for found in unfit)
