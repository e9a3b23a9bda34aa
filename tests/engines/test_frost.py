"""Frosts as people write them, and the time between them in which a crop may stand."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garden.crops_reference import Frost
from garden.frost import (
    NOT_A_DAY,
    NOT_EVERY_YEAR,
    Frosts,
    growing_times,
    month_day_words,
    next_on,
    read_month_day,
)

DUBLIN = Frosts("04-20", "10-25")
HOBART = Frosts("10-10", "05-05")
"""South of the equator the growing time runs across New Year."""


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("20 April", "04-20"),
        ("April 20th", "04-20"),
        (" 1st of may ", "05-01"),
        ("3 Sept", "09-03"),
        ("2. Mar.", "03-02"),
        ("04-20", "04-20"),
        ("12-31", "12-31"),
    ],
)
def test_a_day_of_the_year_is_read_as_it_is_said(text: str, read: str) -> None:
    assert read_month_day(text) == read
    assert read_month_day(month_day_words(read)) == read


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", NOT_A_DAY),
        ("April", NOT_A_DAY),
        ("31 April", NOT_A_DAY),
        ("4/5", NOT_A_DAY),  # May or April, by where one lives
        ("20 Ma", NOT_A_DAY),
        ("20 Foo", NOT_A_DAY),
        ("13-01", NOT_A_DAY),
        ("0 May", NOT_A_DAY),
        ("29 February", NOT_EVERY_YEAR),
        ("02-29", NOT_EVERY_YEAR),
    ],
)
def test_what_is_no_day_of_every_year_is_refused(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        read_month_day(text)


def test_the_next_such_day_may_be_today() -> None:
    assert next_on("06-12", date(2026, 6, 12)) == date(2026, 6, 12)
    assert next_on("06-11", date(2026, 6, 12)) == date(2027, 6, 11)
    assert next_on("02-28", date(2028, 2, 29)) == date(2029, 2, 28)


@pytest.mark.parametrize(
    ("hardiness", "first_day", "end_day"),
    [
        # Purdue Extension HO-203: 6 weeks before the last frost, 3 before, on the day, 1 week after
        (Frost.VERY_HARDY, date(2026, 3, 9), date(2026, 12, 24)),
        (Frost.FROST_TOLERANT, date(2026, 3, 30), date(2026, 11, 24)),
        (Frost.TENDER, date(2026, 4, 20), date(2026, 10, 25)),
        (Frost.WARM_LOVING, date(2026, 4, 27), date(2026, 10, 18)),
    ],
)
def test_hardy_crops_stand_longer(hardiness: Frost, first_day: date, end_day: date) -> None:
    this, following = growing_times(DUBLIN, hardiness, date(2026, 6, 12))
    assert (this.first_day, this.end_day) == (first_day, end_day)
    assert (following.first_day.year, following.end_day.year) == (2027, 2027)


def test_south_of_the_equator_the_year_turns_within_it() -> None:
    this, _ = growing_times(HOBART, Frost.TENDER, date(2026, 1, 15))
    assert (this.first_day, this.end_day) == (date(2025, 10, 10), date(2026, 5, 5))
    this, _ = growing_times(HOBART, Frost.TENDER, date(2026, 6, 1))
    assert (this.first_day, this.end_day) == (date(2026, 10, 10), date(2027, 5, 5))


month_days = st.dates(date(2027, 1, 1), date(2027, 12, 31)).map(lambda day: f"{day:%m-%d}")


@settings(derandomize=True, deadline=None)
@given(
    frosts=st.builds(Frosts, month_days, month_days),
    hardiness=st.sampled_from(Frost),
    on=st.dates(date(2020, 1, 1), date(2040, 1, 1)),
)
def test_times_come_in_order_and_end_after_the_day(frosts, hardiness, on) -> None:
    this, following = growing_times(frosts, hardiness, on)
    assert on < this.end_day
    assert this.first_day < this.end_day
    assert this.first_day < following.first_day
