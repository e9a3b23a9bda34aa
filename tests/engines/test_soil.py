"""Soil tests, the phosphorus cap and what else a bed's soil changes; masses as values."""

from datetime import date
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garden.bed_soil import UNKNOWN_SOIL, BedSoil
from garden.harvest_interval import Contact, HarvestRule, PlantingDates
from garden.npk import Npk, NpkBand, label_npk
from garden.nutrients import Dropping, NitrogenPolicy
from garden.phosphorus import (
    PhosphorusState,
    SoilPhosphorus,
    nitrogen_by_phosphorus_g,
    soil_phosphorus,
)
from garden.soil_tests import from_report, in_bed_g, opening, to_report
from rotation.bed_room import bed_room

HIGH, FULL = (SoilPhosphorus(state) for state in (PhosphorusState.HIGH, PhosphorusState.FULL))
TODAY = date(2026, 6, 12)


def test_masses_add_and_scale() -> None:
    assert Npk(1, 2, 3) + Npk(4, 5, 6) * 2 - Npk(1) == Npk(8, 12, 15)
    assert NpkBand.within(Npk(10.0), 0.2) + NpkBand.exactly(Npk(1.0)) == NpkBand(
        Npk(9.0), Npk(11.0), Npk(13.0)
    )


def test_a_bag_is_read_as_elements() -> None:
    grams = label_npk(10.0, 5, 3, 2)  # 500 g N, 300 g P2O5, 200 g K2O

    assert grams.nitrogen_g == 500
    assert grams.phosphorus_g == pytest.approx(300 / 2.291, rel=0.001)
    assert grams.potassium_g == pytest.approx(200 / 1.205, rel=0.001)


@pytest.mark.parametrize(
    ("value", "unit", "mg_kg"),
    [(35, "ppm", 35), (35, "mg_kg", 35), (70, "lb_acre", 35), (78.46, "kg_ha", 35)],
)
def test_the_four_units_of_a_report_say_the_same(value: float, unit: str, mg_kg: float) -> None:
    assert from_report(value, unit) == pytest.approx(mg_kg, rel=1e-3)
    assert to_report(mg_kg, unit) == pytest.approx(value, rel=1e-3)


@pytest.mark.parametrize(("value", "unit"), [(-1, "ppm"), (1, "%"), (float("nan"), "ppm")])
def test_what_is_no_figure_of_a_report_is_refused(value: float, unit: str) -> None:
    with pytest.raises(ValueError, match="expected"):
        from_report(value, unit)


@given(st.floats(0, 5000), st.sampled_from(["ppm", "mg_kg", "lb_acre", "kg_ha"]))
def test_a_report_written_back_is_the_same(value: float, unit: str) -> None:
    assert to_report(from_report(value, unit), unit) == pytest.approx(value, abs=1e-9)


def test_a_finding_on_a_bed_is_grams_to_its_depth() -> None:
    # 2 m² x 0.15 m x 1330 kg/m³ = 399 kg of soil
    assert in_bed_g(10, 2.0, 150) == pytest.approx(3.99)
    assert opening(None, 10, None, area_m2=2.0, depth_mm=150) == Npk(0, pytest.approx(3.99), 0)
    assert opening(None, None, None, area_m2=2.0, depth_mm=150) == Npk()


@pytest.mark.parametrize(
    ("mg_kg", "by", "state"),
    [
        (None, "olsen", "not tested"),
        (50.0, "olsen", "not high"),
        (50.1, "olsen", "high"),
        (100.1, "olsen", "very high"),
        (68.0, "mehlich3", "not high"),
        (69.0, "mehlich3", "high"),
        (138.0, "mehlich3", "very high"),
        (51.0, "other", "high"),  # an unknown method is held to the lower levels
    ],
)
def test_a_test_is_rated_by_its_method(mg_kg: float | None, by: str, state: str) -> None:
    found = soil_phosphorus(mg_kg, by)

    assert found.state == state
    assert bool(found.source) == (mg_kg is not None)


def test_phosphorus_binds_only_where_the_test_is_high() -> None:
    """15 kg P/ha on 2 m² is 3 g of phosphorus, which comes with 3 / (16/53) = 9.94 g of nitrogen."""
    assert nitrogen_by_phosphorus_g(2.0, SoilPhosphorus(), removal_kg_ha=15) == inf
    assert nitrogen_by_phosphorus_g(2.0, HIGH, removal_kg_ha=15) == pytest.approx(9.9375)
    left_g = nitrogen_by_phosphorus_g(2.0, HIGH, removal_kg_ha=15, nitrogen_dropped_g=6.0)
    assert left_g == pytest.approx(3.9375)
    assert nitrogen_by_phosphorus_g(2.0, HIGH, removal_kg_ha=15, nitrogen_dropped_g=60.0) == 0
    assert nitrogen_by_phosphorus_g(2.0, FULL, removal_kg_ha=15) == 0


def test_a_bed_with_no_crop_to_come_is_capped_carefully_and_a_crop_that_takes_nothing_shuts_it() -> (
    None
):
    assert nitrogen_by_phosphorus_g(2.0, HIGH, removal_kg_ha=None) == pytest.approx(2 / (16 / 53))
    assert nitrogen_by_phosphorus_g(2.0, HIGH, removal_kg_ha=0.0) == 0


CABBAGE = PlantingDates(
    crop_name="Cabbage",
    starts_on=date(2026, 8, 1),
    first_harvest_on=date(2026, 11, 20),
    ends_on=date(2026, 12, 10),
    contact=Contact.TOUCHES,
    nitrogen_kg_ha=180,
)


def room(soil: BedSoil, rule: str = "annual_limit", droppings: tuple[Dropping, ...] = ()):
    return bed_room(
        2.0,
        [CABBAGE],
        droppings,
        on=TODAY,
        policy=NitrogenPolicy(rule),
        rule=HarvestRule(),
        soil=soil,
    )


def test_the_room_is_the_least_of_its_rules_and_says_which() -> None:
    capped = BedSoil(2.0, HIGH, {"Cabbage": 15.0})
    free, held = room(BedSoil(2.0)), room(capped)

    assert free.left_g == pytest.approx(34.0)  # 17 g/m² a year
    assert not free.is_held_by_phosphorus
    assert held.left_g == pytest.approx(9.9375)
    assert held.is_held_by_phosphorus
    assert (held.by_year_g, held.by_phosphorus_g) == pytest.approx((34.0, 9.9375))
    assert room(capped, "crop_need").left_g == pytest.approx(9.9375)


def test_compost_counts_for_a_years_limit_and_feeds_the_crop_but_is_no_dropping() -> None:
    soil = BedSoil(2.0, changes=(Dropping(date(2026, 5, 1), 10.0, for_crop=False),), usable_g=4.8)

    assert room(soil).left_g == pytest.approx(24.0)
    # (180 - 24) kg/ha on 2 m² is 31.2 g, over the 0.48 that crops can use of droppings
    assert room(soil, "crop_need").left_g == pytest.approx(31.2 / 0.48)
    assert room(soil).dropped_year_g == 0


def test_what_is_lifted_gives_room_back() -> None:
    dropped = (Dropping(date(2026, 6, 1), 30.0),)
    lifted = BedSoil(2.0, changes=(Dropping(date(2026, 6, 2), -12.0),))

    assert room(UNKNOWN_SOIL, droppings=dropped).left_g == pytest.approx(4.0)
    assert room(lifted, droppings=dropped).left_g == pytest.approx(16.0)


def test_a_part_of_a_bed_has_its_share_of_the_changes() -> None:
    soil = BedSoil(4.0, changes=(Dropping(TODAY, -12.0),))

    assert soil.changes_on(1.0) == [Dropping(TODAY, -3.0)]
    assert BedSoil(4.0, usable_g=2.0).supply_kg_ha == pytest.approx(5.0)
