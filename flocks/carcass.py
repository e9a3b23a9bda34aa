"""What comes off a bird: carcass, cuts, giblets, and what is left for the compost.

PURE. Masses are of one bird or of all of them, as the live mass given.
"""

from __future__ import annotations

from dataclasses import dataclass

from flocks.ready import carcass_g
from garden.provenance import Mark, Provenance
from garden.words import mark

YIELD_ERROR = 0.035
"""How far a flock's own yield lies from the line by weight, 8 times in 10 [1]. Derived: published yields of
71.8 % at 1,346 g, 74.3 % at 1,483 g, about 75 % and 72 % dressed and 68-70 % for slow birds lie 0 to 4 points
off it."""
GIBLET_SHARE = (0.06, 0.09)
"""Giblets, neck and feet over live weight [1]. From memory."""
OFFAL_SHARE = (0.25, 0.28)
"""Offal, blood and feathers over live weight [1]. From memory."""


@dataclass(frozen=True)
class CutShare(Provenance):
    """A cut as a share of the carcass, between what two sources print [1]."""

    name: str
    low: float
    high: float


_CUTS = mark(
    "low: a page on poultry harvest, “Physical composition” (breast 25, legs 33, wings 14, back and neck 17, "
    "giblets 11 % of the carcass), here without giblets; high: ten carcasses of 1.5 kg cut up for the "
    "Australian chicken meat federation in 1998 (breast 41, thigh 31, drumstick 17, wing 12 %, back with "
    "the cuts)"
)
CUTS = (
    CutShare(name=mark("Breasts"), low=0.28, high=0.41, source=_CUTS, mark=Mark.DERIVED),
    CutShare(name=mark("Legs"), low=0.37, high=0.48, source=_CUTS, mark=Mark.DERIVED),
    CutShare(name=mark("Wings"), low=0.12, high=0.16, source=_CUTS, mark=Mark.DERIVED),
    CutShare(name=mark("Back and neck"), low=0.0, high=0.19, source=_CUTS, mark=Mark.DERIVED),
)
"""Cuts on the bone: how much depends on where the knife goes more than on the bird."""


@dataclass(frozen=True)
class MassBand:
    """A mass with its interval, in the unit of what it came from."""

    low: float
    median: float
    high: float

    def times(self, count: float) -> MassBand:
        """Return the mass of so many."""
        return MassBand(self.low * count, self.median * count, self.high * count)


def carcass_band(live: MassBand) -> MassBand:
    """Return the dressed carcass of a bird whose live mass is told with an interval [g].

    Notes
    -----
    The two errors, of the mass and of the yield, are taken to have nothing to do with each other: their
    halves are added as squares.
    """
    middle = carcass_g(live.median)
    return MassBand(
        low=middle - _together(middle - carcass_g(live.low), live.median * YIELD_ERROR),
        median=middle,
        high=middle + _together(carcass_g(live.high) - middle, live.median * YIELD_ERROR),
    )


def _together(one: float, other: float) -> float:
    return (one**2 + other**2) ** 0.5


@dataclass(frozen=True)
class CutMass:
    """A cut's mass between two sources, in the carcass's unit."""

    name: str
    low: float
    high: float


def cut_masses(carcass: MassBand) -> list[CutMass]:
    """Return what the cuts of a carcass weigh, in its unit."""
    return [CutMass(cut.name, cut.low * carcass.median, cut.high * carcass.median) for cut in CUTS]


def share_band(live_mass: float, share: tuple[float, float]) -> tuple[float, float]:
    """Return a share of the live mass from least to most, in its unit."""
    return share[0] * live_mass, share[1] * live_mass
