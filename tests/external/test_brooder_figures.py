"""The brooder against published figures, and published figures against each other."""

import pytest

from flocks.brooding import (
    ACCLIMATION_DAYS,
    BROODER_WEEKS,
    INCH,
    SQUARE_FOOT_M2,
    brooder_needs,
    first_mild_age,
    lamp_kwh,
    lamps,
    room_c,
)


def celsius(fahrenheit: float) -> float:
    """Turn °F into °C."""
    return (fahrenheit - 32) / 1.8


@pytest.mark.parametrize(
    ("age", "low_f", "high_f", "floor_ft2", "feeder_in", "drinker_in"),
    [
        # Clauer (Penn State, Virginia Tech), space should increase as birds grow: weeks 1, 2-3, 3-5, 5-8.
        (0, 92, 95, 0.25, 1.0, 0.5),
        (6, 92, 95, 0.25, 1.0, 0.5),
        (7, 85, 90, 0.5, 1.5, 0.5),
        (20, 85, 90, 0.5, 1.5, 0.5),
        (21, 80, 85, 0.75, 2.0, 0.5),
        (34, 80, 85, 0.75, 2.0, 0.5),
        (35, 70, 80, 1.0, 2.0, 0.75),
        (55, 70, 80, 1.0, 2.0, 0.75),
    ],
)
def test_clauers_table(age, low_f, high_f, floor_ft2, feeder_in, drinker_in):
    row = brooder_needs(age)
    assert row.low_c == pytest.approx(celsius(low_f), abs=0.6)  # printed to a degree
    assert row.high_c == pytest.approx(celsius(high_f), abs=0.6)
    assert row.floor_m2 == pytest.approx(floor_ft2 * SQUARE_FOOT_M2)
    assert (row.feeder_mm, row.drinker_mm) == (feeder_in * INCH, drinker_in * INCH)


@pytest.mark.parametrize("week", [1, 2, 3, 4, 5])
def test_penn_states_five_degrees_a_week_lie_within_or_between_the_rows(week):
    # Penn State Extension, 4-H embryology, brooding: 92 to 95 °F in the first week, 5 °F less each week after.
    low_c, high_c = celsius(92 - 5 * (week - 1)), celsius(95 - 5 * (week - 1))
    row = brooder_needs(7 * (week - 1))
    assert low_c <= row.high_c + 0.6
    assert high_c >= row.low_c - 0.6 - 2.8  # half a week's step: Clauer keeps weeks 2 and 3 alike


@pytest.mark.parametrize(
    ("age", "warm_c"),
    # Chart of a breeder's guide, house temperature by age for chicks of young parents.
    [(0, 34), (7, 31), (14, 27), (21, 24), (28, 21), (35, 19), (42, 18), (60, 18)],
)
def test_a_room_warm_all_over_follows_the_chart(age, warm_c):
    assert room_c(age) == warm_c


@pytest.mark.parametrize("age", range(28))
def test_the_chart_is_near_another_published_programme(age):
    # Ontario: 30 °C for day-olds, 1 °C less every three days, down to 20 °C at 27 days. It is the cooler one.
    assert -1.5 <= room_c(age) - max(20.0, 30 - age // 3) <= 4.0


def test_between_two_figures_of_the_chart_the_room_cools_evenly():
    assert room_c(3.5) == pytest.approx(32.5)
    with pytest.raises(ValueError, match="at least 0"):
        room_c(-1)


def test_lamps_and_their_power():
    # One 250 W lamp for 50 to 75 chicks; 0.25 kW x 24 h x 21 days = 126 kWh.
    assert (lamps(1), lamps(50), lamps(51), lamps(200)) == (1, 1, 2, 4)
    assert lamp_kwh(50, 21) == pytest.approx(126)
    assert lamp_kwh(50, -3) == 0


def test_birds_wait_until_enough_nights_in_a_row_are_mild():
    assert first_mild_age([25.0] * 60) == 21
    assert first_mild_age([12.0] * 60) == 35
    assert first_mild_age([25.0] * 23 + [5.0] + [25.0] * 30) == 24
    assert first_mild_age([25.0] * (21 + ACCLIMATION_DAYS - 1)) is None
    assert first_mild_age([None] * 60) is None
    assert first_mild_age([0.0] * 60) is None


def test_every_row_has_its_source():
    assert all(row.source.startswith("Clauer") for row in BROODER_WEEKS)
