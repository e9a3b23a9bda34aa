"""SI inside, the garden's own units at the edge.

PURE. Rows and engines hold millimetres, metres, grams, kilograms, square metres and °C. A page shows, a form
reads them through one `Measure` per kind of quantity, in the garden's units (``"metric"`` or ``"us"``).
Conversion is exact rational arithmetic: nothing drifts when a figure is shown, edited and stored again.

>>> PEN_LENGTH.show(1124, "us"), PEN_LENGTH.read("44 1/4 in", "metric")
('3 ft 8 1/4 in', 1123.95)
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from garden import unit_sizes as sizes
from garden.unit_sizes import Unit
from garden.unit_text import (
    decimals,
    exactly,
    feet_and_inches,
    figures,
    grams_or_kilograms,
    pounds_and_ounces,
)
from garden.words import gettext as _
from garden.words import mark

System = Literal["metric", "us"]

_IMPLIED_AFTER = {"ft": "in", "lb": "oz"}
"""What a plain number means behind one of these units: 4' 2 is four feet two inches."""


@dataclass(frozen=True, slots=True)
class Style:
    """How one system writes a kind of quantity.

    `unit` is what a plain number means and what a form's label says; `write` turns a value in that unit, never
    negative, into text rounded to what a grower can act on; `example` is offered where an answer was not read.
    """

    unit: str
    write: Callable[[Fraction], str]
    example: str


@dataclass(frozen=True, slots=True)
class Measure:
    """One kind of quantity: what it is inside, and how each system writes and reads it.

    Attributes
    ----------
    noun : str
        What a message calls it: "a length".
    units : tuple of Unit
        Every unit that may be written, of either system, sized in the SI unit that is stored.
    styles : mapping of System to Style
        How each system writes it.
    grain : Fraction
        A difference too small to matter when a figure is stored again. [the stored SI unit]
    below_zero : bool
        Whether a value below zero means anything.
    """

    noun: str
    units: tuple[Unit, ...]
    styles: Mapping[System, Style]
    grain: Fraction
    below_zero: bool = False

    def unit(self, system: System) -> str:
        """Return the unit that a plain number is taken in, for a form's label."""
        return self.styles[system].unit

    def show(self, value: float, system: System) -> str:
        """Write an SI value for a reader, rounded (halves up) to what a grower can act on.

        Parameters
        ----------
        value : float
            Finite. [the measure's SI unit]
        system : {"metric", "us"}
            The garden's system of units.

        Returns
        -------
        str
            Such as ``3 ft 8 1/4 in``; `read` reads it back.
        """
        written = self._in_plain_unit(value, system)
        text = self.styles[system].write(abs(written))
        says_something = any(character in "123456789" for character in text)
        return f"−{text}" if written < 0 and says_something else text

    def entry(self, value: float, system: System) -> str:
        """Write an SI value into a form's field, so that saving it untouched changes nothing.

        Takes what `show` takes.

        Returns
        -------
        str
            What is shown if `read` takes it back to `value` within the measure's grain, and otherwise the plain
            unit with as many decimals as it takes.
        """
        shown = self.show(value, system)
        if abs(self._read(shown, system) - exactly(value)) <= self.grain:
            return shown
        written = self._in_plain_unit(value, system)
        text = decimals(abs(written), 5).rstrip("0").rstrip(".,")
        return f"{'−' if written < 0 else ''}{text} {self.unit(system)}"

    def read(self, text: str, system: System) -> float:
        """Read what a grower typed, in any unit of either system.

        Parameters
        ----------
        text : str
            A plain number in the system's own unit, or numbers with units: ``1.2 m``, ``44 1/4"``,
            ``3' 8¼"``, ``4 ft 2 in``, ``1 lb 12 oz``, ``1,5 kg`` (a decimal comma).
        system : {"metric", "us"}
            Says what a plain number means.

        Returns
        -------
        float
            The value. [the measure's SI unit]

        Raises
        ------
        ValueError
            With one plain sentence that shows what can be read.
        """
        return float(self._read(text, system))

    def _in_plain_unit(self, value: float, system: System) -> Fraction:
        unit = self._unit_named(self.unit(system))
        return exactly(value) / unit.size + unit.zero

    def _read(self, text: str, system: System) -> Fraction:
        try:
            negative, numbers = figures(text)
            parts = self._with_units(numbers, system)
        except ValueError as error:
            raise ValueError(str(error) or self._wish(system)) from None
        if negative and not self.below_zero:
            raise ValueError(self._wish(system, above_zero=True))
        if len(parts) > 1:
            return sum((number * unit.size for number, unit in parts), Fraction(0))
        [(number, unit)] = parts
        return unit.size * ((-number if negative else number) - unit.zero)

    def _with_units(
        self, numbers: list[tuple[Fraction, str | None]], system: System
    ) -> list[tuple[Fraction, Unit]]:
        """Find each number's unit; every part must be less than one of the unit before it."""
        parts: list[tuple[Fraction, Unit]] = []
        for number, spelling in numbers:
            if parts and numbers[0][1] is None:
                raise ValueError
            unit = self._unit_spelt(spelling) if spelling else self._unit_implied(parts, system)
            if parts and (self.below_zero or number * unit.size >= parts[-1][1].size):
                raise ValueError
            parts.append((number, unit))
        return parts

    def _unit_implied(self, before: list[tuple[Fraction, Unit]], system: System) -> Unit:
        if not before:
            return self._unit_named(self.unit(system))
        return self._unit_named(_IMPLIED_AFTER.get(before[-1][1].symbol, ""))

    def _unit_named(self, symbol: str) -> Unit:
        return self._first(lambda unit: unit.symbol == symbol)

    def _unit_spelt(self, spelling: str) -> Unit:
        return self._first(lambda unit: spelling in unit.spellings)

    def _first(self, fits: Callable[[Unit], bool]) -> Unit:
        for unit in self.units:
            if fits(unit):
                return unit
        raise ValueError

    def _wish(self, system: System, *, above_zero: bool = False) -> str:
        told = _("Give {noun}, for example {example}.")
        if above_zero:
            told = _("Give {noun} that is not below zero, for example {example}.")
        return told.format(noun=_(self.noun), example=_(self.styles[system].example))


def _in(unit: str, places: int, example: str) -> Style:
    return Style(unit, lambda value: f"{decimals(value, places)} {unit}", example)


def _in_feet(unit: str, unit_inches: int, step_inch: Fraction, example: str) -> Style:
    return Style(unit, lambda value: feet_and_inches(unit_inches * value, step_inch), example)


# What each quantity is rounded to is our choice: what a grower can act on.

BED_LENGTH = Measure(
    mark("a length"),
    sizes.LENGTHS_MM,
    {
        "metric": _in("cm", 0, mark("240, 240 cm or 2.4 m")),
        "us": _in_feet("ft", 12, Fraction(1, 2), mark("8, 8 ft or 7 ft 10 1/2 in")),
    },
    grain=Fraction(1, 2),
)
"""Inside lengths of beds. [mm]"""

PEN_LENGTH = Measure(
    mark("a length"),
    sizes.LENGTHS_MM,
    {
        "metric": _in("mm", 0, mark("1124, 1124 mm or 1.124 m")),
        "us": _in_feet("in", 1, Fraction(1, 16), mark("44 1/4, 44 1/4 in or 3 ft 8 1/4 in")),
    },
    grain=Fraction(1, 2),
)
"""Lengths that are sawn or must fit: pens, boards, clearances, mesh. [mm]"""

DISTANCE = Measure(
    mark("a distance"),
    sizes.in_thousands(sizes.LENGTHS_MM),
    {"metric": _in("m", 0, mark("12 or 12 m")), "us": _in("ft", 0, mark("40 or 40 ft"))},
    grain=Fraction(1, 200),
)
"""How far a pen is carried, and where a bed lies in the garden. [m]"""

BIRD_MASS = Measure(
    mark("a weight"),
    sizes.MASSES_G,
    {
        "metric": Style("g", grams_or_kilograms, mark("790, 790 g or 0.79 kg")),
        "us": Style("lb", pounds_and_ounces, mark("1.75, 1.75 lb or 1 lb 12 oz")),
    },
    grain=Fraction(1, 2),
)
"""Live, dressed and target weights of birds. [g]"""

FEED_MASS = Measure(
    mark("a weight"),
    sizes.in_thousands(sizes.MASSES_G),
    {
        "metric": _in("kg", 1, mark("20, 20 kg or 800 g")),
        "us": _in("lb", 1, mark("50, 50 lb or 12 oz")),
    },
    grain=Fraction(1, 2000),
)
"""Feed, and whatever else is weighed by the sack or lifted. [kg]"""

NITROGEN = Measure(
    mark("an amount"),
    sizes.MASSES_G,
    # Grams in both systems: a bed has room for some tens of them, and an ounce is too coarse.
    {"metric": _in("g", 0, mark("50 or 50 g")), "us": _in("g", 0, mark("50, 50 g or 1.8 oz"))},
    grain=Fraction(1, 20),
)
"""Nitrogen, and phosphorus likewise. [g]"""

AREA = Measure(
    mark("an area"),
    sizes.AREAS_M2,
    {"metric": _in("m²", 2, mark("2.97 or 2.97 m²")), "us": _in("ft²", 1, mark("32 or 32 sq ft"))},
    grain=Fraction(1, 2000),
)
"""Beds and pen floors. [m²]"""

TEMPERATURE = Measure(
    mark("a temperature"),
    sizes.TEMPERATURES_C,
    {"metric": _in("°C", 0, mark("-3 or 21 °C")), "us": _in("°F", 0, mark("28 or 70 °F"))},
    grain=Fraction(1, 20),
    below_zero=True,
)
"""Brooders and nights. [°C]"""

DENSITY = Measure(
    mark("a density"),
    sizes.DENSITIES_KG_M2,
    {
        "metric": _in("kg/m²", 1, mark("21 or 21 kg/m²")),
        "us": _in("lb/ft²", 1, mark("6.5 or 6.5 lb/ft²")),
    },
    grain=Fraction(1, 200),
)
"""Birds' weight on a pen's floor. [kg/m²]"""

WIND_SPEED = Measure(
    mark("a wind speed"),
    sizes.SPEEDS_M_S,
    {
        "metric": _in("m/s", 0, mark("25, 25 m/s or 90 km/h")),
        "us": _in("mph", 0, mark("55 or 55 mph")),
    },
    grain=Fraction(1, 20),
)
"""Gusts that a pen stands through. [m/s]"""
