"""A bed's days, open or shut: told as the planner's own windows have them, and what would open each."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from garden.harvest_interval import HarvestRule, PlantingDates, windows
from rotation.bed_windows import DaySpan, Shut, Waits, bed_days
from rotation.ground_days import BedGround, Closed, Visit

TODAY = date(2026, 6, 12)
END = TODAY + timedelta(days=366)
RULE = HarvestRule()
MIXED = HarvestRule(days_clear=91, days_touches=121)
WAITS = Waits(MIXED, RULE, rest_days=30)


def days(number: int) -> timedelta:
    return timedelta(days=number)


def planting(starts: int, harvest: int, ends: int, contact: str = "touches") -> PlantingDates:
    return PlantingDates(
        f"crop {starts}", TODAY + days(starts), TODAY + days(harvest), TODAY + days(ends), contact, 120
    )  # fmt: skip


def spans(ground: BedGround, waits: Waits = WAITS) -> list[DaySpan]:
    (place,) = bed_days(ground, today=TODAY, first_day=TODAY, end_day=END, waits=waits)
    return list(place.spans)


def kinds(span: DaySpan) -> list[str]:
    return [blocker.kind.value for blocker in span.blockers]


def test_a_bed_with_no_crops_and_no_birds_is_open_throughout() -> None:
    (only,) = spans(BedGround(1, "Bed"))
    assert (only.first_day, only.end_day, only.is_open) == (TODAY, END, True)
    assert only.next_crop is None


def test_a_planned_harvest_holds_the_bed_and_says_what_would_open_it() -> None:
    """Picked on 20 October, 120 days; droppings are mixed in a day later: the last bird day is 21 June."""
    crop = planting(60, 130, 150)
    first, held, standing, after = spans(BedGround(1, "Bed", plantings=(crop,)))
    assert (first.is_open, first.end_day - days(1)) == (True, date(2026, 6, 21))
    assert first.next_crop is crop
    assert kinds(held) == ["held"]
    assert "birds must be gone 120 days before" in held.blockers[0].why
    # Birds on 10 August, the last day before planting, and 121 days more.
    assert "first picked on Wed 9 December 2026 or later" in held.blockers[0].cure
    assert kinds(standing) == ["planted"]
    assert after.is_open


def test_two_crops_in_one_place_are_both_told() -> None:
    both = (planting(-10, 20, 40), planting(-5, 30, 60))
    found = spans(BedGround(1, "Bed", plantings=both))
    assert kinds(found[0]) == ["planted", "planted"]
    assert [blocker.why for blocker in found[0].blockers] == [
        "crop -10 stands there",
        "crop -5 stands there",
    ]


def test_all_that_shuts_a_day_is_told_in_order() -> None:
    left = Visit("Pen A", TODAY - days(9), TODAY - days(4), 0, 1200)
    ground = BedGround(
        1,
        "Bed",
        visits=(left,),
        plantings=(planting(-2, 20, 30),),
        closures=(Closed(TODAY, TODAY + days(3), "hose broken"),),
    )
    first = spans(ground)[0]
    assert kinds(first) == ["planted", "closed", "resting"]
    assert first.blockers[1].why.endswith("until Mon 15 June 2026: hose broken")
    assert "rests 30 days from Mon 8 June 2026, after Pen A" in first.blockers[2].why


def test_a_place_is_kept_for_the_pen_that_is_to_come() -> None:
    coming = Visit("Pen B", TODAY + days(40), TODAY + days(42), 0, 1200, planned=True)
    found = spans(BedGround(1, "Bed", visits=(coming,)))
    assert [kinds(span) for span in found] == [[], ["kept"], ["taken"], ["resting"], []]
    assert found[0].end_day == TODAY + days(10)
    assert found[2].blockers[0].why == "Pen B is to stand there by the plan"


def test_each_place_is_told_by_itself() -> None:
    visits = (
        Visit("Pen A", TODAY - days(2), TODAY + days(1), 0, 1200, place="place 1/2"),
        Visit("Pen B", TODAY - days(60), TODAY - days(50), 1200, 1200, place="place 2/2"),
        Visit("Pen B", TODAY - days(20), TODAY - days(10), 1200, 1200, place="place 2/2"),
    )
    found = bed_days(
        BedGround(1, "Bed", visits=visits), today=TODAY, first_day=TODAY, end_day=END, waits=WAITS
    )
    assert [place.place for place in found] == ["place 1/2", "place 2/2"]
    assert kinds(found[0].on(TODAY)) == ["taken"]
    assert kinds(found[1].on(TODAY)) == ["resting"]
    assert found[1].on(TODAY + days(20)).is_open
    assert found[1].on(END) is None


def test_a_leap_day_is_a_day() -> None:
    """A year's days from 1 March 2027 hold 29 February 2028."""
    first = date(2027, 3, 1)
    (place,) = bed_days(
        BedGround(1, "Bed", closures=(Closed(date(2028, 2, 29), date(2028, 3, 1)),)),
        today=first, first_day=first, end_day=first + days(366), waits=WAITS,
    )  # fmt: skip
    assert [kinds(span) for span in place.spans] == [[], ["closed"]]
    assert place.on(date(2028, 2, 29)).end_day == date(2028, 3, 1)


plantings_of_a_bed = st.lists(
    st.builds(
        lambda starts, to_harvest, picking, contact: planting(
            starts, starts + to_harvest, starts + to_harvest + picking, contact
        ),
        st.integers(-100, 380),
        st.integers(0, 200),
        st.integers(1, 80),
        st.sampled_from(["touches", "clear", "cooked"]),
    ),
    max_size=5,
)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(crops=plantings_of_a_bed)
def test_open_days_are_the_planner_s_windows(crops: list[PlantingDates]) -> None:
    found = spans(BedGround(1, "Bed", plantings=tuple(crops)))
    told = {day for span in found if span.is_open for day in every(span.first_day, span.end_day)}
    planned = {
        day
        for window in windows(crops, first_day=TODAY, end_day=END, rule=MIXED)
        for day in every(window.first_day, window.end_day)
    }
    assert told == planned


@settings(derandomize=True, deadline=None, max_examples=100)
@given(crops=plantings_of_a_bed)
def test_what_would_open_a_held_span_does(crops: list[PlantingDates]) -> None:
    """Put every harvest as far off as the cure says, and nothing is held any more on those days."""
    for span in spans(BedGround(1, "Bed", plantings=tuple(crops))):
        if kinds(span) != ["held"]:
            continue
        crop = next(c for c in crops if c.shut_from(MIXED) <= span.first_day < c.starts_on)
        later = span.end_day - days(1) + days(MIXED.days_for(crop.contact))
        put_off = PlantingDates(
            crop.crop_name, crop.starts_on, later, later + days(9), crop.contact, 0
        )
        assert put_off.shut_from(MIXED) >= span.end_day
        assert f"{later.day} {later:%B %Y} or later" in span.blockers[0].cure


def every(first_day: date, end_day: date) -> list[date]:
    return [first_day + days(number) for number in range((end_day - first_day).days)]


@pytest.mark.parametrize("kind", list(Shut))
def test_every_kind_has_its_words(kind: Shut) -> None:
    left = Visit("Pen A", TODAY - days(1), TODAY, 0, 1200)
    coming = Visit("Pen B", TODAY + days(9), TODAY + days(12), 0, 1200, planned=True)
    ground = BedGround(
        1,
        "Bed",
        visits=(left, coming),
        plantings=(planting(40, 60, 80),),
        closures=(Closed(TODAY, TODAY + days(3)),),
    )
    told = [blocker for span in spans(ground) for blocker in span.blockers]
    found = [blocker for blocker in told if blocker.kind is kind]
    assert found
    assert all(blocker.why and blocker.cure.endswith(".") for blocker in found)
