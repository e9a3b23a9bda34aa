"""A plan tried on seasons whose answer can be counted by hand."""

from datetime import date

import numpy as np
import pytest

from rotation.seasons_tried import BedTried, Room, try_seasons


def day(number: int) -> date:
    """Return a day of June."""
    return date(2026, 6, number)


def room(bed: str, room_g: float, *rows: list[float], first: int = 1) -> Room:
    """Return a room with a row of seasons for each day from the first."""
    days = tuple(day(first + number) for number in range(len(rows)))
    return Room(bed, room_g, days, np.array(rows, dtype=float))


def test_a_plan_that_drops_nothing_holds_in_every_season():
    tried = try_seasons([], 200)
    assert (tried.held, tried.per_hundred, tried.beds) == (200, 100, ())


def test_a_room_at_the_middle_of_what_is_dropped_holds_in_half_of_the_seasons():
    dropped = list(range(1, 101))
    tried = try_seasons([room("Bed 1", 50, dropped)], 100)
    assert tried.held == 50
    (bed,) = tried.beds
    # 51 to 100 g in a room of 50 g: too much by 1 to 50 g, the upper middle one by 26 g, 9 in 10 by 45 g.
    assert (bed.broken, bed.over_g, bed.high_over_g) == (50, 26, 45)


@pytest.mark.parametrize(("room_g", "held"), [(0, 0), (99.5, 99), (100, 100), (1000, 100)])
def test_a_huge_room_holds_always_and_none_never(room_g, held):
    tried = try_seasons([room("Bed 1", room_g, list(range(1, 101)))], 100)
    assert tried.held == held


def test_what_floats_lose_in_adding_breaks_nothing():
    tried = try_seasons([room("Bed 1", 0.6, [0.1], [0.2], [0.3000000001])], 1)
    assert tried.held == 1


def test_nearly_always_is_not_told_as_always():
    tried = try_seasons([room("Bed 1", 10, [9.0] * 199 + [11.0])], 200)
    assert (tried.held, tried.per_hundred) == (199, 99)


def test_a_tenth_too_much_nearly_holds_in_every_room_at_once():
    both = [room("Bed 1", 100, [90, 110, 111, 90]), room("Bed 2", 50, [55, 55, 10, 56])]
    tried = try_seasons(both, 4)
    assert (tried.held, tried.nearly) == (0, 2)
    assert try_seasons([], 4).nearly == 4


def test_the_bed_that_breaks_first_is_told_with_its_day_and_by_how_much():
    # Season by season: Bed 1 breaks on its third day in seasons 1 and 2, Bed 2 on its first in 2 and 3.
    tried = try_seasons(
        [
            room("Bed 1", 10, [4, 4, 2, 2], [4, 4, 2, 2], [5, 6, 2, 2], first=1),
            room("Bed 2", 10, [1, 12, 17, 1], first=2),
        ],
        4,
    )
    assert tried.held == 1
    assert tried.beds == (
        BedTried("Bed 2", broken=2, first=2, over_g=7, high_over_g=7, on=day(2)),
        BedTried("Bed 1", broken=2, first=1, over_g=4, high_over_g=4, on=day(3)),
    )


def test_rooms_of_one_bed_are_told_as_one_bed_by_the_worst_of_them():
    tried = try_seasons(
        [
            room("Bed 1", 10, [12, 8], first=5),
            room("Bed 2", 10, [8, 8], first=1),
            room("Bed 1", 10, [15, 11], first=3),
        ],
        2,
    )
    assert [bed.bed for bed in tried.beds] == ["Bed 1"]
    (bed,) = tried.beds
    assert (bed.broken, bed.over_g, bed.high_over_g, bed.on) == (2, 5, 5, day(3))


def test_beds_that_break_on_the_same_day_are_both_first():
    tried = try_seasons([room("Bed 2", 1, [2.0]), room("Bed 1", 1, [3.0])], 1)
    assert [(bed.bed, bed.first) for bed in tried.beds] == [("Bed 1", 1), ("Bed 2", 1)]
