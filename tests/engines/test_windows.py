"""The days on which birds may stand on a bed, and why not on the others."""

from datetime import date, timedelta
from itertools import pairwise
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garden.harvest_interval import (
    BedWindow,
    Contact,
    HarvestRule,
    PlantingDates,
    last_bird_day_before,
    shut_reasons,
    windows,
)
from tests.benchmarks.planner_windows import planner_windows

RULE = HarvestRule()
YEAR = {"first_day": date(2026, 1, 1), "end_day": date(2027, 1, 1)}

LETTUCE = PlantingDates(
    "lettuce", date(2026, 4, 1), date(2026, 5, 16), date(2026, 6, 1), Contact.TOUCHES, 120.0
)
KALE = PlantingDates(
    "kale", date(2026, 8, 1), date(2026, 11, 28), date(2027, 3, 1), Contact.TOUCHES, 145.0
)
PEA = PlantingDates("pea", date(2026, 8, 1), date(2026, 11, 28), date(2026, 12, 5), "clear", 0.0)


def spans(found: tuple[BedWindow, ...]) -> list[tuple[date, date]]:
    return [(window.first_day, window.end_day) for window in found]


def test_a_bed_with_no_crop_is_open_throughout() -> None:
    (window,) = windows([], **YEAR, rule=RULE)

    assert (window.first_day, window.end_day) == (YEAR["first_day"], YEAR["end_day"])
    assert window.next_crop is None
    assert window.shut_by is None


def test_a_year_of_lettuce_then_kale() -> None:
    """Birds stand till 120 days before the first lettuce, and between the two crops."""
    winter, summer = windows([KALE, LETTUCE], **YEAR, rule=RULE)

    assert (winter.first_day, winter.end_day) == (date(2026, 1, 1), date(2026, 1, 17))
    assert winter.end_day - timedelta(days=1) == last_bird_day_before(
        LETTUCE.first_harvest_on, "touches", RULE
    )
    assert winter.next_crop == LETTUCE
    assert (
        str(winter.shut_by)
        == "harvest interval ahead of lettuce, first harvest 16 May 2026, 120 days"
    )
    assert (summer.first_day, summer.end_day) == (date(2026, 6, 1), date(2026, 8, 1))
    assert summer.next_crop == KALE
    assert str(summer.shut_by) == "crop standing: kale"


def test_a_crop_far_from_its_harvest_may_follow_birds_closely() -> None:
    """The wait alone would let birds stay till 30 August, among peas sown on the 1st."""
    assert last_bird_day_before(PEA.first_harvest_on, "clear", RULE) == date(2026, 8, 30)

    before, _ = windows([PEA], **YEAR, rule=RULE)

    assert before.end_day == PEA.starts_on


def test_birds_never_stand_on_a_crop_however_far_its_harvest() -> None:
    """Garlic planted in October is picked 240 days later: the wait alone would allow winter."""
    garlic = PlantingDates(
        "garlic", date(2025, 10, 15), date(2026, 6, 12), date(2026, 6, 20), "touches", 135.0
    )
    assert last_bird_day_before(garlic.first_harvest_on, "touches", RULE) > garlic.starts_on

    found = windows([garlic], **YEAR, rule=RULE)

    assert spans(found) == [(date(2026, 6, 20), date(2027, 1, 1))]


def test_a_wait_reaches_back_across_the_year_s_end() -> None:
    radish = PlantingDates(
        "radish", date(2027, 2, 15), date(2027, 3, 20), date(2027, 4, 1), "touches", 60.0
    )

    (window,) = windows([radish], **YEAR, rule=RULE)

    assert window.end_day == date(2026, 11, 21)
    assert window.next_crop == radish


def test_a_leap_day_counts_as_a_day() -> None:
    """90 days before 1 April is 2 January in 2028 and 1 January in 2027."""
    for year, last_bird_day in ((2028, date(2028, 1, 2)), (2027, date(2027, 1, 1))):
        pea = PlantingDates(
            "pea", date(year, 3, 1), date(year, 4, 1), date(year, 4, 20), "clear", 0.0
        )
        (window,) = windows([pea], first_day=date(year - 1, 12, 1), end_day=pea.ends_on, rule=RULE)
        assert window.end_day - timedelta(days=1) == last_bird_day


def test_a_later_planting_may_shut_a_bed_before_the_next_one_does() -> None:
    """Slow parsnips start first; the radishes sown among them are picked first, and decide."""
    parsnip = PlantingDates(
        "parsnip", date(2026, 4, 1), date(2026, 9, 1), date(2026, 11, 1), "touches", 105.0
    )
    radish = PlantingDates(
        "radish", date(2026, 4, 10), date(2026, 5, 10), date(2026, 5, 20), "touches", 60.0
    )

    before, after = windows([parsnip, radish], **YEAR, rule=RULE)

    assert before.end_day == date(2026, 1, 11)
    assert before.shut_by is not None
    assert before.shut_by.planting == radish
    assert before.next_crop == parsnip
    assert (after.first_day, after.next_crop) == (parsnip.ends_on, None)


def test_of_two_crops_set_out_together_the_modest_one_is_next() -> None:
    found = windows([KALE, PEA], **YEAR, rule=RULE)

    assert found[0].next_crop == PEA


def test_the_next_crop_is_known_beyond_the_days_asked_about() -> None:
    (window,) = windows([KALE], first_day=date(2026, 6, 1), end_day=date(2026, 6, 11), rule=RULE)

    assert window.next_crop == KALE
    assert window.shut_by is None


@pytest.mark.parametrize("days", [0, -30])
def test_no_days_asked_about_give_no_window(days: int) -> None:
    first_day = date(2026, 6, 1)

    found = windows([KALE], first_day=first_day, end_day=first_day + timedelta(days), rule=RULE)

    assert found == ()


@pytest.mark.parametrize(
    ("day", "reasons"),
    [
        (date(2026, 1, 16), []),  # the last bird day before the lettuce
        (
            date(2026, 1, 17),
            ["harvest interval ahead of lettuce, first harvest 16 May 2026, 120 days"],
        ),
        (date(2026, 4, 1), ["crop standing: lettuce"]),
        (date(2026, 5, 31), ["crop standing: lettuce"]),
        (date(2026, 6, 1), []),  # cleared that morning
        (date(2026, 8, 1), ["crop standing: kale", "crop standing: pea"]),
    ],
)
def test_every_shut_day_has_its_reasons(day: date, reasons: list[str]) -> None:
    assert [str(reason) for reason in shut_reasons([LETTUCE, KALE, PEA], day, RULE)] == reasons


BASE = date(2027, 11, 1)  # so that random spans cross a year's end and the leap day of 2028


@st.composite
def plantings(draw: st.DrawFn) -> PlantingDates:
    starts_on = BASE + timedelta(days=draw(st.integers(-30, 150)))
    first_harvest_on = starts_on + timedelta(days=draw(st.integers(0, 60)))
    ends_on = first_harvest_on + timedelta(days=draw(st.integers(1, 30)))
    name = draw(st.sampled_from(["kale", "pea", "leek"]))
    contact = draw(st.sampled_from(Contact))
    return PlantingDates(name, starts_on, first_harvest_on, ends_on, contact, 100.0)


def is_open(bed: list[PlantingDates], day: date, rule: HarvestRule) -> bool:
    """The rule in words, a day at a time: no crop stands, and each to come is a wait away."""
    for planting in bed:
        standing = planting.starts_on <= day < planting.ends_on
        to_come = day < planting.starts_on
        wait = (planting.first_harvest_on - day).days
        if standing or (to_come and wait < rule.days_for(planting.contact)):
            return False
    return True


@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    bed=st.lists(plantings(), max_size=5),
    days=st.integers(1, 200),
    waits=st.tuples(st.integers(0, 60), st.integers(0, 60), st.none() | st.integers(0, 120)),
)
def test_windows_agree_with_a_walk_through_every_day(
    bed: list[PlantingDates], days: int, waits: tuple[int, int, int | None]
) -> None:
    clear, more, cooked = waits
    rule = HarvestRule(days_clear=clear, days_touches=clear + more, days_cooked=cooked)
    end_day = BASE + timedelta(days=days)

    found = windows(bed, first_day=BASE, end_day=end_day, rule=rule)

    for day in (BASE + timedelta(days=offset) for offset in range(days)):
        inside = any(window.first_day <= day < window.end_day for window in found)
        assert inside == is_open(bed, day, rule)
        assert inside == (not shut_reasons(bed, day, rule))
    for window in found:
        assert window.first_day < window.end_day
        assert (window.shut_by is None) == (window.end_day == end_day)
    for earlier, later in pairwise(found):
        assert earlier.end_day < later.first_day


def test_two_hundred_beds_over_three_years_take_no_time() -> None:
    bed = [
        PlantingDates(
            f"crop {number}",
            date(2026, 3, 1) + timedelta(days=120 * number),
            date(2026, 4, 20) + timedelta(days=120 * number),
            date(2026, 5, 10) + timedelta(days=120 * number),
            "clear",
            120.0,
        )
        for number in range(12)
    ]
    began = process_time()

    for _ in range(200):
        found = windows(bed, first_day=date(2026, 1, 1), end_day=date(2029, 1, 1), rule=RULE)

    assert process_time() - began < 0.2
    assert len(found) == 10


def test_all_places_of_two_hundred_beds_after_three_years_of_stays() -> None:
    took_ms, found = planner_windows(rounds=2)

    assert took_ms < 200
    assert found > 100
