"""Volumes of water, read and written like every other quantity.

PURE.
"""

from fractions import Fraction

from garden.unit_sizes import INCH_MM, Unit
from garden.unit_text import decimals
from garden.units import Measure, Style
from garden.words import mark

US_GALLON_L = 231 * INCH_MM**3 / 10**6
"""231 cubic inches [L]. Exact by definition, from memory."""

VOLUMES_L = (
    Unit("L", Fraction(1), ("l", "litre", "litres", "liter", "liters", "litro", "litros")),
    Unit("ml", Fraction(1, 1000), ("ml", "millilitres", "milliliters", "mililitros")),
    Unit("gal", US_GALLON_L, ("gal", "gallon", "gallons", "galón", "galones")),
    Unit("qt", US_GALLON_L / 4, ("qt", "quart", "quarts", "cuarto", "cuartos")),
)

VOLUME = Measure(
    mark("a volume"),
    VOLUMES_L,
    {
        "metric": Style("L", lambda litres: f"{decimals(litres, 1)} L", mark("6, 6 L or 500 ml")),
        "us": Style(
            "gal", lambda gallons: f"{decimals(gallons, 2)} gal", mark("1.5, 1.5 gal or 6 qt")
        ),
    },
    grain=Fraction(1, 200),
)
"""Water given to birds. [L]"""
