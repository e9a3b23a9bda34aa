"""Loads on a bed against published limits and rates, and the load table worked out from them."""

import pytest

from garden.nutrients import NitrogenPolicy, annual_room_g, load_kg_ha, mass_for_load_g

SQUARE_FOOT_M2 = 0.09290304  # international foot, 0.3048 m
POUND_G = 453.59237  # international pound

# Space of a bird [ft²] -> load [kg N/ha and day] for the nitrogen a bird drops a day [g] in weeks
# 3, 4, 5, 6 and 8. Derived by hand from feed and weight tables (Poultry CRC; NRC 1994 as recalled)
# at 29 g nitrogen kept per kg of gain; printed to the nearest kg/ha, the areas to 0.001 m².
DAILY_NITROGEN_G = (1.3, 1.65, 2.35, 2.85, 3.6)
LOAD_TABLE = {
    1.0: (140, 178, 253, 307, 387),
    1.5: (93, 118, 169, 205, 258),
    2.0: (70, 89, 126, 153, 194),
    3.0: (47, 59, 84, 102, 129),
    4.0: (35, 44, 63, 77, 97),
}


@pytest.mark.parametrize(
    ("space_ft2", "daily_g", "printed_kg_ha"),
    [
        (space_ft2, daily_g, printed_kg_ha)
        for space_ft2, row in LOAD_TABLE.items()
        for daily_g, printed_kg_ha in zip(DAILY_NITROGEN_G, row, strict=True)
    ],
)
def test_a_day_of_one_bird_loads_its_space(
    space_ft2: float, daily_g: float, printed_kg_ha: int
) -> None:
    found_kg_ha = load_kg_ha(daily_g, space_ft2 * SQUARE_FOOT_M2)

    assert found_kg_ha == pytest.approx(printed_kg_ha, abs=0.8)


def test_a_four_by_eight_foot_bed_takes_less_than_one_broiler_a_year() -> None:
    """170 kg/ha on 32 ft² is 50 g; a broiler drops 59 to 67 g of nitrogen in six weeks."""
    room_g = annual_room_g(32 * SQUARE_FOOT_M2, NitrogenPolicy())

    assert room_g == pytest.approx(50.5, abs=0.1)
    assert room_g < 59.0


@pytest.mark.parametrize(
    ("pounds_per_1000_ft2", "printed_kg_ha"),
    [
        # University of Maryland Extension, Traunfeld, Fertilizing Vegetables, part 2: general rate
        (2.0, 98),
        # the same: heavy feeders like tomato, broccoli and beet
        (3.0, 146),
        # Colorado State University Extension 7.247: 8 oz before planting where no test was made
        (0.5, 24),
        # Directive 91/676/EEC, Annex III(2): 170 kg/ha and year, here in pounds
        (3.48, 170),
    ],
)
def test_garden_rates_in_pounds_are_the_loads_in_kilograms(
    pounds_per_1000_ft2: float, printed_kg_ha: int
) -> None:
    found_kg_ha = load_kg_ha(pounds_per_1000_ft2 * POUND_G, 1000 * SQUARE_FOOT_M2)

    assert found_kg_ha == pytest.approx(printed_kg_ha, abs=0.5)


def test_a_heavy_feeder_s_rate_at_half_availability_is_87_g_a_bed() -> None:
    """3 lb available nitrogen per 1000 ft² is 292 kg/ha dropped, on 32 ft² about 87 g."""
    policy = NitrogenPolicy("crop_need", mixed_in=True, first_year_share=0.625)  # 0.8 x 0.625
    dropped_kg_ha = 146 / policy.available_share

    assert dropped_kg_ha == pytest.approx(292, abs=0.5)
    assert mass_for_load_g(dropped_kg_ha, 32 * SQUARE_FOOT_M2) == pytest.approx(87, abs=0.5)


def test_twenty_five_birds_need_the_beds_the_arithmetic_says() -> None:
    """25 birds drop about 50 g each outdoors, 1.25 kg in all: 73 m² at 170 kg/ha."""
    assert load_kg_ha(25 * 50.0, 73.0) == pytest.approx(170, rel=0.01)
