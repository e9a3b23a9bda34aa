"""The drawings of whole pens: true to scale, and no two words of one on top of each other."""

from functools import cache
from itertools import combinations

import pytest

from pens.design import Pen, PenDesign, design_pen
from pens.drawings.aslant import exploded_sheet
from pens.drawings.doors import door_sheet
from pens.drawings.rolls import roll_sheet
from pens.drawings.shapes import Box, Disc, Outline, Sheet
from pens.drawings.sides import Standing, front_sheet, plan_sheet, side_sheet
from pens.drawings.svg import svg_file
from pens.steps import building_steps

BEDS_MM = ((1200, 600), (1800, 750), (2400, 900), (2400, 1200), (3700, 1200), (4800, 1200))
"""The six beds whose drawings were looked at one by one."""


@cache
def pen_for(bed: tuple[int, int], doors: str = "lids", **_: object) -> Pen:
    """Return a pen for a bed with 10 mm of clearance."""
    return design_pen(PenDesign(bed[0] - 20, bed[1] - 20, birds=8, doors=doors, skids=True))


def sheets_of(pen: Pen, bed: tuple[int, int], system: str) -> list[Sheet]:
    """Return every drawing of a pen, its steps included."""
    standing = Standing("Bed 1", *bed, 10, 10)
    rolls = [roll_sheet(roll, 1, system) for roll in pen.rolls]
    steps = [step.sheet for step in building_steps(pen, system) if step.sheet]
    return [
        plan_sheet(pen.pieces, pen.doors, system, standing, pen.reach),
        front_sheet(pen.pieces, pen.doors, system),
        side_sheet(pen.pieces, pen.doors, system),
        exploded_sheet(pen.pieces),
        *(door_sheet(pen.pieces, door, system) for door in pen.doors),
        *rolls,
        *steps,
    ]


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("doors", ["lids", "sides"])
@pytest.mark.parametrize("bed", BEDS_MM)
def test_no_words_of_a_drawing_collide_and_none_leave_it(bed, doors, system):
    for sheet in sheets_of(pen_for(bed, doors), bed, system):
        boxes = [words.box for words in sheet.words()]
        clashes = [
            (one.text, other.text)
            for one, other in combinations(sheet.words(), 2)
            if one.box.touches(other.box)
        ]
        assert clashes == [], sheet.title
        for box in boxes:
            assert _within(box, sheet.frame), sheet.title


def _within(box: Box, frame: Box) -> bool:
    return (
        box.left >= frame.left
        and box.right <= frame.right
        and box.top >= frame.top
        and box.bottom <= frame.bottom
    )


@pytest.mark.parametrize("bed", BEDS_MM)
def test_plan_front_and_side_are_true_to_scale(bed):
    pen = pen_for(bed)
    length, width, height = pen.design.length_mm, pen.design.width_mm, pen.design.height_mm
    plan = plan_sheet(pen.pieces, pen.doors, "metric")
    front = front_sheet(pen.pieces, pen.doors, "metric")
    side = side_sheet(pen.pieces, pen.doors, "metric")
    for sheet, wide, high in ((plan, length, width), (front, length, None), (side, width, None)):
        timber = [
            point
            for shape in sheet.shapes
            if isinstance(shape, Outline) and shape.kind == "timber"
            for point in shape.points
        ]
        xs, ys = zip(*timber, strict=True)
        assert (max(xs) - min(xs)) * sheet.mm_per_unit == pytest.approx(wide, abs=0.5)
        tall = (max(ys) - min(ys)) * sheet.mm_per_unit
        # A skid lies under the frame that is measured.
        assert tall == pytest.approx(high or height, abs=30 if high is None else 0.5)
        assert {f"{wide}"} <= {words.text for words in sheet.words()}


def test_the_tape_is_as_long_as_what_is_drawn():
    pen = pen_for((2400, 1200))
    sheet = plan_sheet(pen.pieces, pen.doors, "metric")
    [ruler] = [s for s in sheet.shapes if isinstance(s, Outline) and s.kind == "ruler"]
    long_mm = (ruler.points[1][0] - ruler.points[0][0]) * sheet.mm_per_unit
    assert long_mm == pytest.approx(2380, abs=1)


def test_the_bed_is_drawn_round_the_pen_with_its_gaps_told():
    pen = pen_for((2400, 1200))
    bed = Standing("Bed 1", 2400, 1200, 10, 10)
    sheet = plan_sheet(pen.pieces, pen.doors, "metric", bed)
    texts = [words.text for words in sheet.words()]
    assert texts.count("10") == 4
    assert {"2400", "2380", "1200", "1180"} <= set(texts)
    assert "the inside of Bed 1" in sheet.told


def test_every_door_is_drawn_with_its_hinges_and_latches():
    pen = pen_for((3700, 1200))
    for door in pen.doors:
        sheet = door_sheet(pen.pieces, door, "metric")
        kinds = [shape.kind for shape in sheet.shapes if isinstance(shape, Disc)]
        letters = len([w for w in sheet.words() if w.kind == "letter"])
        assert kinds.count("thing") == len(door.latches_at_mm)
        assert kinds.count("spot") == len(door.hinges_at_mm) + letters
        assert str(door.leaf.width_mm) in [words.text for words in sheet.words()]


@pytest.mark.parametrize("bed", BEDS_MM)
def test_the_worst_point_is_marked_on_the_plan(bed):
    pen = pen_for(bed)
    sheet = plan_sheet(pen.pieces, pen.doors, "metric", reach=pen.reach)
    [worst] = [s for s in sheet.shapes if isinstance(s, Disc) and s.kind == "worst"]
    assert worst.x * sheet.mm_per_unit == pytest.approx(pen.reach.worst_x_mm, abs=1)
    assert -worst.y * sheet.mm_per_unit == pytest.approx(pen.reach.worst_y_mm, abs=1)


@pytest.mark.parametrize("bed", BEDS_MM)
def test_a_drawing_goes_on_paper_at_its_scale(bed):
    for sheet in sheets_of(pen_for(bed), bed, "us"):
        assert sheet.printed_width_mm <= 178
        assert sheet.printed_height_mm <= 105
        shrunk = sheet.printed_width_mm * sheet.one_to
        assert shrunk == pytest.approx(sheet.width * sheet.mm_per_unit, rel=1e-3)
        assert f'width="{sheet.printed_width_mm}mm"' in svg_file(sheet)
