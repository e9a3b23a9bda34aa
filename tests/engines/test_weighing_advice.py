"""How many birds to weigh, and which day's weighing tells most."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy.special import ndtri

from flocks.growth import forecast
from flocks.strains import built_in_strains
from flocks.weighing_advice import (
    LEAST_NARROWING,
    WORTH_SHARE,
    birds_enough,
    error_share,
    narrowings,
    next_weighing,
)
from flocks.weighings import HANDLING_CV, Weighing

FAST = built_in_strains()["fast"]


def test_eight_birds_of_a_large_flock_are_within_five_per_cent():
    # 1.2816 × 0.11 / √n ≤ 0.05 asks for n ≥ 7.95; what weighings share takes one more.
    assert birds_enough(0.11, 10_000) == 9


@given(cv=some.floats(0.03, 0.3), birds=some.integers(1, 500), precision=some.floats(0.02, 0.2))
def test_the_number_is_enough_and_one_less_is_not(cv, birds, precision):
    number = birds_enough(cv, birds, precision)
    assert 1 <= number <= birds

    def off(n: int) -> float:
        share = (birds - n) / (birds - 1) if birds > 1 else 0.0
        return float(ndtri(0.9)) * np.sqrt(cv**2 / n * share + HANDLING_CV**2)

    assert off(number) <= precision * (1 + 1e-6)
    assert number == 1 or off(number - 1) > precision * (1 - 1e-6)


def test_what_all_weighings_share_no_number_mends():
    assert birds_enough(0.11, 100, precision=0.01) is None


@given(cv=some.floats(0.03, 0.3), birds=some.integers(2, 300), data=some.data())
def test_what_the_table_tells_agrees_with_the_number_that_is_enough(cv, birds, data):
    count = data.draw(some.integers(1, birds - 1))
    assert error_share(cv, birds, count + 1) < error_share(cv, birds, count)
    for all_of_them in (birds, birds + 7):
        off = error_share(cv, birds, all_of_them)
        assert off == pytest.approx(float(ndtri(0.9)) * HANDLING_CV)
    enough = birds_enough(cv, birds)
    assert (error_share(cv, birds, count) <= 0.05 + 1e-9) == (count >= enough)


@pytest.fixture(scope="module")
def paths():
    """Return a flock weighed at two weeks."""
    weighed = [Weighing(14, 430, 10)]
    return forecast(FAST, weighings=weighed, ages=range(151)).paths


def test_a_weighing_narrows_and_never_widens(paths):
    for each in narrowings(paths, 2400, range(15, 45), 10):
        assert 0.0 < each.width_after <= each.width_before


def test_more_birds_and_a_day_nearer_to_the_goal_narrow_more(paths):
    few, many = (narrowings(paths, 2400, [28], count)[0] for count in (1, 50))
    early, late = narrowings(paths, 2400, [16, 35], 10)
    assert many.width_after < few.width_after
    assert late.width_after < early.width_after


def test_the_width_told_is_about_what_a_weighing_leaves():
    told = narrowings(forecast(FAST, ages=range(151)).paths, 2400, [28], 10)[0]
    # about what such birds were to weigh; birds far off widen the answer instead
    after = forecast(FAST, weighings=[Weighing(28, 1700, 10)], target_g=2400).target_age_days
    assert told.width_after == pytest.approx(after.high - after.low, rel=0.5)
    assert told.width_after < 0.9 * told.width_before


def test_the_first_day_that_does_nearly_all_is_suggested(paths):
    told = narrowings(paths, 2400, range(17, 38), 10)
    best = next_weighing(told)
    greatest = max(each.share for each in told)
    assert best.share >= WORTH_SHARE * greatest
    assert all(
        each.share < WORTH_SHARE * greatest for each in told if each.age_days < best.age_days
    )


def test_no_weighing_is_suggested_that_tells_nothing(paths):
    told = narrowings(paths, 2400, range(17, 38), 10)
    idle = [
        replace(each, width_after=each.width_before * (1 - LEAST_NARROWING / 2)) for each in told
    ]
    assert next_weighing(idle) is None
    assert next_weighing([]) is None
