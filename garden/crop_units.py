"""Loads, harvests and contents of crops, read and written like every other quantity.

PURE. Rows hold kg/ha, kg/m² and g/kg; a garden in the United States reads and types pounds on 1,000 sq ft,
pounds on a square foot, and parts of a hundred.
"""

from fractions import Fraction

from garden import unit_sizes as sizes
from garden.unit_sizes import POUND_G, SQUARE_FOOT_M2, Unit
from garden.unit_text import decimals, feet_and_inches
from garden.units import Measure, Style
from garden.words import mark

LOADS_KG_HA = (
    Unit("kg/ha", Fraction(1), ("kg/ha", "kg per ha", "kg per hectare")),
    Unit("g/m²", Fraction(10), ("g/m2", "g per m2", "g per square metre")),
    Unit("lb/1,000 sq ft", POUND_G / SQUARE_FOOT_M2 / 100, ("lb/k sq ft",)),
)
"""Of a nutrient on ground; the text reader makes “lb/k sq ft” of every spelling of the last, 48.8 kg/ha."""

SHARES_G_KG = (
    Unit("g/kg", Fraction(1), ("g/kg", "g per kg", "g")),
    Unit("%", Fraction(10), ("%", "percent", "per cent")),
)


def _in(unit: str, places: int, example: str) -> Style:
    def write(value: Fraction) -> str:
        return f"{decimals(value, places).rstrip('0').rstrip('.,')} {unit}"

    return Style(unit, write, example)


LOAD = Measure(
    mark("a load"),
    LOADS_KG_HA,
    {
        "metric": _in("kg/ha", 1, mark("150, 150 kg/ha or 15 g/m²")),
        "us": _in("lb/1,000 sq ft", 2, mark("3.1, 3.1 lb/1,000 sq ft or 150 kg/ha")),
    },
    grain=Fraction(1, 4),
)
"""What a crop needs of a nutrient, or a bed may get. [kg/ha]"""

CROP_YIELD = Measure(
    mark("a harvest"),
    sizes.DENSITIES_KG_M2,
    {
        "metric": _in("kg/m²", 2, mark("4.5 or 4.5 kg/m²")),
        "us": _in("lb/ft²", 2, mark("0.9, 0.9 lb/ft² or 4.5 kg/m²")),
    },
    grain=Fraction(1, 40),
)
"""What a square metre gives. [kg/m²]"""

CONTENT = Measure(
    mark("a content"),
    SHARES_G_KG,
    {"metric": _in("g/kg", 2, mark("2.5, 2.5 g/kg or 0.25 %")), "us": _in("%", 3, "0.25, 0.25 %")},
    grain=Fraction(1, 200),
)
"""What a harvest holds of a nutrient. [g/kg]"""

SPACING = Measure(
    mark("a distance"),
    sizes.LENGTHS_MM,
    {
        "metric": _in("cm", 1, mark("30, 30 cm or 300 mm")),
        "us": Style(
            "in", lambda inches: feet_and_inches(inches, Fraction(1, 4)), mark("12 or 1 ft")
        ),
    },
    grain=Fraction(1, 2),
)
"""From plant to plant. [mm]"""
