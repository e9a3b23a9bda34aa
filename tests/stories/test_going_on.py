"""A pen that leaves where it stands is not sent back there within the rest; the best of what else there is."""

from dataclasses import replace

import pytest

from flocks.models import Batch
from garden.models import Bed, Garden
from rotation.engine.search import solve
from rotation.facts import facts_of
from rotation.going_on import solve_going_on
from rotation.planning import plan_again, plan_faults
from rotation.problems import NOW, size_problem, sizes_of
from tests.conftest import TODAY
from tests.factories import ClosureFactory, StayFactory
from tests.stories.small_plans import ROUNDS, bed, day, flock, pin, told

pytestmark = pytest.mark.django_db


def standing_pen(
    garden: Garden, *, birds: int, days: int, also: str = ""
) -> tuple[Batch, Bed, Bed]:
    """Return birds on a bed since yesterday, and two beds: theirs, and one that is shut from tomorrow on."""
    here, there = bed(garden, f"Here{also}", x_m=0), bed(garden, f"There{also}", x_m=3)
    ClosureFactory(bed=there, first_day=day(1), end_day=day(90))
    batch = flock(garden, birds=birds, days=days + 1, comes_out=day(-1))
    StayFactory(
        pen=batch.pens.get(), batch=batch, bed=here, offset_mm=40, stretch_mm=1170,
        first_day=day(-1),
    )  # fmt: skip
    return batch, here, there


def test_a_pen_does_not_step_aside_for_a_day(garden):
    # Three birds drop nearly 7 g a day, so Here has room for two days more and There for its one open day.
    standing_pen(garden, birds=3, days=4)
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    assert told(plan) == [("Here", 0, 2), ("off", 2, 4)]
    assert plan_faults(garden, TODAY) == []
    assert plan.lower_bound == pytest.approx(plan.cost)


def test_nor_do_two_of_them(garden):
    for also in ("", " too"):
        standing_pen(garden, birds=3, days=4, also=also)
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    assert told(plan) == [
        ("Here", 0, 2), ("off", 2, 4), ("Here too", 0, 2), ("off", 2, 4)
    ]  # fmt: skip
    assert plan_faults(garden, TODAY) == []
    assert plan.lower_bound <= plan.cost


def test_a_pen_that_is_fixed_elsewhere_today_stays_away(garden):
    batch, _, there = standing_pen(garden, birds=3, days=4)
    pin(batch, there, TODAY, day(1))
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    assert told(plan) == [("There", 0, 1), ("off", 1, 4)]
    assert plan_faults(garden, TODAY) == []


def test_a_stay_fixed_here_goes_on_as_long_as_it_is_fixed(garden):
    garden.rest_days = 0
    garden.save()
    batch, here, _ = standing_pen(garden, birds=3, days=4)
    pin(batch, here, day(-1), day(1))
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    assert told(plan)[0] == ("Here", 0, 1)
    assert plan_faults(garden, TODAY) == []


def test_a_bed_that_opens_tomorrow_is_not_gone_back_to(garden):
    _, here, _ = standing_pen(garden, birds=3, days=4)
    ClosureFactory(bed=here, first_day=TODAY, end_day=day(1))
    plan = plan_again(garden=garden, on=TODAY, effort=ROUNDS)
    assert told(plan) == [("There", 0, 1), ("off", 1, 4)]
    assert plan_faults(garden, TODAY) == []


def test_the_engines_answer_is_left_alone_where_nobody_is_sent_back(garden):
    standing_pen(garden, birds=1, days=4)
    facts = facts_of(garden, TODAY)
    part = size_problem(facts, sizes_of(facts)[0], decided=(), announced=())
    [run] = part.problem.runs
    assert run.starts_on.endswith(NOW)
    plain, again = (search(part.problem, rounds=20) for search in (solve, solve_going_on))
    assert replace(again, seconds=0.0) == replace(plain, seconds=0.0)
    assert [stay.first_day for stay in again.stays] == [0]
