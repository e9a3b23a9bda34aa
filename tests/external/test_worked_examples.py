"""Worked examples of extension services, reproduced step by step and held against our own functions."""

import pytest

from garden.compost import carbon_to_nitrogen, material_needed_kg, materials
from garden.nutrients import NitrogenPolicy, available_nitrogen_g, nitrogen_wanted_g

POUND_G, ACRE_M2 = 453.59237, 4046.8564


def test_worked_manure_rate_of_a_field_step_by_step() -> None:
    """Montana State University Extension, nutrient management worksheet, step 5 (read in a stored copy of
    animalrangeextension.montana.edu, articles/natresourc/cnmp/nonprint/step5.htm).

    1. Organic nitrogen a ton: 21 - (8 + 0) = 13 lb.        2. A quarter of it in the first year: 3.25 lb.
    3. A third of the ammonium goes: 3.25 + 8 x 0.66 = 8.53 lb of available nitrogen a ton.
    5. For a need of 160 lb an acre: 18.8 tons.             6. For 50 lb of phosphate at 18 lb a ton: 2.8 tons.
    """
    organic_lb = 21 - (8 + 0)
    available_lb = organic_lb * 0.25 + 8 * 0.66
    assert (organic_lb, organic_lb * 0.25) == (13, 3.25)
    assert available_lb == pytest.approx(8.53)
    by_nitrogen, by_phosphate = 160 / available_lb, 50 / 18
    assert by_nitrogen == pytest.approx(18.8, abs=0.05)
    assert by_phosphate == pytest.approx(2.8, abs=0.03)

    # The same with our own functions: what may be dropped for a need, by nitrogen and by phosphorus.
    policy = NitrogenPolicy("crop_need", mixed_in=True, first_year_share=available_lb / 21 / 0.8)
    need_kg_ha = 160 * POUND_G / 1000 / (ACRE_M2 / 1e4)
    wanted_g = nitrogen_wanted_g(ACRE_M2, policy, need_kg_ha=need_kg_ha)
    assert wanted_g / POUND_G / 21 == pytest.approx(by_nitrogen, rel=1e-6)
    assert by_phosphate < by_nitrogen / 6  # why a high soil test must hold droppings back


def test_worked_nitrogen_credit_of_three_years_of_poultry_manure() -> None:
    """Cornell University, CSS 412, module 2: of the organic nitrogen of poultry manure 55 % is given in the
    year it is spread, 12 % in the next and 5 % in the one after; for cows with little dry matter 35, 12 and 5.

    Its exercise: 10 tons an acre of cow manure with 5 lb of organic nitrogen a ton, spread in each of three
    years, is 50 lb a year: 17.5 lb of this year's, 6 of last year's and 2.5 of the one before, 26 in all.
    """
    shares = (0.35, 0.12, 0.05)
    spread_lb = 10 * 5
    given_lb = [share * spread_lb for share in shares]
    assert given_lb == pytest.approx([17.5, 6.0, 2.5])
    assert sum(given_lb) == pytest.approx(26.0)

    # Ours counts all nitrogen that stays, ammonium too: more in the first year, about as much afterwards.
    ours = [available_nitrogen_g(1.0, NitrogenPolicy(), years_before=year) for year in range(3)]
    kept = NitrogenPolicy().kept_share
    assert ours[0] / kept >= 0.55
    assert ours[1] / kept == pytest.approx(0.12, abs=0.01)
    assert ours[2] / kept == pytest.approx(0.05, abs=0.001)


def test_worked_compost_mix_of_leaves_and_manure() -> None:
    """New Mexico State University Extension, yard column of 12 December 2009.

    Leaves at 80 to 1 and dairy manure at 20 to 1, four parts of manure to one of leaves: (4 x 20 + 80) / 5 is
    32 to 1. Horse manure at 25 to 1, seven parts to one: just under 32.

    Ratios may be averaged so only where a part of either holds as much nitrogen.
    """

    def mixed(manure: float, parts: int) -> float:
        return carbon_to_nitrogen(parts * manure + 80, parts + 1)

    assert mixed(20, 4) == pytest.approx(32.0)
    assert 31 < mixed(25, 7) < 32
    assert mixed(15, 3) < 32 < mixed(15, 2)  # poultry manure at 15 to 1 takes less of it

    # Ours weighs both: straw for 1 kg of nitrogen in manure at 15 to 1 brings the mix to 25 to 1 and no more.
    straw = materials()["straw"]
    kg = material_needed_kg(15_000.0, 1_000.0, straw)
    carbon_g = 15_000 + kg * straw.carbon * 1000
    nitrogen_g = 1_000 + kg * straw.nutrients.nitrogen_g
    assert 25 <= carbon_to_nitrogen(carbon_g, nitrogen_g) <= 30
