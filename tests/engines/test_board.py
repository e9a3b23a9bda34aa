"""The board: every row covers every day once, and says of each what is true of it."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garden.harvest_interval import HarvestRule, PlantingDates
from rotation.board import board, short_names
from rotation.ground_days import BedGround, Closed, Span, Use, Visit, laid_out, place_visits

TODAY = date(2026, 6, 12)
RULE = HarvestRule()


def day(number: int) -> date:
    return TODAY + timedelta(days=number)


def visit(pen: str, first: int, end: int, *, at: float = 0, planned: bool = True) -> Visit:
    return Visit(pen, day(first), day(end), at, 1200.0, planned=planned, place=f"place at {at:g}")


def crop(name: str, starts: int, harvest: int, ends: int, contact: str = "clear") -> PlantingDates:
    return PlantingDates(name, day(starts), day(harvest), day(ends), contact, 100.0)


def drawn(*beds: BedGround, off_bed=(), first: int = 0, rest_days: int = 21):
    return board(beds, off_bed, first_day=day(first), today=TODAY, rule=RULE, rest_days=rest_days)


def told(row) -> list[tuple[str, int, str]]:
    return [(cell.use.value, cell.days, cell.text) for cell in row.cells]


def test_a_pen_comes_and_its_place_rests_and_is_free_again() -> None:
    bed = BedGround(1, "Bed 1", (visit("Pen B", 2, 5),))
    assert told(drawn(bed).beds[0]) == [
        ("free", 2, "free"),
        ("stay", 3, "Pen B 3 d"),
        ("resting", 21, "rest 21 d"),
        ("free", 2, "free"),
    ]


def test_days_are_not_counted_where_the_board_ends_before_they_do() -> None:
    bed = BedGround(1, "Bed 1", plantings=(crop("kale", -10, 60, 80),))
    assert told(drawn(bed).beds[0]) == [("planted", 28, "kale")]


def test_what_stood_is_told_from_what_is_planned_at_today() -> None:
    bed = BedGround(
        1, "Bed 1", (visit("Pen A", -3, 1, planned=False), visit("Pen A", 0, 2, planned=True))
    )
    cells = told(drawn(bed, first=-4).beds[0])
    assert cells[:3] == [("free", 1, ""), ("stood", 3, "Pen A 3 d"), ("stay", 2, "Pen A")]


def test_a_pen_that_moves_today_is_shown_where_it_goes() -> None:
    leaves = BedGround(1, "Bed 1", (visit("Pen A", -3, 1, planned=False),))
    takes = BedGround(2, "Bed 2", (visit("Pen A", 0, 4),))
    first, second = drawn(leaves, takes).beds
    assert first.cells[0].use is Use.RESTING
    assert (second.cells[0].use, second.cells[0].is_today) == (Use.STAY, True)


def test_a_pen_without_a_plan_is_shown_where_it_stands_today() -> None:
    bed = BedGround(1, "Bed 1", (visit("Pen A", -3, 1, planned=False),))
    assert told(drawn(bed).beds[0])[0] == ("stood", 1, "A")


def test_a_bed_is_held_before_a_crop_whose_harvest_is_near() -> None:
    # First harvest in 40 days, 90 to wait: shut from 50 days ago on.
    bed = BedGround(1, "Bed 1", plantings=(crop("tomato", 10, 40, 60),))
    assert told(drawn(bed).beds[0]) == [
        ("held", 10, "held for tomato 10 d"),
        ("planted", 18, "tomato"),
    ]


def test_places_of_one_bed_have_a_row_each_and_share_its_crop() -> None:
    bed = BedGround(
        1,
        "Bed 1",
        (visit("Pen A", 0, 2, at=1210), visit("Pen B", 0, 3)),
        (crop("leek", 20, 120, 140),),
    )
    near, far = drawn(bed).beds
    assert [row.place for row in (near, far)] == ["place at 0", "place at 1210"]
    assert [row.is_first for row in (near, far)] == [True, False]
    assert near.cells[0].text == "Pen B 3 d"
    assert far.cells[0].text == "Pen A"
    assert near.cells[-1].use is far.cells[-1].use is Use.PLANTED


def test_a_long_pen_shows_on_every_place_it_covers() -> None:
    long_pen = Visit("Long pen", day(5), day(8), 0, 2400, planned=True, place="whole bed")
    lines = place_visits([visit("Pen A", 0, 2), visit("Pen B", 0, 2, at=1210), long_pen])
    assert {place: {v.pen for v in visits} for place, visits in lines} == {
        "place at 0": {"Pen A", "Long pen"},
        "whole bed": {"Pen A", "Pen B", "Long pen"},
        "place at 1210": {"Pen B", "Long pen"},
    }


def test_birds_on_a_crop_are_shown_not_hidden() -> None:
    bed = BedGround(1, "Bed 1", (visit("Pen A", 1, 3),), (crop("kale", -5, 10, 28),))
    assert told(drawn(bed).beds[0])[:2] == [("planted", 1, ""), ("stay", 2, "Pen A")]


def test_days_off_the_beds_have_a_row_for_each_pen_and_nothing_else_in_it() -> None:
    drawing = drawn(off_bed=[visit("Pen B", 0, 2), visit("Pen A", 3, 9), visit("Pen C", 40, 41)])
    assert [(row.name, told(row)) for row in drawing.off_bed] == [
        ("Pen A", [("free", 3, ""), ("off", 6, "off the beds 6 d"), ("free", 19, "")]),
        ("Pen B", [("off", 2, "off"), ("free", 26, "")]),
    ]


def test_every_day_has_a_head_and_every_month_its_columns() -> None:
    drawing = drawn()
    assert [(month.month, days) for month, days in drawing.months] == [(6, 19), (7, 9)]
    assert [head.letter for head in drawing.heads[:3]] == ["F", "S", "S"]
    assert [head.day for head in drawing.heads if head.is_today] == [TODAY]
    assert drawing.last_day == day(27)


def test_a_cell_says_the_whole_of_it_for_the_ear() -> None:
    bed = BedGround(1, "Bed 1", (visit("Pen B", 2, 5),))
    assert drawn(bed).beds[0].cells[1].said == "Pen B planned, 14 June to 16 June"


@pytest.mark.parametrize(
    ("name", "shorter"),
    [
        ("Pen A", ["A", "A"]),
        ("Long pen", ["Long", "L"]),
        ("Short pen", ["Short", "S"]),
        ("Pen", ["Pen", "P"]),
        ("Pen by the shed", ["by the shed", "bts"]),
        ("قفص الدجاج", ["قفص الدجاج", "قا"]),
    ],
)
def test_a_pen_is_called_ever_shorter(name: str, shorter: list[str]) -> None:
    assert short_names(name) == shorter


spans = st.builds(
    lambda use, start, days, name: Span(use, day(start), day(start + days), name),
    st.sampled_from(list(Use)),
    st.integers(-60, 60),
    st.integers(1, 40),
    st.sampled_from(["", "Pen A", "kale"]),
)


@given(st.lists(spans, max_size=8), st.integers(-40, 40), st.integers(0, 40), st.integers(-50, 50))
def test_a_layout_covers_every_day_once_whatever_the_spans(
    layers: list[Span], first: int, days: int, today: int
) -> None:
    laid = laid_out(layers, day(first), day(first + days), today=day(today))
    reached = day(first)
    for span in laid:
        assert span.first_day == reached
        assert span.days >= 1
        assert not span.first_day < day(today) < span.end_day
        reached = span.end_day
    assert reached == day(first + days)


@given(st.lists(spans, min_size=1, max_size=8), st.integers(-40, 40))
def test_the_first_span_of_a_day_is_the_one_that_shows(layers: list[Span], asked: int) -> None:
    [shown] = laid_out(layers, day(asked), day(asked + 1), today=TODAY)
    covering = [span for span in layers if span.first_day <= day(asked) < span.end_day]
    expected = (covering[0].use, covering[0].name) if covering else (Use.FREE, "")
    assert (shown.use, shown.name) == expected


def test_days_on_which_a_bed_is_not_to_be_had_are_told_with_their_reason() -> None:
    hose = Closed(day(2), day(8), "hose broken")
    bed = BedGround(1, "Bed 1", (visit("Pen B", 10, 12),), closures=(hose,))
    [row] = drawn(bed).beds
    assert told(row)[:3] == [
        ("free", 2, "free"),
        ("closed", 6, "not to be had: hose broken"),
        ("free", 2, "free"),
    ]
    assert row.cells[1].said == "Not to be had: hose broken, 14 June to 19 June"
    assert drawn(bed).has_closures
    assert not drawn(BedGround(1, "Bed 1")).has_closures


def test_a_crop_and_birds_show_before_a_closure() -> None:
    shut = Closed(day(0), day(20))
    bed = BedGround(
        1, "Bed 1", (visit("Pen B", 2, 5),), (crop("kale", 15, 120, 140),), closures=(shut,)
    )
    uses = [cell.use for cell in drawn(bed).beds[0].cells]
    assert uses[:4] == [Use.CLOSED, Use.STAY, Use.CLOSED, Use.PLANTED]
    assert "Not to be had, " in drawn(bed).beds[0].cells[0].said


def test_a_stay_carries_its_id_and_its_lock_and_two_in_a_row_are_two_cells() -> None:
    first = replace(visit("Pen A", 0, 3), id=7, is_locked=True)
    second = replace(visit("Pen A", 3, 5), id=8)
    drawing = drawn(BedGround(1, "Bed 1", (first, second)), off_bed=[replace(second, id=9)])
    cells = drawing.beds[0].cells[:2]
    assert [(cell.stay_id, cell.is_locked, cell.days) for cell in cells] == [
        (7, True, 3),
        (8, False, 2),
    ]
    assert cells[0].said == "Pen A planned, locked, 12 June to 14 June"
    assert drawing.has_locks
    assert [cell.stay_id for cell in drawing.off_bed[0].cells] == [None, 9, None]
