"""What the plan asks of pens on a day, as values without a database."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from rotation.day_sheet import (
    BatchDay,
    MoveKind,
    PenDay,
    Place,
    Planned,
    Standing,
    due_move,
    in_order,
    settled,
    tomorrow_of,
)

ON = date(2026, 6, 12)


def day(number: int) -> date:
    return ON + timedelta(days=number)


def place(bed: int, *, offset_mm: float = 0.0) -> Place:
    return Place(bed_id=bed, bed_name=f"Bed {bed}", offset_mm=offset_mm, centre_m=(2.0 * bed, 0.0))


BATCH = BatchDay(
    id=12,
    name="Batch 12",
    age_days=33,
    birds=7,
    hatch_on=day(-33),
    leaves_brooder_on=day(-9),
    processing_on=day(16),
    weight_g=1500,
    feed_name="grower",
    feed_name_tomorrow="grower",
)


def pen(number: int = 1, **changes) -> PenDay:
    facts = {
        "id": number,
        "name": f"Pen {number}",
        "batch": BATCH,
        "birds": 7,
        "feed_kg": 1.0,
        "feed_tomorrow_kg": 1.1,
        "nitrogen_g": 15.0,
        "standing": Standing(id=number, place=place(number), first_day=day(-3)),
    }
    return PenDay(**(facts | changes))


def planned(where: Place, first: int, end: int) -> Planned:
    return Planned(place=where, first_day=day(first), end_day=day(end))


def test_a_pen_goes_where_the_plan_says_and_is_told_how_far() -> None:
    move = due_move(pen(now=planned(place(4), 0, 2)), ON)
    assert move.kind is MoveKind.MOVE
    assert (move.carry_m, move.late_days, move.is_late) == (pytest.approx(6.0), 0, False)


def test_a_move_nobody_made_is_late_by_its_days() -> None:
    move = due_move(pen(now=planned(place(4), -2, 3)), ON)
    assert move.is_late
    assert (move.due_on, move.late_days) == (day(-2), 2)


def test_another_place_on_the_same_bed_is_a_move() -> None:
    assert due_move(pen(now=planned(place(1, offset_mm=1200), 0, 2)), ON)


def test_a_hair_beside_the_planned_place_is_no_move() -> None:
    assert due_move(pen(now=planned(place(1, offset_mm=4.0), 0, 2)), ON) is None


def test_chicks_come_out_of_the_brooder_on_their_day() -> None:
    leaving = replace(BATCH, leaves_brooder_on=ON)
    out = pen(standing=None, batch=leaving, now=planned(place(2), 0, 3))
    move = due_move(out, ON)
    assert (move.kind, move.carry_m, move.due_on) == (MoveKind.OUT, None, ON)
    assert due_move(out, day(-1)) is None


def test_chicks_left_in_the_brooder_are_late_from_their_day() -> None:
    late = due_move(pen(standing=None, now=planned(place(2), 0, 3)), ON)
    assert late.late_days == 9


def test_a_pen_that_no_bed_takes_stands_off_the_beds() -> None:
    move = due_move(pen(now=planned(Place(), 0, 1)), ON)
    assert (move.kind, move.carry_m) == (MoveKind.OFF, None)
    off = Standing(id=1, place=Place(), first_day=day(-1))
    assert due_move(pen(standing=off, now=planned(Place(), -1, 1)), ON) is None


def test_nothing_moves_on_processing_day_nor_without_a_plan() -> None:
    last = replace(BATCH, processing_on=ON)
    assert due_move(pen(batch=last, now=planned(place(4), 0, 2)), ON) is None
    assert due_move(pen(), ON) is None
    assert pen().is_unplanned(ON)
    assert not pen(batch=last).is_unplanned(ON)


def test_birds_kept_past_processing_day_go_on_moving() -> None:
    overdue = replace(BATCH, processing_on=day(-1))
    assert due_move(pen(batch=overdue, now=planned(place(4), 0, 2)), ON)


def test_a_pen_that_stays_says_how_long() -> None:
    stays = settled(pen(now=planned(place(1), -3, 2)), ON)
    assert (stays.day_here, stays.until, stays.days_left) == (4, day(2), 2)
    assert settled(pen(now=planned(place(4), 0, 2)), ON) is None


def test_the_pen_in_the_way_goes_first() -> None:
    first = due_move(pen(1, now=planned(place(2), 0, 2)), ON)
    in_its_way = due_move(pen(2, now=planned(place(5), 0, 2)), ON)
    assert [move.pen.id for move in in_order([first, in_its_way])] == [2, 1]


def test_late_moves_come_first() -> None:
    due = due_move(pen(1, now=planned(place(6), 0, 2)), ON)
    late = due_move(pen(3, now=planned(place(7), -1, 2)), ON)
    assert [move.pen.id for move in in_order([due, late])] == [3, 1]


def test_two_pens_that_change_places_do_not_hang() -> None:
    one = due_move(pen(1, now=planned(place(2), 0, 2)), ON)
    two = due_move(pen(2, now=planned(place(1), 0, 2)), ON)
    assert len(in_order([one, two])) == 2


def test_tomorrow_tells_the_next_move_as_if_todays_were_made() -> None:
    moving = pen(now=planned(place(4), 0, 1), after=planned(place(5), 1, 3))
    told = tomorrow_of(moving, ON)
    assert told.goes_to.place.bed_id == 5
    assert told.carry_m == pytest.approx(2.0)


def test_tomorrow_tells_a_new_feed_and_no_move() -> None:
    changing = replace(BATCH, feed_name_tomorrow="finisher")
    told = tomorrow_of(pen(batch=changing, now=planned(place(1), -1, 4)), ON)
    assert told.new_feed
    assert told.goes_to is None
