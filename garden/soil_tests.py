"""Soil tests: the units laboratories report in, and what a finding means in grams on a bed.

PURE. Two things are kept apart. A report in lb/acre or kg/ha is turned into mg/kg by the laboratories'
own convention, which takes a plough layer of two million pounds an acre whatever the sample's depth. What
lies in a bed follows from the depth sampled and the weight of the soil.
"""

from __future__ import annotations

from garden.crops_reference import KG_HA_PER_LB_ACRE
from garden.npk import NOTHING, Npk
from garden.provenance import Figure, Mark

LB_ACRE_PER_MG_KG = Figure(
    value=2.0,
    unit="lb/acre per mg/kg",
    source="Ohio State University, Understanding Soil Test Reports: 30 ppm x 2 = 60 lb/acre; Penn State "
    "Extension: an acre furrow slice is rounded to 2,000,000 lb",
    mark=Mark.PUBLISHED,
)
BULK_DENSITY_KG_M3 = Figure(
    value=1330.0,
    unit="kg/m³ dry soil",
    source="Penn State Extension, What is an acre furrow slice: 1.33 g/cm³, a silt loam; a raised bed "
    "full of compost is lighter",
    mark=Mark.PUBLISHED,
)
MG_KG_PER_UNIT = {
    "ppm": 1.0,
    "mg_kg": 1.0,
    "lb_acre": 1.0 / LB_ACRE_PER_MG_KG.value,
    "kg_ha": 1.0 / (LB_ACRE_PER_MG_KG.value * KG_HA_PER_LB_ACRE),
}
"""Size of each unit of a report [mg/kg]; ppm and mg/kg are the same."""


def from_report(value: float, unit: str) -> float:
    """Return a reported figure in mg/kg.

    Parameters
    ----------
    value : float
        As printed, at least 0.
    unit : {"ppm", "mg_kg", "lb_acre", "kg_ha"}
        As the report says.

    Raises
    ------
    ValueError
        For a negative value or an unknown unit.
    """
    if unit not in MG_KG_PER_UNIT:
        raise ValueError(f"unit: expected one of {', '.join(MG_KG_PER_UNIT)}")
    if not value >= 0:
        raise ValueError("value: expected a number >= 0")
    return value * MG_KG_PER_UNIT[unit]


def to_report(value_mg_kg: float, unit: str) -> float:
    """Return mg/kg as a report in another unit has it; `from_report` turned round."""
    return value_mg_kg / from_report(1.0, unit)


def in_bed_g(value_mg_kg: float, area_m2: float, depth_mm: float) -> float:
    """Return what a finding means for a bed, down to the depth sampled [g].

    ``mg/kg x kg of soil``; 10 mg/kg to 150 mm are 2 g on each square metre.
    """
    soil_kg = area_m2 * depth_mm / 1000 * BULK_DENSITY_KG_M3.value
    return value_mg_kg * soil_kg / 1000


def opening(
    nitrogen_mg_kg: float | None,
    phosphorus_mg_kg: float | None,
    potassium_mg_kg: float | None,
    *,
    area_m2: float,
    depth_mm: float,
) -> Npk:
    """Return what a test found in a bed: the part that its method dissolves, not all the soil holds [g].

    What was not tested counts as nothing.
    """
    found = (nitrogen_mg_kg, phosphorus_mg_kg, potassium_mg_kg)
    if not any(found):
        return NOTHING
    return Npk(*(in_bed_g(value or 0.0, area_m2, depth_mm) for value in found))
