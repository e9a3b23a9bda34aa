"""What is left in the store, by what was bought, counted and given."""

from datetime import date, timedelta
from itertools import permutations

import pytest

from flocks.feed_buying import ANY
from flocks.feed_store import Bought, Counted, Given, lots_on, store_left

DAY = date(2026, 5, 10)


def on(day: int) -> date:
    """Return a day counted from the first."""
    return DAY + timedelta(days=day)


def bought(day: int, kg: float, feed: str = "Feed", kind: str = ANY, keeps: int = 40) -> Bought:
    """Return a purchase."""
    return Bought(on(day), day, feed, kind, kg, keeps)


def counted(day: int, kg: float, feed: str = "Feed") -> Counted:
    """Return a count, later on its day than anything else."""
    return Counted(on(day), day + 0.5, feed, ANY, kg, 40)


def given(day: int, kg: float, kind: str = "starter") -> Given:
    """Return feed given."""
    return Given(on(day), day + 0.1, kind, kg)


def test_the_oldest_goes_first():
    left = store_left([bought(0, 25), bought(5, 25), given(6, 30)])
    assert [(lot.mass_kg, lot.stale_on) for lot in left] == [(20.0, on(45))]


def test_the_order_of_the_lines_does_not_matter():
    lines = [bought(0, 25), given(3, 10), counted(4, 12), given(6, 5)]
    assert {store_left(order) for order in permutations(lines)} == {store_left(lines)}
    assert sum(lot.mass_kg for lot in store_left(lines)) == 7


def test_feed_of_the_phase_goes_before_feed_for_all_ages():
    lines = [bought(0, 10, "All", ANY), bought(1, 10, "S", "starter"), bought(1, 9, "G", "grower")]
    left = {lot.feed: lot.mass_kg for lot in store_left([*lines, given(2, 14)])}
    assert left == {"All": 6, "G": 9}


@pytest.mark.parametrize(("kg", "lots"), [(0, []), (20, [20]), (60, [25, 25, 10])])
def test_a_count_stands_whatever_the_lines_say(kg, lots):
    left = store_left([bought(0, 25), bought(5, 25), counted(6, kg)])
    assert [lot.mass_kg for lot in left] == lots


def test_more_given_than_there_was_leaves_nothing():
    assert store_left([bought(0, 5), given(1, 9)]) == ()
    assert sum(lot.mass_kg for lot in store_left([given(0, 9), bought(1, 5)])) == 5


def test_a_purchase_after_a_count_of_the_same_day_is_kept():
    later = Bought(on(6), 6.9, "Feed", ANY, 25, 40)
    assert sum(lot.mass_kg for lot in store_left([counted(6, 4), later])) == 29


def test_stale_lots_are_left_out_of_the_plan():
    left = store_left([bought(0, 25, keeps=10), bought(5, 25, keeps=10)])
    assert [(lot.mass_kg, lot.stale_on) for lot in lots_on(left, on(10))] == [(25, 5)]
