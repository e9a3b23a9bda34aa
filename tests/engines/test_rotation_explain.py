"""Why a pen is off-bed: each reason told once a spot, the first that shuts it."""

from dataclasses import replace

from rotation.engine.explain import off_bed_spans
from rotation.engine.problem import Window
from tests.engines.rotation_cases import problem, run, stay


def reasons(asked, stays):
    return [(s.run, s.first_day, s.end_day, dict(s.because)) for s in off_bed_spans(asked, stays)]


def with_spots(asked, **changes):
    first, *others = asked.spots
    return replace(asked, spots=(replace(first, **changes), *others))


def test_a_plan_without_off_bed_days_has_nothing_to_explain():
    assert reasons(problem(), [stay("bed-1", 2, 5), stay("bed-2", 5, 8)]) == []


def test_open_spots_are_put_down_to_cost():
    assert reasons(problem(), [stay("bed-1", 2, 6)]) == [("pen-1", 6, 8, {"cost": 1, "rest": 1})]


def test_no_window_open_is_crop():
    asked = with_spots(problem(), windows=(Window(12, 20, 60.0, 20.0),))
    assert reasons(asked, [])[0][3] == {"crop": 1, "cost": 1}


def test_another_pen_there_is_taken_and_afterwards_rest():
    pens = run(spots=("bed-1",)), run(id="pen-2", first_day=2, nitrogen_g=(10.0,) * 3)
    assert reasons(problem(runs=pens), [stay("bed-1", 2, 5, "pen-2")]) == [
        ("pen-1", 2, 5, {"taken": 1}),
        ("pen-1", 5, 8, {"rest": 1}),
    ]


def test_too_close_before_a_later_stay_is_rest():
    pens = run(spots=("bed-2",)), run(id="pen-2", first_day=10)
    asked = problem(runs=pens)
    # bed-2 is needed from day 11: a stay of pen-1 must end on day 6, so day 6 itself is too late
    told = reasons(asked, [stay("bed-2", 11, 15, "pen-2")])
    assert ("pen-1", 2, 6, {"cost": 1}) in told
    assert ("pen-1", 6, 8, {"rest": 1}) in told


def test_one_day_heavier_than_the_room_is_nitrogen():
    heavy = run(spots=("bed-1",), nitrogen_g=(61.0,) * 6)
    assert reasons(problem(runs=(heavy,)), []) == [("pen-1", 2, 8, {"nitrogen": 1})]


def test_room_used_by_other_stays_counts():
    pens = run(spots=("bed-1",), first_day=12), run(id="pen-2", nitrogen_g=(15.0,) * 6)
    first_window = [replace(stay("bed-1", 2, 6, "pen-2"), nitrogen_g=60.0)]
    asked = with_spots(problem(runs=pens), nitrogen_room_g=65.0)
    assert reasons(asked, first_window)[0] == ("pen-1", 12, 18, {"nitrogen": 1})


def test_a_day_that_no_lawful_stay_can_hold_is_length():
    # room for one day of these birds and not for the least stay of two
    heavy = run(spots=("bed-1",), nitrogen_g=(40.0,) * 6)
    assert reasons(problem(runs=(heavy,)), []) == [("pen-1", 2, 8, {"length": 1})]


def test_a_gap_shorter_than_a_stay_is_length():
    plan = [stay("bed-1", 2, 5), stay("bed-2", 6, 8)]
    asked = problem(runs=(run(spots=("bed-1", "bed-2", "bed-3")),), rest_days=0)
    third = replace(asked.spots[1], id="bed-3")
    asked = replace(asked, spots=(*asked.spots, third))
    assert reasons(asked, plan) == [("pen-1", 5, 6, {"length": 3})]


def test_days_alike_are_one_span_and_others_are_not():
    asked = with_spots(problem(), windows=(Window(0, 4, 60.0, 0.0),))
    told = reasons(asked, [])
    assert [(first, end) for _, first, end, _ in told] == [(2, 4), (4, 8)]


def test_a_run_without_spots_has_no_reason_to_count():
    assert reasons(problem(runs=(run(spots=()),)), []) == [("pen-1", 2, 8, {})]
