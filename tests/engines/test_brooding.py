"""Chicks under the lamp and the night they may leave it."""

from __future__ import annotations

import pytest

from flocks.brooding import SAFE_NIGHTS, brooder_needs, leaving_advice, safe_night_low_c


@pytest.mark.parametrize(
    ("age", "low_c", "high_c", "floor_ft2"),
    [
        # Clauer, space should increase as birds grow: °F turned to °C, floor in square feet.
        (0, 33, 35, 0.25),
        (6, 33, 35, 0.25),
        (7, 29, 32, 0.5),
        (20, 29, 32, 0.5),
        (21, 27, 29, 0.75),
        (35, 21, 27, 1.0),
        (50, 21, 27, 1.0),
    ],
)
def test_warmth_and_floor_by_age(age: int, low_c: float, high_c: float, floor_ft2: float) -> None:
    needs = brooder_needs(age)

    assert (needs.low_c, needs.high_c) == (low_c, high_c)
    assert needs.floor_m2 == pytest.approx(floor_ft2 * 0.0929)


def test_an_age_before_hatch_is_refused() -> None:
    with pytest.raises(ValueError, match="at least 0 days"):
        brooder_needs(-1)


def test_chicks_of_two_weeks_stay_in_however_mild_the_night() -> None:
    advice = leaving_advice(14, night_low_c=25)

    assert safe_night_low_c(14) is None
    assert not advice.may_leave
    assert "too young" in advice.reason


def test_the_same_night_keeps_young_birds_in_and_lets_older_ones_out() -> None:
    assert not leaving_advice(23, night_low_c=11).may_leave
    assert leaving_advice(36, night_low_c=11).may_leave


def test_older_birds_stand_colder_nights_and_every_row_has_a_source() -> None:
    lows = [night.low_c for night in SAFE_NIGHTS]

    assert lows == sorted(lows, reverse=True)
    assert all("memory" in night.source or "forum" in night.source for night in SAFE_NIGHTS)
