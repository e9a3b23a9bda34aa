"""The units a grower may write, each with its exact size in SI.

PURE. Sizes are rational numbers, exact by definition; a row says where its figure is printed.
"""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit and its spellings in every language: SI value = `size` × (written value − `zero`)."""

    symbol: str
    size: Fraction
    spellings: tuple[str, ...]
    zero: Fraction = Fraction(0)


INCH_MM = Fraction("25.4")
"""Exact. 16 CFR 500.19(a): "1 inch = 2.54 cm*", starred as exact; NIST SP 811, appendix B.8."""

POUND_G = Fraction("453.59237")
"""Exact, avoirdupois. NIST Handbook 44 (2026), appendix C: "453.592 37 grams (exactly)"."""

FAHRENHEIT_DEGREE_C = Fraction(5, 9)
FAHRENHEIT_FREEZING = Fraction(32)
"""Exact: t/°C = (t/°F − 32)/1.8. NIST SP 811, appendix B.8."""

FOOT_MM = 12 * INCH_MM  # derived: 12 inches; 304.8 mm, as 16 CFR 500.19(a) prints
OUNCE_G = POUND_G / 16  # derived: 16 ounces to the pound; 28.349523125 g
SQUARE_FOOT_M2 = (FOOT_MM / 1000) ** 2  # derived; 0.09290304 m², as 16 CFR 500.19(a) prints
MILE_PER_HOUR_M_S = 5280 * FOOT_MM / 1000 / 3600  # derived: 0.44704 m/s, exact
POUND_PER_SQUARE_FOOT_KG_M2 = POUND_G / 1000 / SQUARE_FOOT_M2  # derived; about 4.882

LENGTHS_MM = (
    Unit("mm", Fraction(1), ("mm",)),
    Unit("cm", Fraction(10), ("cm",)),
    Unit("m", Fraction(1000), ("m", "metre", "metres", "meter", "meters", "metro", "metros")),
    Unit("in", INCH_MM, ("in", "inch", "inches", "pulgada", "pulgadas", '"', "''")),
    Unit("ft", FOOT_MM, ("ft", "foot", "feet", "pie", "pies", "'")),
)
MASSES_G = (
    Unit("g", Fraction(1), ("g", "gram", "grams", "gramo", "gramos")),
    Unit(
        "kg",
        Fraction(1000),
        ("kg", "kilo", "kilos", "kilogram", "kilograms", "kilogramo", "kilogramos"),
    ),
    Unit("oz", OUNCE_G, ("oz", "ounce", "ounces", "onza", "onzas")),
    Unit("lb", POUND_G, ("lb", "lbs", "pound", "pounds", "libra", "libras")),
)
AREAS_M2 = (
    Unit("m²", Fraction(1), ("m2", "sq m", "square metres", "square meters", "metros cuadrados")),
    Unit("ft²", SQUARE_FOOT_M2, ("ft2", "sq ft", "square feet", "square foot", "pies cuadrados")),
)
TEMPERATURES_C = (
    Unit("°C", Fraction(1), ("°c", "° c", "c", "celsius")),
    Unit("°F", FAHRENHEIT_DEGREE_C, ("°f", "° f", "f", "fahrenheit"), FAHRENHEIT_FREEZING),
)
SPEEDS_M_S = (
    Unit("m/s", Fraction(1), ("m/s",)),
    Unit("km/h", Fraction(5, 18), ("km/h", "kmh", "kph")),
    Unit("mph", MILE_PER_HOUR_M_S, ("mph",)),
)
DENSITIES_KG_M2 = (
    Unit("kg/m²", Fraction(1), ("kg/m2", "kg/sq m", "kg per m2")),
    Unit("lb/ft²", POUND_PER_SQUARE_FOOT_KG_M2, ("lb/ft2", "lb/sq ft", "lb per sq ft")),
)


def in_thousands(units: tuple[Unit, ...]) -> tuple[Unit, ...]:
    """Return the same units sized for an SI unit a thousand times larger: g to kg, mm to m."""
    return tuple(Unit(unit.symbol, unit.size / 1000, unit.spellings, unit.zero) for unit in units)
