"""What the Build page draws: a suggested size, a plain frame, a pen to scale, boards as bars."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pens.cut_sheet import cut_sheet
from pens.cutting.problem import Piece, Problem, Stock
from pens.cutting.search import cut_boards
from pens.drawing import MARGIN, MOST_LABELS, WIDTH, pen_drawing, shortened, tape_ticks
from pens.fit import fit_pen
from pens.frame import plain_frame
from pens.suggestion import LONGEST_MM, next_pen_name, suggested_size_mm

CLEARANCE_MM = 10


@pytest.mark.parametrize(
    ("bed", "kind", "pen"),
    [
        ((2400, 1200), "raised", (2380, 1180)),  # one place, as long as the bed
        ((3600, 1200), "raised", (1785, 1180)),  # two: (3600 - 3 x 10) / 2
        ((2460, 1200), "raised", (2440, 1180)),  # just one: 2460 - 2 x 10 is the longest
        ((2461, 1200), "raised", (1215, 1180)),  # (2461 - 3 x 10) / 2 = 1215.5
        ((2500, 1240), "ground", (1235, 1220)),  # halves, barely longer than wide
        ((2500, 1400), "ground", (1380, 1235)),  # halves that lie across: longer side first
        ((2400, 1200), "turf", (2400, 1200)),  # no wall, no gap
    ],
)
def test_a_suggested_pen(bed, kind, pen):
    assert suggested_size_mm(*bed, CLEARANCE_MM, kind) == pen


@given(st.integers(600, 20_000), st.integers(500, 2_400), st.integers(0, 50))
def test_a_suggested_pen_fits_its_bed(one_mm, other_mm, clearance_mm):
    length_mm, width_mm = max(one_mm, other_mm), min(one_mm, other_mm)
    pen = suggested_size_mm(length_mm, width_mm, clearance_mm, "raised")
    assert fit_pen(length_mm, width_mm, *pen, clearance_mm, "raised").places
    assert LONGEST_MM >= pen[0] >= pen[1] or pen[0] <= width_mm


def test_pens_are_named_by_letter_and_then_by_number():
    assert next_pen_name([]) == "Pen A"
    assert next_pen_name(["pen a", "Pen C"]) == "Pen B"
    letters = [f"Pen {chr(code)}" for code in range(ord("A"), ord("Z") + 1)]
    assert next_pen_name(letters) == "Pen 27"
    assert next_pen_name([*letters, "Pen 27"]) == "Pen 28"


def test_a_plain_frame_counts_its_pieces():
    rails, end_rails, posts = plain_frame(2380, 1180)
    assert (rails.length_mm, rails.count) == (2380, 4)
    assert (end_rails.length_mm, end_rails.count) == (1180 - 76, 4)
    # Two stretches of 1190 mm: three posts a side, between an upper and a lower rail.
    assert (posts.length_mm, posts.count) == (600 - 76, 6)


def test_a_short_frame_needs_posts_at_its_corners_only():
    assert plain_frame(1500, 1180)[2].count == 4


def test_wood_that_leaves_no_room_is_refused():
    with pytest.raises(ValueError, match="too small for its wood"):
        plain_frame(1000, 70)


def test_a_pen_is_drawn_to_scale_within_its_bed():
    fit = fit_pen(3600, 1200, 1780, 1180, CLEARANCE_MM, "raised")
    drawing = pen_drawing(3600, 1200, 1180, fit, "metric")

    scale = (WIDTH - 2 * MARGIN) / 3600
    assert drawing.bed.height == pytest.approx(1200 * scale, abs=0.1)
    first, second = drawing.pens
    assert first.width == second.width == pytest.approx(1780 * scale, abs=0.1)
    assert second.x + second.width < drawing.bed.x + drawing.bed.width
    assert (first.word, second.word) == ("1", "2")
    assert drawing.tape.width == drawing.bed.width


def test_a_single_place_has_no_number():
    fit = fit_pen(2400, 1200, 2380, 1180, CLEARANCE_MM, "raised")
    assert pen_drawing(2400, 1200, 1180, fit, "metric").pens[0].word == ""


@pytest.mark.parametrize(
    ("length_mm", "system", "labels"),
    [
        (2400, "metric", ["0.5 m", "1 m", "1.5 m", "2 m"]),
        (3600, "metric", ["1 m", "2 m", "3 m"]),
        (2438.4, "us", ["2 ft", "4 ft", "6 ft"]),
        (400, "metric", []),
    ],
)
def test_the_tape_is_labelled_in_the_gardens_units(length_mm, system, labels):
    ticks = tape_ticks(length_mm, 0.1, system)
    assert [tick.label for tick in ticks if tick.label] == labels


@given(st.floats(200, 200_000), st.sampled_from(["metric", "us"]))
def test_the_tape_is_never_crowded(length_mm, system):
    ticks = tape_ticks(length_mm, (WIDTH - 2 * MARGIN) / length_mm, system)
    assert sum(1 for tick in ticks if tick.label) <= MOST_LABELS
    assert all(MARGIN <= tick.x <= WIDTH - MARGIN for tick in ticks)


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (["Bed 1"], "Bed 1"),
        (["Bed 1", "Bed 2"], "Bed 1 and Bed 2"),
        (["a", "b", "c", "d"], "a, b, c and d"),
        (["a", "b", "c", "d", "e"], "a, b, c and 2 more"),
    ],
)
def test_names_are_listed_in_words(names, told):
    assert shortened(names) == told


def test_a_cut_sheet_draws_each_board_from_its_trimmed_end():
    mm = 100
    problem = Problem(
        kerf_ticks=3 * mm,
        trim_ticks=20 * mm,
        stock=(Stock("2x2", 2400 * mm, Fraction("4.1")),),
        pieces=(
            Piece("2x2", 1100 * mm, 2, "Rail"),
            Piece("2x2", 1100 * mm, 1, "Brace"),
            Piece("2x2", 500 * mm, 1, "Post"),
        ),
    )
    sheet = cut_sheet(problem, cut_boards(problem, 5.0))

    assert sheet.proven
    assert (sheet.boards, sheet.cost) == (2, 8.2)
    assert [(part.letter, part.name, part.count) for part in sheet.parts] == [
        ("A", "Rail", 2),
        ("B", "Brace", 1),
        ("C", "Post", 1),
    ]
    scale = (WIDTH - 2 * MARGIN) / 2400
    for bar in sheet.bars:
        assert bar.cuts[0].x == pytest.approx(MARGIN + 20 * scale, abs=0.1)
        end = bar.offcut or bar.cuts[-1]
        assert end.x + end.width <= WIDTH - MARGIN + 0.2


def test_pieces_of_one_name_and_length_in_two_woods_keep_their_letters():
    problem = Problem(
        kerf_ticks=0,
        trim_ticks=0,
        stock=(Stock("2x2", 1000, Fraction(1)), Stock("2x3", 1000, Fraction(2))),
        pieces=(Piece("2x2", 1000, 1, "Rail"), Piece("2x3", 1000, 1, "Rail")),
    )
    sheet = cut_sheet(problem, cut_boards(problem, 5.0))

    assert {(bar.profile, bar.words) for bar in sheet.bars} == {("2x2", "1 × A"), ("2x3", "1 × B")}
    assert [(row.profile, row.cost) for row in sheet.purchases] == [("2x2", 1.0), ("2x3", 2.0)]
