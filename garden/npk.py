"""Nitrogen, phosphorus and potassium together, as one value and as an interval.

PURE. Grams of the element, never of the oxide; the oxides of fertiliser bags are turned at the edge.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from garden.provenance import Figure, Mark

PHOSPHORUS_PER_PHOSPHATE = Figure(
    value=2 * 30.97 / 141.94,
    unit="g P per g P2O5",
    source="molar masses, 2 x 30.97 of 141.94",
    mark=Mark.DERIVED,
)
POTASSIUM_PER_POTASH = Figure(
    value=2 * 39.10 / 94.20,
    unit="g K per g K2O",
    source="molar masses, 2 x 39.10 of 94.20",
    mark=Mark.DERIVED,
)


class Element(StrEnum):
    """What the ledger keeps; the value is the word for a page."""

    NITROGEN = "nitrogen"
    PHOSPHORUS = "phosphorus"
    POTASSIUM = "potassium"


@dataclass(frozen=True, slots=True)
class Npk:
    """Grams of each element; may be negative as a change."""

    nitrogen_g: float = 0.0
    phosphorus_g: float = 0.0
    potassium_g: float = 0.0

    def of(self, element: Element) -> float:
        """Return one element's grams."""
        return getattr(self, f"{element}_g")

    @property
    def least_g(self) -> float:
        """Return the smallest of the three; NaN where one is not a number."""
        values = (self.nitrogen_g, self.phosphorus_g, self.potassium_g)
        return min(values) if all(value == value for value in values) else float("nan")

    def __add__(self, other: Npk) -> Npk:
        return Npk(
            self.nitrogen_g + other.nitrogen_g,
            self.phosphorus_g + other.phosphorus_g,
            self.potassium_g + other.potassium_g,
        )

    def __sub__(self, other: Npk) -> Npk:
        return self + other * -1.0

    def __mul__(self, factor: float) -> Npk:
        return Npk(self.nitrogen_g * factor, self.phosphorus_g * factor, self.potassium_g * factor)


NOTHING = Npk()


def total(parts: Iterable[Npk]) -> Npk:
    """Return the sum of any number of masses."""
    return sum(parts, start=NOTHING)


@dataclass(frozen=True, slots=True)
class NpkBand:
    """A mass with its interval: it is held to lie between `low` and `high`, 8 times in 10."""

    low: Npk
    likely: Npk
    high: Npk

    @classmethod
    def exactly(cls, mass: Npk) -> NpkBand:
        """Return a mass that somebody weighed or read off a bag, taken as it is."""
        return cls(mass, mass, mass)

    @classmethod
    def within(cls, mass: Npk, share: float) -> NpkBand:
        """Return a mass with the same share of it either side, `share` from 0 to 1."""
        return cls(mass * (1.0 - share), mass, mass * (1.0 + share))

    def __add__(self, other: NpkBand) -> NpkBand:
        return NpkBand(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def __mul__(self, factor: float) -> NpkBand:
        """Return the mass times a factor of at least 0."""
        return NpkBand(self.low * factor, self.likely * factor, self.high * factor)


def label_npk(mass_kg: float, n_percent: float, p2o5_percent: float, k2o_percent: float) -> Npk:
    """Return what a mass of fertiliser holds, by the N-P2O5-K2O of its bag.

    Parameters
    ----------
    mass_kg : float
        At least 0. [kg]
    n_percent, p2o5_percent, k2o_percent : float
        As printed, 0 to 100. [%]

    Returns
    -------
    Npk
        Of the elements: 10 kg of 5-3-2 hold 500 g N, 131 g P and 166 g K.
    """
    gram_per_percent = mass_kg * 10.0
    return Npk(
        gram_per_percent * n_percent,
        gram_per_percent * p2o5_percent * PHOSPHORUS_PER_PHOSPHATE.value,
        gram_per_percent * k2o_percent * POTASSIUM_PER_POTASH.value,
    )
