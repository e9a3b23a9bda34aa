"""Every rule of a rotation plan with a plan that keeps it and one that breaks it."""

from dataclasses import replace

import pytest

from rotation.engine.problem import Span
from rotation.engine.rules import broken_rules, cost_of
from tests.engines.rotation_cases import off_bed, problem, run, stay


def breaches(stays, off=(), **changes):
    return [breach.rule for breach in broken_rules(problem(**changes), stays, off)]


def test_a_plan_that_keeps_every_rule_has_no_breach():
    assert breaches([stay("bed-1", 2, 5), stay("bed-2", 5, 8)]) == []


@pytest.mark.parametrize(
    ("stays", "off"),
    [
        ([stay("bed-1", 2, 5)], []),  # the last three days are missing
        ([stay("bed-1", 2, 5), stay("bed-2", 4, 8)], []),  # day 4 is spent twice
        ([stay("bed-1", 2, 5), stay("bed-2", 6, 8)], []),  # day 5 is missing
        ([stay("bed-1", 2, 5)], [off_bed(4, 8)]),  # on a bed and off it on day 4
        ([stay("bed-1", 2, 5)], [off_bed(5, 9)]),  # a day after the birds are gone
    ],
)
def test_every_day_is_spent_exactly_once(stays, off):
    assert "days" in breaches(stays, off)


def test_off_bed_days_fill_the_rest():
    assert breaches([stay("bed-1", 2, 5)], [off_bed(5, 6), off_bed(6, 8)]) == []
    assert breaches([], [off_bed(2, 8)]) == []


def test_a_spot_must_be_allowed_to_the_run():
    only_second = run(spots=("bed-2",))
    plan = [stay("bed-1", 2, 4)], [off_bed(4, 8)]
    assert breaches(*plan, runs=(only_second,)) == ["stay"]
    assert breaches(*plan) == []


def test_unknown_names_are_told_and_nothing_else():
    assert breaches([stay("bed-9", 2, 5, "pen-9")], [off_bed(5, 8)]) == ["days", "days"]


def test_a_stay_lies_within_one_window():
    late = run(first_day=8)
    assert breaches([stay("bed-1", 8, 10)], [off_bed(10, 14)], runs=(late,)) == []
    assert breaches([stay("bed-1", 8, 11)], [off_bed(11, 14)], runs=(late,)) == ["stay"]
    assert breaches([stay("bed-1", 9, 13)], [off_bed(8, 9), off_bed(13, 14)], runs=(late,)) == [
        "stay"
    ]


@pytest.mark.parametrize(("length", "good"), [(1, False), (2, True), (4, True), (5, False)])
def test_a_stay_is_neither_too_short_nor_too_long(length, good):
    plan = [stay("bed-1", 2, 2 + length)], [off_bed(2 + length, 8)]
    assert (breaches(*plan) == []) is good


@pytest.mark.parametrize(
    ("stood_days", "length", "good"), [(1, 1, True), (0, 1, False), (3, 1, True), (3, 2, False)]
)
def test_days_already_stood_count_towards_the_first_stay(stood_days, length, good):
    standing = run(starts_on="bed-1", stood_days=stood_days)
    plan = [stay("bed-1", 2, 2 + length)], [off_bed(2 + length, 8)]
    assert (breaches(*plan, runs=(standing,)) == []) is good


@pytest.mark.parametrize(("second_start", "good"), [(9, True), (8, False), (4, False)])
def test_a_spot_rests_between_the_stays_of_two_runs(second_start, good):
    first, second = run(), run(id="pen-2", first_day=second_start)
    # pen-1 leaves bed-1 on day 4, and the rest is 5 days
    stays = [stay("bed-1", 2, 4), stay("bed-1", second_start, second_start + 2, "pen-2")]
    if second_start == 9:
        stays[1] = stay("bed-2", 9, 11, "pen-2")
        stays[0] = stay("bed-2", 2, 4)
    off = [off_bed(4, 8), off_bed(second_start + 2, second_start + 6, "pen-2")]
    assert (breaches(stays, off, runs=(first, second)) == []) is good


def test_a_spot_rests_between_two_stays_of_one_run():
    long_run = run(nitrogen_g=(1.0,) * 12)
    back_on_day_9 = [stay("bed-2", 2, 4), stay("bed-2", 9, 11)]
    off = [off_bed(4, 9), off_bed(11, 14)]
    assert breaches(back_on_day_9, off, runs=(long_run,)) == []
    assert breaches(back_on_day_9, off, runs=(long_run,), rest_days=6) == ["rest"]


def test_without_a_rest_a_stay_may_follow_at_once_but_not_overlap():
    pens = run(), run(id="pen-2")
    off = [off_bed(4, 8), off_bed(2, 4, "pen-2"), off_bed(6, 8, "pen-2")]
    follows = [stay("bed-1", 2, 4), stay("bed-1", 4, 6, "pen-2")]
    assert breaches(follows, off, runs=pens, rest_days=0) == []
    together = [stay("bed-1", 2, 4), stay("bed-1", 3, 5, "pen-2")]
    off = [off_bed(4, 8), off_bed(2, 3, "pen-2"), off_bed(5, 8, "pen-2")]
    assert breaches(together, off, runs=pens, rest_days=0) == ["rest"]


@pytest.mark.parametrize(("grams", "good"), [(15.0, True), (15.0 + 2e-7, True), (15.01, False)])
def test_a_window_takes_no_more_nitrogen_than_its_room(grams, good):
    # four days on bed-1, whose first window has room for 60 g
    heavy = run(nitrogen_g=(grams,) * 6)
    plan = [stay("bed-1", 2, 6)], [off_bed(6, 8)]
    assert (breaches(*plan, runs=(heavy,)) == []) is good


def test_a_spot_takes_no_more_nitrogen_than_its_room_over_all_windows():
    # each window of bed-1 has room for 60 g, the spot for 100 g
    def plan(grams):
        pens = run(nitrogen_g=(grams,) * 6), run(id="pen-2", first_day=12, nitrogen_g=(grams,) * 6)
        stays = [stay("bed-1", 2, 6), stay("bed-1", 12, 16, "pen-2")]
        return breaches(stays, [off_bed(6, 8), off_bed(16, 18, "pen-2")], runs=pens)

    assert plan(12.5) == []
    assert plan(12.6) == ["nitrogen"]


def test_nitrogen_is_counted_from_the_run_and_not_from_what_the_plan_claims():
    heavy = run(nitrogen_g=(20.0,) * 6)
    claims_10_g_a_day = [stay("bed-1", 2, 6)]
    assert breaches(claims_10_g_a_day, [off_bed(6, 8)], runs=(heavy,)) == ["nitrogen"]


def test_a_pinned_stay_must_be_a_stay_of_the_plan():
    pinned = run(pinned=(Span("bed-1", 2, 5),))
    assert breaches([stay("bed-1", 2, 5)], [off_bed(5, 8)], runs=(pinned,)) == []
    assert breaches([stay("bed-1", 2, 4)], [off_bed(4, 8)], runs=(pinned,)) == ["pinned"]


def test_the_cost_is_told_by_its_causes():
    items = cost_of(problem(), [stay("bed-1", 2, 5), stay("bed-2", 5, 7)], [off_bed(7, 8)])
    # two moves; bed-1 to bed-2 is 5 m; 20 of the 30 g on bed-1 are wanted and none on bed-2
    assert (items.moves, items.carry, items.off_bed) == (20.0, 2.5, 100.0)
    assert items.wanted_nitrogen == pytest.approx(-2.0)
    assert items.changed == 0.0
    assert items.total == pytest.approx(120.5)


def test_an_off_bed_day_between_two_stays_saves_the_carry():
    items = cost_of(problem(), [stay("bed-1", 2, 4), stay("bed-2", 5, 8)], [off_bed(4, 5)])
    assert items.carry == 0.0


def test_going_on_where_the_pen_stands_costs_no_move():
    standing = problem(runs=(run(starts_on="bed-1"),))
    plan = [stay("bed-1", 2, 5), stay("bed-2", 5, 8)]
    assert cost_of(standing, plan, []).moves == 10.0
    elsewhere = cost_of(standing, [stay("bed-2", 2, 5)], [off_bed(5, 8)])
    assert (elsewhere.moves, elsewhere.carry) == (10.0, 0.0)
    later = cost_of(standing, [stay("bed-1", 3, 6)], [off_bed(2, 3), off_bed(6, 8)])
    assert later.moves == 10.0


def test_each_announced_day_elsewhere_costs():
    told = run(announced=(Span("bed-1", 2, 5), Span("bed-2", 5, 8)))
    asked = problem(runs=(told,))
    asked = replace(asked, costs=replace(asked.costs, changed_day=3.0))
    as_told = cost_of(asked, [stay("bed-1", 2, 5), stay("bed-2", 5, 8)], [])
    assert as_told.changed == 0.0
    # day 4 on bed-2 instead of bed-1, and day 7 off-bed
    changed = cost_of(asked, [stay("bed-1", 2, 4), stay("bed-2", 4, 7)], [off_bed(7, 8)])
    assert changed.changed == 6.0
