"""A bed's year on a tape, and its account of nitrogen."""

from datetime import date
from itertools import pairwise

import pytest

from garden.harvest_interval import HarvestRule, PlantingDates
from garden.nutrients import Dropping, NitrogenPolicy
from rotation.bed_room import bed_room
from rotation.bed_state import bed_state
from rotation.bed_year import WIDTH, bed_year, months_later
from rotation.ground_days import BedGround, Use, Visit

TODAY = date(2026, 6, 12)
RULE = HarvestRule()
STOOD = Visit("Pen A", date(2026, 5, 20), date(2026, 5, 25), 0, 1200, place="place 1")
COMING = Visit("Pen B", date(2026, 6, 20), date(2026, 6, 22), 1200, 1200, planned=True)
GARLIC = PlantingDates(
    "garlic", date(2026, 10, 1), date(2027, 6, 20), date(2027, 7, 1), "touches", 120.0
)
KALE = PlantingDates(
    "kale", date(2026, 7, 20), date(2026, 10, 1), date(2026, 12, 1), "touches", 170.0
)


@pytest.mark.parametrize(
    ("month", "count", "expected"),
    [
        (date(2026, 6, 12), -6, date(2025, 12, 1)),
        (date(2026, 1, 31), -1, date(2025, 12, 1)),
        (date(2026, 12, 1), 1, date(2027, 1, 1)),
        (date(2026, 6, 1), 12, date(2027, 6, 1)),
    ],
)
def test_months_are_counted_across_years(month: date, count: int, expected: date) -> None:
    assert months_later(month, count) == expected


def test_the_year_reaches_half_a_year_each_way() -> None:
    year = bed_year(BedGround(1, "Bed 1"), TODAY, rule=RULE, rest_days=30)
    assert (year.first_day, year.end_day) == (date(2025, 12, 1), date(2026, 12, 1))
    assert "".join(month.letter for month in year.months) == "DJFMAMJJASON"
    # 193 of 365 days lie before 12 June.
    assert year.today_x == pytest.approx(WIDTH * 193 / 365, abs=1)
    assert [row.spans for row in year.rows] == [()]


def test_a_row_for_each_place_tells_birds_rest_and_crop() -> None:
    ground = BedGround(1, "Bed 1", (STOOD, COMING), (GARLIC,))
    year = bed_year(ground, TODAY, rule=RULE, rest_days=30)
    told = [[(span.use, span.first_day) for span in row.spans] for row in year.rows]
    assert told == [
        [
            (Use.STOOD, date(2026, 5, 20)),
            (Use.RESTING, date(2026, 5, 25)),
            (Use.PLANTED, date(2026, 10, 1)),
        ],
        [
            (Use.STAY, date(2026, 6, 20)),
            (Use.RESTING, date(2026, 6, 22)),
            (Use.PLANTED, date(2026, 10, 1)),
        ],
    ]


def test_pieces_lie_in_order_on_the_tape_and_name_what_has_room() -> None:
    year = bed_year(BedGround(1, "Bed 1", (STOOD,), (GARLIC,)), TODAY, rule=RULE, rest_days=30)
    pieces = year.rows[0].pieces
    assert [piece.text for piece in pieces] == ["", "", "garlic"]
    assert all(a.x + a.width <= b.x + 1 for a, b in pairwise(pieces))
    assert pieces[-1].x + pieces[-1].width == WIDTH


@pytest.mark.parametrize(
    ("visits", "plantings", "on", "expected"),
    [
        ((), (), TODAY, "Free"),
        ((STOOD,), (), date(2026, 5, 22), "Pen A, day 3"),
        ((STOOD,), (), date(2026, 5, 25), "Rest, day 1 of 30"),
        ((STOOD,), (), date(2026, 6, 23), "Rest, day 30 of 30"),
        ((STOOD,), (), date(2026, 6, 24), "Free"),
        ((), (KALE,), date(2026, 7, 20), "Planted, kale"),
        # 1 October less 120 days is 3 June, the last day for birds.
        ((), (KALE,), date(2026, 6, 3), "Free"),
        ((), (KALE,), date(2026, 6, 4), "Held for kale"),
        ((COMING,), (), date(2026, 6, 21), "Free"),
    ],
)
def test_a_bed_says_what_it_is_doing(visits, plantings, on: date, expected: str) -> None:
    state = bed_state(BedGround(1, "Bed 1", visits, plantings), on, rule=RULE, rest_days=30)
    assert str(state) == expected


def test_a_bed_says_who_comes_next_but_not_who_merely_stays() -> None:
    standing = Visit("Pen A", date(2026, 6, 10), date(2026, 6, 13), 0, 1200)
    stays_on = Visit("Pen A", date(2026, 6, 12), date(2026, 6, 15), 0, 1200, planned=True)
    ground = BedGround(1, "Bed 1", (standing, stays_on, COMING))
    assert bed_state(ground, TODAY, rule=RULE, rest_days=30).coming == COMING


def room(**changes):
    asked = {"on": TODAY, "policy": NitrogenPolicy(), "rule": RULE} | changes
    droppings = asked.pop("droppings", ())
    return bed_room(2.88, asked.pop("plantings", ()), droppings, **asked)


def test_the_room_of_a_bed_is_the_limit_less_what_birds_have_dropped_in_a_year() -> None:
    # 170 kg/ha on 2.88 m2 is 49.0 g (Council Directive 91/676/EEC, Annex III).
    old, late = Dropping(date(2025, 6, 1), 40.0), Dropping(date(2026, 5, 1), 30.0)
    account = room(droppings=[old, late], planned_g=25.0)
    assert account.whole_g == pytest.approx(48.96)
    assert account.left_g == pytest.approx(18.96)
    assert (account.used_g, account.dropped_year_g) == (pytest.approx(30.0), 30.0)
    assert account.over_g == pytest.approx(6.04)


def test_by_need_only_what_was_dropped_since_the_last_crop_counts() -> None:
    before = PlantingDates(
        "lettuce", date(2026, 3, 1), date(2026, 4, 20), date(2026, 5, 1), "touches", 100.0
    )
    account = room(
        policy=NitrogenPolicy("crop_need"),
        plantings=[before, GARLIC],
        droppings=[Dropping(date(2026, 2, 1), 20.0), Dropping(date(2026, 5, 10), 10.0)],
    )
    assert account.next_crop == GARLIC
    # 120 kg/ha on 2.88 m2 is 34.56 g available; 0.8 kept times 0.6 released in the first year.
    assert account.whole_g == pytest.approx(34.56 / 0.48)
    assert account.left_g == pytest.approx(34.56 / 0.48 - 10.0)


def test_the_tape_marks_from_when_a_crop_may_be_picked() -> None:
    """Birds left on 25 May: 24 May and 120 days is 21 September, ten days before the kale is due."""
    year = bed_year(BedGround(1, "Bed 1", (STOOD,), (KALE,)), TODAY, rule=RULE, rest_days=30)
    (mark,) = year.marks
    assert (mark.picked_from, mark.is_early, mark.early_width) == (date(2026, 10, 1), False, 0)
    # 304 of 365 days lie before 1 October.
    assert mark.x == pytest.approx(WIDTH * 304 / 365, abs=1)


@pytest.mark.parametrize(
    ("wait", "picked_from", "early_days"),
    [
        (140, date(2026, 10, 11), 10),
        (180, date(2026, 11, 20), 50),
        (200, None, 61),  # cleared on 1 December, which is also the tape's end
    ],
)
def test_days_within_the_wait_are_drawn_as_too_early(wait, picked_from, early_days) -> None:
    rule = HarvestRule(days_touches=wait)
    year = bed_year(BedGround(1, "Bed 1", (STOOD,), (KALE,)), TODAY, rule=rule, rest_days=30)
    (mark,) = year.marks
    assert (mark.picked_from, mark.is_early) == (picked_from, True)
    assert mark.early_width == pytest.approx(WIDTH * early_days / 365, abs=1)
    assert (mark.x is None) == (picked_from is None)


def test_crops_off_the_tape_are_not_marked() -> None:
    year = bed_year(BedGround(1, "Bed 1", (), (GARLIC, KALE)), TODAY, rule=RULE, rest_days=30)
    assert [mark.crop_name for mark in year.marks] == ["kale"]
