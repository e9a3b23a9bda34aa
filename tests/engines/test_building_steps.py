"""The steps: every piece and every screw of the frame once, in an order that can be built."""

from collections import Counter

import pytest

from pens.design import PenDesign, design_pen
from pens.steps import both_ways, building_steps

PENS = {
    "short": PenDesign(1180, 580, birds=4),
    "long": PenDesign(3680, 1180, birds=8, skids=True, roost_mm_per_bird=150),
    "doors in the walls": PenDesign(2380, 1180, doors="sides"),
    "no cover": PenDesign(2380, 880, cover="none", profile="38x38", strap="25x38"),
    "wide": PenDesign(2400, 1700, cover="roof and one side"),
}


@pytest.mark.parametrize("name", PENS)
def test_every_piece_is_put_on_in_exactly_one_step(name):
    pen = design_pen(PENS[name])
    put_on = Counter()
    for step in building_steps(pen, "metric"):
        for line in step.pieces:
            put_on[line.letter] += line.count
    assert put_on == Counter(piece.letter for piece in pen.pieces)


@pytest.mark.parametrize("name", PENS)
def test_every_screw_is_driven_in_exactly_one_step(name):
    pen = design_pen(PENS[name])
    driven = Counter()
    for step in building_steps(pen, "metric"):
        for line in step.screws:
            driven[line.screw_mm, line.bit_mm] += line.count
    holes = [(hole.screw_mm, hole.bit_mm) for piece in pen.pieces for hole in piece.holes]
    assert driven == Counter(holes)


def test_walls_come_before_ends_and_the_diagonal_is_told_to_the_millimetre():
    pen = design_pen(PENS["long"])
    steps = {step.key: step for step in building_steps(pen, "metric")}
    assert list(steps)[:4] == ["sight", "cut", "walls", "ends"]
    # 3680² + 1180² = 14 934 800, whose root is 3864.6.
    assert "3865 mm (12 ft 8 3/16 in)" in " ".join(steps["ends"].checks)
    assert [step.number for step in steps.values()] == list(range(1, len(steps) + 1))


def test_a_step_without_anything_to_put_on_is_left_out():
    keys = [step.key for step in building_steps(design_pen(PENS["no cover"]), "us")]
    assert "skids" not in keys
    assert "roosts" not in keys
    assert "cover" not in keys
    assert {"wire", "hold"} <= set(keys)


def test_cautions_stand_at_the_step_where_it_can_hurt():
    said = {
        step.key: f"{step.hazard} {step.caution}"
        for step in building_steps(design_pen(PENS["long"]), "metric")
    }
    assert "arsenic" in said["sight"]
    assert "eye and ear protection" in said["cut"]
    assert "manual and local rules" in said["cut"]
    assert "gloves" in said["wire"]
    assert "Wind" in said["cover"]
    assert "dig" in said["hold"]


@pytest.mark.parametrize(
    ("length_mm", "system", "told"),
    [
        (1124, "metric", "1124 mm (3 ft 8 1/4 in)"),
        (1123.95, "us", "3 ft 8 1/4 in (1124 mm)"),
    ],
)
def test_a_length_is_told_in_both_systems(length_mm, system, told):
    assert both_ways(length_mm, system) == told
