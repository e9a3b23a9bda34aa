"""Taking the heaviest birds: the rest is lighter from then on, and weighings of it are read so."""

from __future__ import annotations

import numpy as np
import pytest

from flocks.growth import Band, forecast
from flocks.parted import RestOfFlock, Taken, paths_of_rest
from flocks.ready import take_heaviest
from flocks.strains import built_in_strains

CV = 0.12


def test_a_flock_that_nobody_parted_is_itself() -> None:
    rest = RestOfFlock.after([], CV)

    assert rest.share == 1.0
    assert rest.share_at(50) == 1.0


def test_the_rest_is_lighter_from_the_day_after() -> None:
    rest = RestOfFlock.after([Taken(42, 40, 10)], CV)

    assert [rest.share_at(age) for age in (0, 41, 42)] == [1.0] * 3
    assert rest.share_at(43) == rest.share == take_heaviest(40, 10, CV).left_mean
    assert 0.93 < rest.share < 0.97


def test_a_second_parting_counts_on_the_first_in_any_order() -> None:
    first, second = Taken(42, 40, 10), Taken(49, 30, 10)
    rest = RestOfFlock.after([second, first], CV)

    assert rest == RestOfFlock.after([first, second], CV)
    assert rest.share_at(56) < rest.share_at(45) < 1.0
    # What is left of an even flock can be parted less: the second step is the smaller one.
    assert rest.share_at(56) / rest.share_at(45) > rest.share_at(45) - 0.01


@pytest.mark.parametrize("birds", [0, 1, 10])
def test_taking_all_of_them_leaves_nothing_to_tell(birds: int) -> None:
    assert RestOfFlock.after([Taken(42, birds, birds)], CV).share == 1.0


def test_two_partings_come_to_about_what_one_of_both_does() -> None:
    twice = RestOfFlock.after([Taken(42, 60, 15), Taken(43, 45, 15)], CV)
    once = RestOfFlock.after([Taken(42, 60, 30)], CV)

    # The rest of a log-normal flock is taken for one again: off by little.
    assert twice.share == pytest.approx(once.share, abs=0.02)


def test_bands_step_down_once() -> None:
    rest = RestOfFlock.after([Taken(2, 20, 5)], CV)
    whole = np.array([40.0, 60.0, 80.0, 100.0, 120.0])
    told = rest.of(Band(0.9 * whole, whole, 1.1 * whole))

    assert told.median[:3].tolist() == whole[:3].tolist()
    assert told.median[3:] == pytest.approx(rest.share * whole[3:])
    assert np.all(told.low <= told.median)
    assert np.all(told.median <= told.high)


def test_paths_of_the_rest_never_fall_and_eat_less() -> None:
    whole = forecast(built_in_strains()["fast"], ages=range(60)).paths
    rest = RestOfFlock.after([Taken(42, 40, 10)], CV)
    left = paths_of_rest(whole, rest)

    assert np.all(np.diff(left.weight_g, axis=0) >= 0)
    assert np.all(left.feed_g <= whole.feed_g)
    assert left.weight_g[50] == pytest.approx(rest.share * whole.weight_g[50])
