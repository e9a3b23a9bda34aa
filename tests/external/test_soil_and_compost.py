"""Conversions, levels and worked examples of extension services, step by step."""

import pytest

from flocks.excretion_methods import HANDBOOK, compared, excretion_of
from flocks.feed import DietPhase
from flocks.forecasting import diet_of, draft_forecast
from garden.compost import carbon_to_nitrogen, material_needed_kg, materials
from garden.ledger import phosphorus_dropped_g
from garden.npk import label_npk
from garden.nutrients import (
    NitrogenPolicy,
    available_nitrogen_g,
    mass_for_load_g,
    nitrogen_wanted_g,
)
from garden.phosphorus import soil_phosphorus
from garden.soil_tests import from_report, in_bed_g
from tests.conftest import TODAY

POUND_G, ACRE_M2, INCH_MM, FOOT_M = 453.59237, 4046.8564, 25.4, 0.3048


@pytest.mark.parametrize(
    ("lb_acre", "ppm"),
    [
        # Ohio State University, Understanding Soil Test Reports for Phosphorus Values: 60 lb/acre is 30 ppm
        (60, 30),
        # Rutgers, Relative Levels of Nutrients, Mehlich 3: the lower edges of medium, high and very high
        (46, 23),
        (72, 36),
        (137, 68.5),
    ],
)
def test_pounds_an_acre_are_twice_the_parts_per_million(lb_acre: float, ppm: float) -> None:
    assert from_report(lb_acre, "lb_acre") == pytest.approx(ppm)


def test_an_acre_furrow_slice_weighs_two_million_pounds() -> None:
    """Penn State Extension: 1.33 g/cm³ over 6.7 inches of an acre is 2,024,458 lb."""
    one_ppm_lb = in_bed_g(1.0, ACRE_M2, 6.7 * INCH_MM) / POUND_G

    assert one_ppm_lb * 1e6 == pytest.approx(2_024_458, rel=0.003)


@pytest.mark.parametrize(
    ("ppm", "by", "state"),
    [
        # Utah State University, manure application rate, step 5.1: below 50 by nitrogen, from 50 to
        # 100 what the crop removes, above 100 none
        (49, "olsen", "not high"),
        (75, "olsen", "high"),
        (101, "olsen", "very high"),
        # Rutgers, Mehlich 3: 72 to 137 lb/acre is optimum, above it excessive
        (60, "mehlich3", "not high"),
        (70, "mehlich3", "high"),
    ],
)
def test_levels_of_phosphorus_are_the_printed_ones(ppm: float, by: str, state: str) -> None:
    assert soil_phosphorus(ppm, by).state == state


def test_worked_manure_rate_pounds_for_a_pound_of_nitrogen() -> None:
    """Garden Guy Hawaii, What's so hot about manure, 2012: 25 lb at 4 % N, or 6 lb of 16-16-16."""
    manure = label_npk(25 * POUND_G / 1000, 4, 0, 0)
    mineral = label_npk(6 * POUND_G / 1000, 16, 16, 16)

    assert manure.nitrogen_g / POUND_G == pytest.approx(1.0)
    assert mineral.nitrogen_g / POUND_G == pytest.approx(1.0, abs=0.05)


def test_worked_manure_rate_for_a_garden() -> None:
    """University of Maryland: heavy feeders 3 lb of available nitrogen on 1,000 sq ft.

    Step 1, the need of a bed of 32 sq ft: 3 lb x 32 / 1000 = 0.096 lb = 43.5 g, a load of 146 kg/ha.
    Step 2, what may be dropped for it: of 100 g dropped 80 stay and 48 are released, so 43.5 / 0.48 = 90.7 g.
    """
    area_m2 = 32 * FOOT_M**2
    need_kg_ha = 3 * POUND_G / (1000 * FOOT_M**2) * 10

    assert mass_for_load_g(need_kg_ha, area_m2) == pytest.approx(43.5, abs=0.1)
    wanted_g = nitrogen_wanted_g(area_m2, NitrogenPolicy(), need_kg_ha=need_kg_ha)
    assert wanted_g == pytest.approx(90.7, abs=0.2)


def test_worked_nitrogen_credit_of_three_years() -> None:
    """North Dakota State, section 13, worksheet 1: the nitrogen of a year, times the percent available in year
    2, is next year's credit; here with our own shares on 100 lb dropped and mixed in: 48, 10 and 4 lb.
    """
    given_lb = [
        available_nitrogen_g(100.0, NitrogenPolicy(), years_before=year) for year in range(4)
    ]

    assert given_lb == pytest.approx([48.0, 10.0, 4.0, 0.0])


def test_worked_compost_mix() -> None:
    """How to calculate the carbon-to-nitrogen ratio of your compost mix (publisher not shown).

    50 lb of hay (40 % C, 1 % N), 10 lb of kitchen scraps (10 %, 1 %) and 2 lb of coffee grounds (25 %, 1 %):
    carbon 20 + 1 + 0.5 = 21.5 lb, nitrogen 0.5 + 0.1 + 0.02 = 0.62 lb, 34.7 to one.
    """
    parts = [(50, 0.40, 0.01), (10, 0.10, 0.01), (2, 0.25, 0.01)]
    carbon, nitrogen = (sum(row[0] * row[at] for row in parts) for at in (1, 2))

    assert (carbon, nitrogen) == pytest.approx((21.5, 0.62))
    assert carbon_to_nitrogen(carbon, nitrogen) == pytest.approx(34.7, abs=0.05)


@pytest.mark.parametrize(
    ("key", "ratio"),
    [
        # the same source's table: straw 48 % C and 0.5 % N, kitchen scraps 10 % and 1 %
        ("straw", 96),
        ("kitchen", 10),
        # and fresh broiler manure 20 to 32.5 % C, 1.3 to 2.0 % N: between 10 and 25, here in the middle
        ("manure", 15.8),
    ],
)
def test_materials_have_the_printed_ratios(key: str, ratio: float) -> None:
    assert materials()[key].ratio == pytest.approx(ratio, abs=0.1)


def test_a_finished_bird_takes_three_kilograms_of_straw() -> None:
    """Handbook bird (recalled): 1.3 kg solids, 42 % of them carbon (Ontario), 53 g of nitrogen: 10.3 to 1."""
    carbon_g = 0.42 * HANDBOOK["dry_matter_g"]

    assert carbon_to_nitrogen(carbon_g, HANDBOOK["nitrogen_g"]) == pytest.approx(10.3, abs=0.1)
    kg = material_needed_kg(carbon_g, HANDBOOK["nitrogen_g"], materials()["straw"])
    assert kg == pytest.approx(3.16, abs=0.02)


@pytest.fixture(scope="module")
def told():
    forecast = draft_forecast("fast", TODAY, target_g=2400)
    diet = diet_of("fast")
    return compared(
        forecast.feed_g.median, forecast.flock_g.median, diet, forecast.nitrogen_g.median
    )


def test_a_finished_bird_lies_within_the_published_totals(told) -> None:
    """ASABE D384.2 per finished broiler (recalled): 53 g N, 16 g P, 31 g K, 1.3 kg solids, 4.9 L.

    The European range of 0.2 to 0.6 kg N a place and year (decision 2017/302; figure recalled), at 6.5 batches
    a year, is 31 to 92 g a bird.
    """
    assert 31 <= told.balance["nitrogen_g"] <= 92
    assert told.balance["nitrogen_g"] >= HANDBOOK["nitrogen_g"]
    for name in ("phosphorus_g", "potassium_g", "dry_matter_g", "volume_l"):
        assert told.balance[name] == pytest.approx(HANDBOOK[name], rel=0.2), name


def test_the_difference_of_the_methods_is_explained_to_the_gram(told) -> None:
    assert told.difference_g == pytest.approx(told.by_keeping_g + told.by_feeding_g)
    # Commercial farms keep 61 to 63 % (Agriculture 2023, 13(1):33), other flocks from 50 on (recalled).
    assert 0.45 <= told.kept_share <= 0.65


def test_litter_nitrogen_of_a_farm_that_keeps_61_percent() -> None:
    """Agriculture 2023, 13(1):33: deposition is 30 g N a kg live weight, use 61 %: excretion is 19.2 g a kg.

    A bird of 2.4 kg leaves 46 g; of that litter holds 60 % once ammonia has gone (IPCC 2006, recalled), 28 g.
    """
    excreted_g = 30 * 2.4 * (1 / 0.61 - 1)

    assert excreted_g == pytest.approx(46.0, abs=0.1)
    assert NitrogenPolicy(mixed_in=False).kept_share * excreted_g == pytest.approx(27.6, abs=0.1)
    assert phosphorus_dropped_g(excreted_g) == pytest.approx(13.9, abs=0.1)


def test_potassium_follows_the_trial_s_diets() -> None:
    """Basal diets with 0.86, 0.77 and 0.68 % K: a bird that eats 4.6 kg and gains 2.4 keeps 5.8 g of it."""
    forecast = draft_forecast("fast", TODAY, target_g=2400)
    flat = [DietPhase(0, 0.2)]

    first = excretion_of(forecast, flat)
    assert first.on(-1).potassium_g == 0
    eaten = forecast.feed_g.median[:42].sum() * 0.0086
    gained = forecast.flock_g.median[42] - forecast.flock_g.median[0]
    assert first.potassium_g[:42].sum() == pytest.approx(eaten - 0.0024 * gained, rel=0.02)
