"""Chilling, yields, withdrawal and the production index against published figures, the source beside each."""

from datetime import date, timedelta

import pytest

from flocks.carcass import CUTS, MassBand, carcass_band
from flocks.chilling import ChillBath, hours_to_cold, ice_needed
from flocks.processing_day import DayInputs, plan_day
from flocks.production_index import production_index
from flocks.withdrawal import Course

FISH_HEAT = 0.8 * 4.1868
"""Lean fish [kJ/(kg K)]: 0.8 kcal/(kg °C), FAO Fisheries Technical Paper 331, chapter 3."""


@pytest.mark.parametrize(
    ("mass_kg", "from_c"),
    # FAO Fisheries Technical Paper 331 ("Ice in fisheries"), chapter 3, equations 4 and 5: 0.8 kcal/(kg °C)
    # and 80 kcal/kg for the ice, a hundredth of mass times temperature melts.
    [(10.0, 25.0), (100.0, 30.0), (1000.0, 10.0)],
)
def test_ice_by_the_fao_balance_within_a_tenth(mass_kg, from_c):
    bath = ChillBath(mass_kg, body_c=from_c, cold_c=0.0, loss_share=0.0, carcass_heat=FISH_HEAT)
    assert ice_needed(bath).ice_kg == pytest.approx(mass_kg * from_c / 100, rel=0.1)


@pytest.mark.parametrize(("mass_kg", "from_c"), [(50.0, 12.0), (300.0, 20.0)])
def test_ice_by_a_fishing_handbook_within_a_tenth(mass_kg, from_c):
    # kaeligatt.is, "Ice requirements for cooling of fish": 0.0114 x kg x °C, fatter fish and 0 °C at the end.
    bath = ChillBath(mass_kg, body_c=from_c, cold_c=0.0, loss_share=0.0, carcass_heat=0.0114 * 335)
    assert ice_needed(bath).ice_kg == pytest.approx(0.0114 * mass_kg * from_c, rel=0.1)


def test_a_worked_balance_with_bath_step_by_step():
    # By hand: 40 kg of carcass from 38 to 4 °C: 40 x 3.3 x 34 = 4488 kJ. 80 kg of water from 15 to 4 °C:
    # 80 x 4.19 x 11 = 3687 kJ. Half as much again lost: 4088 kJ. A kilogram of ice: 335 + 4.19 x 4 = 352 kJ.
    need = ice_needed(ChillBath(40.0, 80.0, 15.0))
    assert need.carcass_kj == pytest.approx(4488)
    assert need.water_kj == pytest.approx(3687.2)
    assert need.loss_kj == pytest.approx(4087.6)
    assert need.ice_kg == pytest.approx(34.9, abs=0.1)


def test_ice_of_two_worked_exercises_within_a_tenth():
    # A physics exercise of 1996 (pearson.com, exam preparation, “A slaughterhouse preserves meat …”): 65.0 kg
    # at 37 °C to 2.0 °C in a bath kept at 0 °C, 3480 J/(kg °C). The answer by its own data and 334 kJ/kg is
    # 65 x 3.48 x 35 / 334 = 23.7 kg; ours lets the melted ice warm to the end as well.
    meat = ChillBath(65.0, body_c=37.0, cold_c=2.0, loss_share=0.0, carcass_heat=3.48)
    assert ice_needed(meat).ice_kg == pytest.approx(23.7, rel=0.1)
    # A resolved question (answers.yahoo.com, 22 January 2008): 355 ml of water from 26 to 6 °C take 7100 cal,
    # 88.75 g of ice at 80 cal/g.
    water = ChillBath(0.0, 0.355, 26.0, cold_c=6.0, loss_share=0.0)
    assert ice_needed(water).ice_kg == pytest.approx(0.08875, rel=0.1)


def test_heat_of_carcasses_as_two_exercises_print_it():
    # An exercise with its answer printed beside it (homeworkhost.com, question 1981547): 100 beef carcasses of
    # 200 kg from 30 to 5 °C in a shift of 8 h, 3.2 kJ/(kg K): 55.6 kW.
    beef = ice_needed(
        ChillBath(20_000.0, body_c=30.0, cold_c=5.0, loss_share=0.0, carcass_heat=3.2)
    )
    assert beef.heat_kj / (8 * 3600) == pytest.approx(55.6, rel=0.001)
    # Çengel and Ghajar, Heat and Mass Transfer, 5th ed., chapter 4, problem 135, solved at vaia.com: 500
    # chickens an hour of 2.2 kg, 3.54 kJ/(kg °C), from 15 to 3 °C in a chiller that gains 210 kJ/min; the heat
    # is 2.2 x 3.54 x 12 kJ for each 7.2 s, and the water, 2 °C warmer at most and 4.18 kJ/(kg °C),
    # carries chickens' heat and gain together.
    printed_kw = 2.2 * 3.54 * (15 - 3) / (3600 / 500)
    gained = 210 / 60 / printed_kw
    hens = ice_needed(ChillBath(1100.0, 0.0, 15.0, 15.0, 3.0, gained, 3.54))
    assert hens.carcass_kj / 3600 == pytest.approx(printed_kw, rel=0.001)
    assert hens.heat_kj / 3600 / (4.18 * 2) == pytest.approx((printed_kw + 3.5) / 8.36, rel=0.001)


def test_heat_of_a_broiler_by_its_composition_within_a_twentieth():
    # A food engineering exercise (transtutors.com, question 9127746): broilers go through ice and water from 38
    # to 4 °C, 17 % fat, 18 % other solids, 65 % water. Siebel's heats (837 J/(kg K) of solids, 1674 of fat,
    # 4187 of water; from memory) make 3.16 kJ/(kg K) of it.
    by_parts = 0.17 * 1.674 + 0.18 * 0.837 + 0.65 * 4.187
    assert ChillBath(1.0).carcass_heat == pytest.approx(by_parts, rel=0.05)


def test_a_kilogram_of_ice_for_a_kilogram_of_carcass():
    # Growers' rule of 1 to 2 lb of ice for a pound of bird (from memory) begins where the balance ends.
    assert 0.8 <= ice_needed(ChillBath(1.0, 2.0, 15.0)).ice_kg <= 1.0
    assert ice_needed(ChillBath(1.0, 2.0, 22.0)).ice_kg > 1.0


@pytest.mark.parametrize(
    ("live_g", "printed"),
    [
        (1346, 0.718),  # carcass table, 28 days (a growers' page)
        (1483, 0.743),  # the same, 30 days
        (2600, 0.75),  # grower guideline of 2007: dressed about 75 % of live
        (2400, 0.72),  # the same: air-chilled 72 %
    ],
)
def test_carcasses_lie_within_four_and_a_half_points_of_what_is_printed(live_g, printed):
    band = carcass_band(MassBand(live_g, live_g, live_g))
    assert band.median / live_g == pytest.approx(printed, abs=0.045)
    assert (band.high - band.median) / live_g == pytest.approx(0.035)


@pytest.mark.parametrize(
    ("cut", "one", "other"),
    # "Physical composition" of a page on poultry harvest, less its 11 % giblets: 25, 33, 14, 17 of 89.
    # Australian federation, ten carcasses: breast 41, thigh and drumstick 48, wing 12, back with the cuts.
    [("Breasts", 25 / 89, 0.41), ("Legs", 33 / 89, 0.48), ("Wings", 0.12, 14 / 89)],
)
def test_cuts_lie_between_two_cut_ups(cut, one, other):
    found = next(share for share in CUTS if share.name == cut)
    assert found.low == pytest.approx(one, abs=0.006)
    assert found.high == pytest.approx(other, abs=0.006)


def test_production_index_of_the_published_example():
    # S. Shane, "What's your PEF?": 1.85 kg, 95 %, 44 days, 1.88.
    assert round(production_index(1.85, 95, 44, 1.88)) == 212
    # European Broiler Index, poultryperformanceplus.com: 61 g a day, 96 %, 1.62 is 361.5.
    assert production_index(0.061 * 37, 96, 37, 1.62) == pytest.approx(361.5, abs=0.1)
    with pytest.raises(ValueError, match="above 0"):
        production_index(2.0, 95, 0, 1.8)


def test_a_wait_of_six_days_ends_on_the_seventh():
    # Finnish Medicines Agency, "What is a withdrawal period?".
    dose = date(2026, 6, 1)
    course = Course("x", dose, dose, 6)
    assert course.free_on == dose + timedelta(days=7)
    assert course.holds(dose + timedelta(days=6))
    assert not course.holds(dose - timedelta(days=1))


@pytest.mark.parametrize(
    ("pounds", "hours"),
    [(3.9, 4), (4.1, 6), (7.9, 6), (8.1, 8)],  # once 9 CFR 381.66, from memory
)
def test_hours_to_cold_by_weight(pounds, hours):
    assert hours_to_cold(pounds * 453.6) == hours


@pytest.mark.parametrize("pace", ["novice", "plucker", "practised"])
@pytest.mark.parametrize("birds", [1, 25, 130])
def test_every_bird_is_8_to_12_hours_without_feed_or_in_a_group_that_is(pace, birds):
    # Wabeck 1972, Poultry Science 51:1119; Directive 2007/43/EC, Annex I: at most 12 hours.
    plan = plan_day(DayInputs(birds, MassBand(2300, 2500, 2700), 2, pace, 8 * 60))
    assert plan.withdrawals[0].first_bird == 1
    assert plan.withdrawals[-1].last_bird == birds
    killing = 60 * plan.hours
    for row in plan.withdrawals:
        first = 480 + killing * (row.first_bird - 1) / birds
        last = 480 + killing * row.last_bird / birds
        assert first - row.off_min >= 8 * 60 - 15
        assert last - row.off_min <= 12 * 60 + 15


def test_nobody_plans_an_impossible_day():
    with pytest.raises(ValueError, match="at least one bird"):
        DayInputs(0, MassBand(1, 1, 1), 1, "novice", 0)
    with pytest.raises(ValueError, match="below 0"):
        ice_needed(ChillBath(-1.0))
    with pytest.raises(ValueError, match="colder"):
        ice_needed(ChillBath(1.0, body_c=3.0))
