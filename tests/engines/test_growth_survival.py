"""How many birds will be left, and when a day's losses are no chance."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flocks.survival import Day, is_sudden, survivors, usual_losses


def days(alive: int, until: int, losses: dict[int, int] | None = None) -> list[Day]:
    """The days of a batch from hatch, with losses by age."""
    past = []
    for age in range(until):
        lost = (losses or {}).get(age, 0)
        past.append(Day(age, alive, lost))
        alive -= lost
    return past


def test_the_schedule_comes_to_the_published_totals():
    # 4.2 % at 41 days on a broiler farm, 5 % on average in industry; ours has a little for predators.
    assert 0.035 < usual_losses(1000, 0, 42) / 1000 < 0.06


def test_a_chance_of_each_number_holds_the_truth_as_often_as_it_says():
    rng = np.random.default_rng(4)
    held = []
    for _ in range(400):
        worse = rng.gamma(1.0)
        losses = {d: int(rng.poisson(worse * usual_losses(60, d, d + 1))) for d in range(28)}
        alive = 60 - sum(losses.values())
        truth = alive - rng.poisson(worse * usual_losses(alive, 28, 56))
        told = survivors(alive, 28, 56, days(60, 28, losses))
        held.append(told.low <= truth <= told.high)

    # Whole birds make an interval hold more than it says.
    assert 0.78 <= np.mean(held) <= 0.97


def test_a_flock_that_lost_none_is_expected_to_lose_fewer():
    steady = survivors(100, 28, 56, days(100, 28))
    troubled = survivors(92, 28, 56, days(100, 28, {3: 2, 9: 2, 16: 2, 25: 2}))

    assert steady.losses_of_usual < 1 < troubled.losses_of_usual
    assert 100 - steady.expected < 92 - troubled.expected


def test_one_fox_says_less_than_as_many_single_deaths():
    fox = survivors(92, 28, 56, days(100, 28, {25: 8}))
    singles = survivors(92, 28, 56, days(100, 28, dict.fromkeys(range(3, 27, 3), 1)))

    assert fox.expected > singles.expected


@given(alive=st.integers(0, 400), age=st.integers(0, 60), wait=st.integers(0, 40))
@settings(max_examples=60, deadline=None)
def test_whatever_is_asked_the_answer_is_sane(alive: int, age: int, wait: int) -> None:
    told = survivors(alive, age, age + wait)

    assert 0 <= told.low <= told.median <= told.high <= alive
    assert 0 <= told.expected <= alive


def test_the_longer_the_wait_the_fewer_and_the_less_certain():
    soon, late = survivors(100, 14, 21), survivors(100, 14, 56)

    assert late.expected < soon.expected
    assert late.high - late.low > soon.high - soon.low


@pytest.mark.parametrize(
    ("lost", "alive", "sudden"), [(0, 25, False), (1, 25, False), (3, 25, True), (1, 1, False)]
)
def test_sudden_is_more_than_chance_brings(lost: int, alive: int, sudden: bool) -> None:
    assert is_sudden(lost, alive, 30) is sudden


def test_a_large_flock_loses_a_few_each_day_and_nobody_need_call():
    assert not is_sudden(4, 2000, 30)
    assert is_sudden(40, 2000, 30)


@pytest.mark.parametrize("asked", [(-1, 3, 5), (10, 5, 3)])
def test_nonsense_is_refused(asked: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="survivors need birds"):
        survivors(*asked)
