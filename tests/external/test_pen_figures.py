"""Sizes, weights, lifts and winds of a pen against figures that are printed elsewhere."""

import csv

import pytest

from garden.provenance import Mark
from pens.design import (
    BedSize,
    LiftTerms,
    PenDesign,
    design_pen,
    outside_for,
    profiles,
    species,
)
from pens.design.cover import cover_of
from pens.design.lifting import recommended_limit
from pens.design.lumber import REFERENCE, meshes
from pens.design.wind import pressure_n_m2
from pens.design.wire import courses

INCH_MM = 25.4
POUND_KG = 0.45359237
POUND_FOOT3_KG_M3 = POUND_KG / 0.3048**3


# ---------------------------------------------------------------------------------------------
# Wood


@pytest.mark.parametrize(
    ("nominal", "inches", "printed_mm"),
    [
        # American Softwood Lumber Standard PS 20, minimum dressed sizes, dry, in inches and mm:
        # 1 → 3/4 (19), 2 → 1 1/2 (38), 3 → 2 1/2 (64), 4 → 3 1/2 (89). Published, read in a copy.
        ("1x2", (0.75, 1.5), (19, 38)),
        ("1x3", (0.75, 2.5), (19, 64)),
        ("1x4", (0.75, 3.5), (19, 89)),
        ("2x2", (1.5, 1.5), (38, 38)),
        ("2x3", (1.5, 2.5), (38, 64)),
        ("2x4", (1.5, 3.5), (38, 89)),
    ],
)
def test_nominal_and_actual_sizes_are_the_standards(nominal, inches, printed_mm):
    wood = profiles()[nominal]
    assert (wood.thickness_mm, wood.width_mm) == printed_mm
    assert [round(size * INCH_MM) for size in inches] == list(printed_mm)
    assert wood.provenance.mark is Mark.PUBLISHED


@pytest.mark.parametrize(
    ("key", "printed_lb_ft3"),
    [
        # Oregon State University, relative properties of western softwoods, after the Wood Handbook:
        # air-dry weights in lb/ft³. Published, read in a copy.
        ("douglas-fir", 34),
        ("engelmann-spruce", 27),
        ("western-hemlock", 31),
        ("grand-fir", 26),
        ("subalpine-fir", 28),
    ],
)
def test_densities_are_the_printed_ones(key, printed_lb_ft3):
    assert species()[key].kg_m3 == pytest.approx(printed_lb_ft3 * POUND_FOOT3_KG_M3, abs=0.6)
    assert species()[key].provenance.mark is Mark.PUBLISHED


@pytest.mark.parametrize("table", ["lumber", "timber", "mesh", "tarps"])
def test_every_row_of_every_table_has_its_source_and_mark(table):
    with (REFERENCE / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            assert len(row["source"]) > 8
            assert Mark(row["mark"])
            if "printed_lb_ft3" in row and row["mark"] == "published":
                assert f"{row['printed_lb_ft3']} lb/ft³" in row["source"]


def test_wire_weighs_what_its_geometry_says():
    # Steel of 7850 kg/m³: two wires of π/4 d² for every pitch; 1.05 kg/m² bare for half-inch 19 gauge.
    from math import pi

    cloth = meshes()["half-inch-19"]
    bare = 2 * pi / 4 * (cloth.wire_mm / 1000) ** 2 / (cloth.opening_mm / 1000) * 7850
    assert bare == pytest.approx(1.05, abs=0.01)
    assert cloth.kg_m2 == pytest.approx(1.07 * bare, abs=0.01)


# ---------------------------------------------------------------------------------------------
# Figures of the trade: common practice, no source


def nominal_bed(feet_long: float, feet_wide: float) -> BedSize:
    """A bed by its outside, with walls of 1 1/2 in."""
    inside = [feet * 12 * INCH_MM - 2 * 1.5 * INCH_MM for feet in (feet_long, feet_wide)]
    return BedSize("Bed", *inside)


def test_a_pen_for_a_nominal_four_foot_bed_is_44_1_4_in_wide_and_41_1_4_in_clear():
    length, width = outside_for(nominal_bed(8, 4), clearance_mm=0.375 * INCH_MM)
    pen = design_pen(PenDesign(length, width))
    assert width == round(44.25 * INCH_MM)
    assert pen.clear_width_mm == round(41.25 * INCH_MM)
    sixteenths = [round(mm / INCH_MM * 16) / 16 for mm in (width, pen.clear_width_mm)]
    assert sixteenths == [44.25, 41.25]


def test_a_six_by_eight_foot_tarp_covers_it_with_overlap_to_fold():
    length, width = outside_for(nominal_bed(8, 4), clearance_mm=0.375 * INCH_MM)
    cover = cover_of(PenDesign(length, width))
    assert (cover.tarp_width_mm, cover.tarp_length_mm) == (1829, 2438)
    assert cover.side_overlap_mm > 300
    assert cover.end_overlap_mm >= 40


def test_cloth_of_24_in_makes_one_course_of_a_wall_two_feet_high():
    assert courses(610, [610], 51) == [(0, 610)]
    assert len(courses(611, [610], 51)) == 2


def test_one_person_carries_the_bare_frame_and_there_are_two_doors_in_different_places():
    pen = design_pen(PenDesign(*outside_for(nominal_bed(8, 4), 0.375 * INCH_MM)))
    # At knuckle height, with a good grip, close by: the least that the equation allows a carrier.
    carried = recommended_limit(LiftTerms(horizontal_cm=40, height_cm=75, grip="good"))
    assert pen.mass.frame_kg < carried.limit_kg
    assert len(pen.doors) == 2
    first, second = pen.doors
    assert first.opening.u1 < second.opening.u0


# ---------------------------------------------------------------------------------------------
# The lifting equation


@pytest.mark.parametrize(
    ("inches", "frequency", "grip", "printed_lb"),
    [
        # (H, V, D) in inches. NIOSH 94-110, example 1, loading punch press stock: 16.3 lb where the
        # lift begins, 14.5 lb where it ends (the grip is fair). From memory; pages 33 to 37.
        ((23, 15, 48), 1.0, "fair", 16.3),
        ((23, 63, 48), 1.0, "fair", 14.5),
        # A worked exercise with NIOSH's tables: 51 × 0.50 × 0.82 × 0.93 × 1 × 0.95 = 18.4 (wizedu.com,
        # question 203981). Found.
        ((20, 6, 16), 1.0, "fair", 18.4),
    ],
)
def test_recommended_limits_in_pounds(inches, frequency, grip, printed_lb):
    # The manual's form in inches has 10 for 25, 30 for 75 and 1.8 for 4.5: two and a half to the inch.
    across, height, travel = (value * 2.5 for value in inches)
    limit = recommended_limit(LiftTerms(across, height, travel, 0, frequency, grip))
    # 23 kg stands for 51 lb, and the printed product is one of multipliers rounded to two places.
    assert limit.limit_kg / 23 * 51 == pytest.approx(printed_lb, abs=0.3)


@pytest.mark.parametrize(
    ("terms", "printed"),
    [
        # A worked exercise: 23 × 1 × 0.94 × 0.87 × 1 × 0.88 × 0.95 = 15.7 kg (homeworksource.com,
        # question 1089113; V 55 cm, D 95 cm, three lifts a minute). Found.
        (LiftTerms(25, 55, 95, 0, 0.88, "fair"), 15.7),
        # The constant itself: everything at its best. NIOSH 94-110.
        (LiftTerms(25, 75, 25, 0, 1.0, "good"), 23.0),
        # Derived in the reference from the equation: hands at 40 cm, H of 40, 50 and 63 cm.
        (LiftTerms(40, 40, 25, 0, 1.0, "fair"), 12.2),
        (LiftTerms(50, 40, 25, 0, 1.0, "fair"), 9.8),
        (LiftTerms(63, 40, 25, 0, 1.0, "fair"), 7.8),
        # Beyond its range nothing is recommended.
        (LiftTerms(64, 75, 25), 0.0),
        (LiftTerms(40, 180, 25), 0.0),
        (LiftTerms(40, 75, 25, 140), 0.0),
    ],
)
def test_recommended_limits_in_kilograms(terms, printed):
    assert recommended_limit(terms).limit_kg == pytest.approx(printed, abs=0.06)


# ---------------------------------------------------------------------------------------------
# Wind


@pytest.mark.parametrize(
    ("miles_an_hour", "printed_psf"),
    # 0.00256 V² lb/ft², the form of ASCE 7 in inches and pounds. Found.
    [(20, 1.0), (30, 2.3), (40, 4.1), (50, 6.4), (60, 9.2)],
)
def test_velocity_pressure_in_both_systems(miles_an_hour, printed_psf):
    pascal = pressure_n_m2(miles_an_hour * 0.44704)
    assert pascal / 47.880259 == pytest.approx(printed_psf, abs=0.05)
