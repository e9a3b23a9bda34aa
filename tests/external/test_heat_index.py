"""The heat index against the papers that it comes from."""

import pytest

from flocks.heat import DANGER_C, HEAVY_LIMIT_C, HeatLevel, heat_index_c, heat_on, wet_bulb_c


@pytest.mark.parametrize(
    ("air_c", "humidity_percent", "expected_c"),
    [
        (20.0, 50.0, 13.7),  # Stull 2011, the worked example after equation 1
    ],
)
def test_the_wet_bulb_is_that_of_the_paper(air_c, humidity_percent, expected_c) -> None:
    assert wet_bulb_c(air_c, humidity_percent) == pytest.approx(expected_c, abs=0.05)


@pytest.mark.parametrize(
    ("air_c", "humidity_percent", "expected_c"),
    [
        # Purswell and others 2012, abstract: chambers of 15, 21 and 27 °C at 50, 65 and 80 % gave an index of
        # 14.8 °C to 26.9 °C. The abstract does not say which air gave which: the hottest and dampest the most.
        (27.0, 80.0, 26.9),
    ],
)
def test_the_index_covers_the_range_of_the_paper(air_c, humidity_percent, expected_c) -> None:
    assert heat_index_c(air_c, humidity_percent) == pytest.approx(expected_c, abs=0.5)
    assert heat_index_c(15.0, 65.0) == pytest.approx(14.8, abs=0.7)


def test_heavy_birds_are_strained_above_the_paper_s_21_degrees() -> None:
    assert HEAVY_LIMIT_C == 21.0
    assert heat_on(21.5, 50, 50).level is HeatLevel.FINE
    assert heat_on(23.0, 65, 50).level is HeatLevel.STRAIN


def test_the_mildest_air_of_the_chamber_trials_is_danger() -> None:
    # Tao and Xin 2003: 35 °C with a dew point of 19.4 °C, which is 40 % of humidity.
    assert heat_on(35.0, 40.0, 46).level is HeatLevel.DANGER
    assert heat_index_c(35.0, 40.0) > DANGER_C
