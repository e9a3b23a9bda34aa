"""Lanes of dimensions, letters at pieces, bodies seen from a side: the parts that drawings are made of."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from pens.drawings.dimensions import Span, below, beside, lanes_of
from pens.drawings.letters import Mark, lettered
from pens.drawings.shapes import Box, Disc, Sheet, Words, inch_words, length_words, reach_of
from pens.drawings.solids import ASLANT, FROM_ABOVE, FROM_THE_FRONT, Solid, far_first
from pens.drawings.svg import svg_file, svg_for_page

places = some.floats(0, 400).map(lambda x: round(x, 1))
spans = some.builds(
    lambda start, length, text: Span(start, start + length, text),
    places,
    some.floats(1, 300).map(lambda x: round(x, 1)),
    some.sampled_from(["38", "1124", "44 1/4″", "3 ft 8 1/4 in"]),
)


def words_of(shapes) -> list[Words]:
    return [shape for shape in shapes if isinstance(shape, Words)]


@settings(max_examples=60, deadline=None)
@given(some.lists(spans, min_size=1, max_size=14))
def test_no_two_dimensions_touch_whatever_they_say(asked):
    drawn = Box(0, 0, 400, 200)
    for shapes in (below(asked, drawn), beside(asked, drawn)):
        boxes = [words.box for words in words_of(shapes)]
        assert len(boxes) == len(set(asked))
        assert not [pair for pair in combinations(boxes, 2) if pair[0].touches(pair[1])]
        assert not [box for box in boxes if box.touches(drawn)]


def test_a_short_length_stands_nearer_to_the_drawing_than_a_long_one_over_it():
    short, other, whole = Span(0, 60, "60"), Span(90, 150, "60"), Span(0, 300, "300")
    assert lanes_of([whole, short, other, short]) == [[short, other], [whole]]


@settings(max_examples=40, deadline=None)
@given(some.lists(some.tuples(places, places), min_size=1, max_size=30))
def test_letters_never_lie_on_one_another_or_on_words(at):
    said = Box(100, 100, 160, 120)
    marks = [Mark("ABCDEFGH"[n % 8], (place,)) for n, place in enumerate(at)]
    shapes = lettered(marks, [said])
    spots = [shape for shape in shapes if isinstance(shape, Disc) and shape.kind == "spot"]
    assert len(spots) == len(at)
    for one, other in combinations(spots, 2):
        way = max(abs(one.x - other.x), abs(one.y - other.y))
        assert way >= one.radius + other.radius
    assert not [words for words in words_of(shapes) if words.box.touches(said)]


def test_a_letter_stands_on_its_piece_where_there_is_room():
    [spot, letter] = lettered([Mark("A", ((50.0, 60.0),))])
    assert (spot.x, spot.y, letter.text) == (50.0, 60.0, "A")


def test_what_is_in_front_is_drawn_last():
    back = Solid.block((0, 1000, 0), (2000, 1038, 38), "back")
    front = Solid.block((0, 0, 0), (2000, 38, 38), "front")
    top = Solid.block((0, 0, 600), (38, 1038, 638), "top")
    for view in (FROM_THE_FRONT, ASLANT):
        order = [solid.letter for solid in far_first([front, top, back], view)]
        assert order.index("back") < order.index("front")
    assert [solid.letter for solid in far_first([top, front], FROM_ABOVE)] == ["front", "top"]


def test_a_body_shows_three_sides_aslant_and_one_from_the_front():
    rail = Solid.block((0, 0, 0), (2000, 38, 38))
    assert len(ASLANT.sides(rail)) == 3
    [side] = FROM_THE_FRONT.sides(rail)
    assert {round(x) for x, _ in side} == {0, 2000}
    assert len(FROM_THE_FRONT.hull(rail)) == 4


def test_a_slanted_brace_has_its_true_outline():
    brace = Solid(
        (
            *((0, 0, 0), (0, 38, 0), (-24, 38, 32), (-24, 0, 32)),
            *((400, 0, 300), (400, 38, 300), (376, 38, 332), (376, 0, 332)),
        )
    )
    outline = FROM_THE_FRONT.hull(brace)
    assert set(outline) == {(0, 0), (400, -300), (376, -332), (-24, -32)}


@pytest.mark.parametrize(
    ("length_mm", "told"),
    [(1123.95, "44 1/4″"), (1124, "44 1/4″"), (38.1, "1 1/2″"), (2438.4, "96″"), (3, "1/8″")],
)
def test_inches_are_told_to_the_nearest_sixteenth(length_mm, told):
    assert inch_words(length_mm) == length_words(length_mm, "us") == told


def test_a_sheet_is_true_to_scale_on_paper():
    shapes = (Words(0, 0, "A & <B>"), Disc(400, 100, 5, "spot"))
    sheet = Sheet("Plan", "From above.", shapes, reach_of(shapes, 8), mm_per_unit=5.9)
    assert sheet.one_to == 15
    assert sheet.printed_width_mm == pytest.approx(sheet.width * 5.9 / 15, abs=0.01)
    page, file = svg_for_page(sheet), svg_file(sheet)
    assert f'width="{sheet.printed_width_mm}mm"' in page
    assert "A &amp; &lt;B&gt;" in page
    assert "style=" not in page
    assert "<title>Plan, 1:15</title>" in file
