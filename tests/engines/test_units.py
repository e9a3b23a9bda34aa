"""A grower types what the tape and the scale say; the rows hold SI; nothing drifts between."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garden.crop_units import CONTENT, CROP_YIELD, LOAD, SPACING
from garden.unit_sizes import (
    FAHRENHEIT_DEGREE_C,
    FOOT_MM,
    INCH_MM,
    OUNCE_G,
    POUND_G,
    POUND_PER_SQUARE_FOOT_KG_M2,
    SQUARE_FOOT_M2,
)
from garden.units import (
    AREA,
    BED_LENGTH,
    BIRD_MASS,
    DENSITY,
    DISTANCE,
    FEED_MASS,
    NITROGEN,
    PEN_LENGTH,
    TEMPERATURE,
)

MEASURES = {
    "bed_length": BED_LENGTH,
    "pen_length": PEN_LENGTH,
    "distance": DISTANCE,
    "bird_mass": BIRD_MASS,
    "feed_mass": FEED_MASS,
    "nitrogen": NITROGEN,
    "area": AREA,
    "temperature": TEMPERATURE,
    "density": DENSITY,
    "load": LOAD,
    "crop_yield": CROP_YIELD,
    "content": CONTENT,
    "spacing": SPACING,
}


@pytest.mark.parametrize(
    ("size", "printed"),
    [
        (INCH_MM, "25.4"),  # 16 CFR 500.19(a): 1 inch = 2.54 cm, exactly
        (FOOT_MM, "304.8"),  # 16 CFR 500.19(a): 1 foot = 30.48 cm, exactly
        (SQUARE_FOOT_M2, "0.09290304"),  # 16 CFR 500.19(a): 1 square foot = 929.0304 cm², exactly
        (POUND_G, "453.59237"),  # NIST Handbook 44 (2026), appendix C
        (OUNCE_G, "28.349523125"),  # NIST Handbook 44 (2026), appendix C
    ],
)
def test_sizes_are_the_printed_ones_to_the_last_figure(size, printed):
    assert size == Fraction(printed)


def test_density_of_the_trade_rules_agrees_with_its_metric_twin():
    # NCC stocking limit, 6.5 lb/ft² printed beside 31.7 kg/m²; 9.0 beside 43.9
    assert float(6.5 * POUND_PER_SQUARE_FOOT_KG_M2) == pytest.approx(31.7, abs=0.05)
    assert float(9.0 * POUND_PER_SQUARE_FOOT_KG_M2) == pytest.approx(43.9, abs=0.05)


@pytest.mark.parametrize(
    ("measure", "typed", "expected"),
    [
        (PEN_LENGTH, "1.2 m", 1200),
        (PEN_LENGTH, "1200 mm", 1200),
        (PEN_LENGTH, "1200mm", 1200),
        (PEN_LENGTH, '44 1/4"', 1123.95),
        (PEN_LENGTH, "44-1/4 in", 1123.95),
        (PEN_LENGTH, "44¼ in.", 1123.95),
        (PEN_LENGTH, "3' 8¼\"", 1123.95),
        (PEN_LENGTH, "3′ 8¼″", 1123.95),
        (PEN_LENGTH, "3ft8.25in", 1123.95),
        (PEN_LENGTH, "¾ in", 19.05),
        (PEN_LENGTH, ".5 in", 12.7),
        (BED_LENGTH, "4 ft 2 in", 1270),
        (BED_LENGTH, "4' 2", 1270),
        (BED_LENGTH, "1 m 20 cm", 1200),
        (BED_LENGTH, "2,4 m", 2400),
        (BED_LENGTH, "0,125 m", 125),
        (DISTANCE, "40 ft", 12.192),
        (BIRD_MASS, "1 lb 12 oz", 793.7866475),
        (BIRD_MASS, "5 lb 4", 2381.3599425),
        (BIRD_MASS, "790 g", 790),
        (BIRD_MASS, "0.79 kg", 790),
        (BIRD_MASS, "1,5 kg", 1500),
        (FEED_MASS, "50 lbs.", 22.6796185),
        (FEED_MASS, "800 g", 0.8),
        (AREA, "32 sq. ft.", 2.97289728),
        (AREA, "32 ft²", 2.97289728),
        (AREA, "3 m2", 3),
        (DENSITY, "21 kg/m²", 21),
        (TEMPERATURE, "21º C", 21),
        (TEMPERATURE, "−40 °F", -40),
        (TEMPERATURE, "32f", 0),
    ],
)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_written_unit_means_the_same_in_either_system(measure, typed, expected, system):
    assert measure.read(typed, system) == expected


@pytest.mark.parametrize(
    ("measure", "typed", "metric", "us"),
    [
        (PEN_LENGTH, "44", 44, 1117.6),
        (BED_LENGTH, "4", 40, 1219.2),
        (DISTANCE, "10", 10, 3.048),
        (BIRD_MASS, "2", 2, 907.18474),
        (FEED_MASS, "10", 10, 4.5359237),
        (NITROGEN, "50", 50, 50),
        (TEMPERATURE, "50", 50, 10),
    ],
)
def test_a_plain_number_is_in_the_unit_the_label_names(measure, typed, metric, us):
    assert measure.read(typed, "metric") == metric
    assert measure.read(typed, "us") == us
    assert measure.read(f"{typed} {measure.unit('us')}", "metric") == us


@pytest.mark.parametrize(
    ("measure", "value", "metric", "us"),
    [
        (BED_LENGTH, 2438.4, "244 cm", "8 ft"),
        (BED_LENGTH, 1219.2, "122 cm", "4 ft"),
        (BED_LENGTH, 1000, "100 cm", "3 ft 3 1/2 in"),
        (PEN_LENGTH, 1124, "1124 mm", "3 ft 8 1/4 in"),
        (PEN_LENGTH, 19, "19 mm", "3/4 in"),
        (PEN_LENGTH, 0, "0 mm", "0 in"),
        (PEN_LENGTH, 304, "304 mm", "11 15/16 in"),
        (PEN_LENGTH, 304.5, "305 mm", "1 ft"),  # twelve inches are a foot, never "12 in"
        (DISTANCE, 12.4, "12 m", "41 ft"),
        (BIRD_MASS, 42, "42 g", "1.5 oz"),
        (BIRD_MASS, 794, "790 g", "1 lb 12 oz"),
        (BIRD_MASS, 996, "1.00 kg", "2 lb 3 oz"),  # never "1000 g"
        (BIRD_MASS, 2704, "2.70 kg", "5 lb 15.5 oz"),
        (BIRD_MASS, 453.59237, "450 g", "1 lb"),
        (FEED_MASS, 0.25, "0.3 kg", "0.6 lb"),  # halves go up
        (NITROGEN, 86.5, "87 g", "87 g"),
        (AREA, 2.97289728, "2.97 m²", "32.0 ft²"),
        (TEMPERATURE, -18, "−18 °C", "0 °F"),
        (TEMPERATURE, -0.3, "0 °C", "31 °F"),  # never "−0"
        (DENSITY, 31.7, "31.7 kg/m²", "6.5 lb/ft²"),
    ],
)
def test_figures_are_rounded_to_what_a_grower_can_act_on(measure, value, metric, us):
    assert measure.show(value, "metric") == metric
    assert measure.show(value, "us") == us


@pytest.mark.parametrize(
    "typed",
    ["", "  ", "long", "4 4", "1/0 in", "4 ft 13 in", "3 kg", "1.2.3 m", "1e3", "2 in 3 ft", "m",
     "4 ft -2 in", "--3", "12 quux", "1 m 20", "5 kg/m2", "nan", "inf"],
)  # fmt: skip
def test_what_cannot_be_read_is_answered_with_an_example(typed):
    with pytest.raises(
        ValueError, match=r"^Give a length, for example 8, 8 ft or 7 ft 10 1/2 in\.$"
    ):
        BED_LENGTH.read(typed, "us")


def test_only_temperatures_go_below_zero():
    assert TEMPERATURE.read("-3", "metric") == -3
    with pytest.raises(ValueError, match=r"^Give a weight that is not below zero, for example"):
        FEED_MASS.read("-3 kg", "metric")


def test_a_comma_that_may_mark_thousands_is_asked_about():
    with pytest.raises(
        ValueError, match=r"1,200 could mean 1200 or 1\.200: write only the mark of the decimals"
    ):
        PEN_LENGTH.read("1,200 mm", "us")


def test_a_temperature_has_one_number():
    with pytest.raises(ValueError, match="Give a temperature"):
        TEMPERATURE.read("20 °C 5 °C", "metric")


def test_a_board_kept_to_the_millimetre_comes_back_as_the_sixteenth_it_was_cut_to():
    for sixteenths in range(1, 16 * 200):
        typed = PEN_LENGTH.show(sixteenths * 25.4 / 16, "us")
        stored_mm = round(PEN_LENGTH.read(typed, "us"))
        assert PEN_LENGTH.show(stored_mm, "us") == typed


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("measure", MEASURES.values(), ids=MEASURES.keys())
@given(value=st.floats(0, 100_000))
def test_saving_a_form_untouched_changes_nothing(measure, system, value):
    again = measure.read(measure.entry(value, system), system)
    assert again == pytest.approx(value, abs=float(measure.grain) * 1.000001)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("measure", MEASURES.values(), ids=MEASURES.keys())
@given(value=st.floats(0, 100_000))
def test_what_is_shown_reads_back_to_what_is_shown(measure, system, value):
    shown = measure.show(value, system)
    assert measure.show(measure.read(shown, system), system) == shown


@given(celsius=st.floats(-60, 60))
def test_a_night_of_frost_survives_a_form_in_fahrenheit(celsius):
    entry = TEMPERATURE.entry(celsius, "us")
    assert TEMPERATURE.read(entry, "us") == pytest.approx(celsius, abs=0.05)


def test_fahrenheit_and_celsius_meet_at_forty_below():
    # NIST SP 811, appendix B.8: t/°C = (t/°F − 32)/1.8
    assert Fraction(5, 9) == FAHRENHEIT_DEGREE_C
    assert TEMPERATURE.show(-40, "us") == "−40 °F"


@given(typed=st.text(max_size=20))
def test_any_text_at_all_is_read_or_refused_in_a_sentence(typed):
    answer = None
    try:
        assert PEN_LENGTH.read(typed, "us") >= 0
    except ValueError as refusal:
        answer = str(refusal)
    assert answer is None or answer.endswith(".")


@pytest.mark.parametrize(
    "typed",
    ["2", "2 lb/1,000 sq ft", "2 lb per 1000 sq. ft", "2 lb on 1 000 square feet", "97.65 kg/ha"],
)
def test_pounds_on_a_thousand_square_feet_however_they_are_spelt(typed):
    # University of Maryland, Fertilizing Vegetables: 2 lb on 1,000 sq ft, 98 kg/ha
    assert LOAD.read(typed, "us") == pytest.approx(97.65, abs=0.01)


def test_crops_figures_in_both_systems():
    assert LOAD.entry(170.0, "us") == "3.48 lb/1,000 sq ft"
    assert LOAD.entry(62.5, "metric") == "62.5 kg/ha"
    assert CONTENT.show(2.5, "us") == "0.25 %"
    assert CONTENT.read("0.25 %", "metric") == 2.5
    assert SPACING.show(300, "metric") == "30 cm"
    assert SPACING.read("12", "us") == pytest.approx(304.8)
    assert CROP_YIELD.read("0.92 lb/sq ft", "metric") == pytest.approx(4.49, abs=0.01)
