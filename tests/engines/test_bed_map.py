"""The map: true to scale, words only where they fit, and something for every garden."""

from datetime import date
from itertools import pairwise

import pytest

from rotation.bed_map import WIDTH, BedMap, bed_map, bed_marks
from rotation.bed_state import BedState
from rotation.ground_days import Use, Visit
from rotation.map_beds import MapBed, Part
from rotation.map_words import SMALLEST, Box, label, text_width

FREE = BedState(Use.FREE, "Free")


def bed(number: int, **changes: object) -> MapBed:
    plain = {
        "id": number,
        "name": f"Bed {number}",
        "mark": str(number),
        "x_m": 2.0 * (number - 1),
        "y_m": 0.0,
        "length_mm": 2400,
        "width_mm": 1200,
        "lies_across": False,
        "is_turf": False,
        "state": FREE,
    }
    return MapBed(**(plain | changes))


def words_on(drawing: BedMap) -> list[list[str]]:
    return [[line.text for found in b.labels for line in found.lines] for b in drawing.beds]


def overlap(one: Box, other: Box) -> bool:
    return (
        one.x < other.x + other.width
        and other.x < one.x + one.width
        and one.y < other.y + other.height
        and other.y < one.y + one.height
    )


def test_a_garden_without_beds_has_no_map() -> None:
    assert bed_map([]) is None


def test_beds_keep_their_proportions_and_their_distance() -> None:
    near, far = bed_map([bed(1), bed(2)]).beds
    per_m = near.box.width / 1.2
    assert near.box.height / 2.4 == pytest.approx(per_m, rel=0.02)
    assert (far.box.x - near.box.x) / 2.0 == pytest.approx(per_m, rel=0.02)
    assert near.box.y == far.box.y


def test_a_bed_that_lies_across_has_its_length_from_west_to_east() -> None:
    [drawn] = bed_map([bed(1, lies_across=True)]).beds
    assert drawn.box.width == pytest.approx(2 * drawn.box.height, abs=1)


@pytest.mark.parametrize("in_feet", [False, True])
def test_the_ruler_measures_the_beds(in_feet: bool) -> None:
    drawing = bed_map([bed(1, length_mm=6096, width_mm=3048)], in_feet=in_feet)  # 20 by 10 ft
    numbered = [(tick.at, int(tick.text.split()[0])) for tick in drawing.across_ticks if tick.text]
    at, told = numbered[-1]
    unit_m = 0.3048 if in_feet else 1.0
    per_m = drawing.beds[0].box.width / 3.048
    assert at / (told * unit_m) == pytest.approx(per_m, rel=0.02)


def test_figures_on_the_ruler_stand_clear_of_each_other_and_of_its_end() -> None:
    for across_m in (1, 7, 33, 250, 1900):
        drawing = bed_map([bed(1), bed(2, x_m=across_m)])
        numbered = [tick for tick in drawing.across_ticks if tick.text]
        for before, after in pairwise(numbered):
            assert after.at - before.at > text_width(after.text, 23)
        for tick in numbered:
            reaches = drawing.across.x + tick.at + text_width(tick.text, 23) / 2
            assert reaches <= WIDTH, across_m


def test_a_pen_stands_at_its_true_place() -> None:
    part = Part(Use.STOOD, 1200, 1200, ("Pen A", "day 3"), "Pen A")
    [drawn] = bed_map([bed(1, parts=(part,))]).beds
    [pen] = drawn.parts
    assert pen.box.y - drawn.box.y == pytest.approx(drawn.box.height / 2, abs=1)
    assert _within(pen.box, drawn.box)
    assert drawn.box.y + drawn.box.height - (pen.box.y + pen.box.height) < 6
    assert [line.text for line in pen.label.lines] == ["Pen A", "day 3"]


def test_on_a_bed_that_lies_across_places_count_from_the_west() -> None:
    part = Part(Use.STOOD, 1200, 1200, (), "Pen A")
    [drawn] = bed_map([bed(1, lies_across=True, parts=(part,))]).beds
    assert drawn.parts[0].box.x - drawn.box.x == pytest.approx(drawn.box.width / 2, abs=1)
    assert drawn.parts[0].box.height == pytest.approx(drawn.box.height, abs=10)


def test_the_way_leads_from_where_the_pen_stands_to_where_it_goes() -> None:
    here = bed(1, parts=(Part(Use.STOOD, 0, 1200, (), "Pen A"),))
    there = bed(2, parts=(Part(Use.STAY, 0, 1200, (), "Pen A"),))
    drawing = bed_map([here, there])
    [way] = drawing.ways
    assert way.x1 == pytest.approx(drawing.beds[0].box.x + drawing.beds[0].box.width, abs=6)
    assert way.x2 == pytest.approx(drawing.beds[1].box.x, abs=6)
    assert way.y1 == way.y2


def test_a_step_to_the_next_place_of_the_same_bed_needs_no_arrow() -> None:
    parts = (Part(Use.STOOD, 0, 1200, (), "Pen A"), Part(Use.STAY, 1200, 1200, (), "Pen A"))
    assert bed_map([bed(1, parts=parts)]).ways == ()


def test_a_narrow_bed_shows_its_mark_and_leaves_words_to_the_list() -> None:
    state = BedState(Use.PLANTED, "Planted", "purple sprouting broccoli")
    narrow = bed(1, state=state)
    assert words_on(bed_map([narrow])) == [["1", "Planted"]]
    assert words_on(bed_map([narrow, bed(2, x_m=18)]))[0] == ["1"]
    assert words_on(bed_map([narrow, bed(2, x_m=90)]))[0] == []


def test_words_never_leave_their_bed_nor_cover_each_other() -> None:
    state = BedState(Use.RESTING, "Rest", "day 9 of 30")
    for beds_across in range(1, 40):
        beds = [bed(n, state=state) for n in range(1, beds_across + 1)]
        for drawn in bed_map(beds).beds:
            shapes = [_upright(found) for found in drawn.labels]
            assert all(_within(shape, drawn.box) for shape in shapes), beds_across
            assert len(shapes) < 2 or not overlap(*shapes), beds_across


def _upright(found) -> Box:
    plate = found.plate
    if not found.turned:
        return plate
    x, y = plate.middle
    return Box(x - plate.height / 2, y - plate.width / 2, plate.height, plate.width)


def _within(inner: Box, outer: Box) -> bool:
    return (
        inner.x >= outer.x
        and inner.y >= outer.y
        and inner.x + inner.width <= outer.x + outer.width
        and inner.y + inner.height <= outer.y + outer.height
    )


def test_two_hundred_beds_stay_on_the_sheet() -> None:
    beds = [bed(n, x_m=(n % 20) * 1.8, y_m=(n // 20) * 3.2) for n in range(200)]
    drawing = bed_map(beds)
    assert all(b.box.x + b.box.width <= WIDTH for b in drawing.beds)
    assert all(b.box.y + b.box.height <= drawing.height for b in drawing.beds)
    assert all(b.is_small for b in drawing.beds)


@pytest.mark.parametrize(
    ("names", "marks"),
    [
        (["Bed 1", "Bed 2"], ["1", "2"]),
        (["A", "B", "C"], ["A", "B", "C"]),
        (["Bed 1", "Border 1"], ["1", "2"]),
        (["Bed 7", "West strip"], ["1", "2"]),
        (["حوض الخضار", "Bed 2"], ["1", "2"]),
    ],
)
def test_marks_are_short_and_tell_beds_apart(names: list[str], marks: list[str]) -> None:
    assert bed_marks(names) == marks


def test_text_is_no_smaller_than_can_be_read() -> None:
    for width in range(10, 300, 7):
        found = label(Box(0, 0, width, 90), ["Planted", "lettuce"])
        assert found is None or min(line.size for line in found.lines) >= SMALLEST


def test_full_width_letters_take_more_room_and_marks_over_letters_none() -> None:
    assert text_width("畑", 20) > text_width("m", 20)
    assert text_width("e\u0301", 20) == text_width("e", 20)


def test_what_a_bed_does_is_said_of_its_link() -> None:
    state = BedState(
        Use.HELD, "Held", "for kale", Visit("Pen A", date(2026, 6, 12), date(2026, 6, 13))
    )
    [drawn] = bed_map([bed(1, state=state)]).beds
    assert (drawn.said, drawn.is_held) == ("Bed 1: Held for kale", True)
