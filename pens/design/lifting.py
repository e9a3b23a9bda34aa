"""What a person may lift, by the revised lifting equation of NIOSH, and what a pen asks.

PURE. The equation [1]_ is for two-handed lifts by one person standing; carrying along, slippery soil
and a partner out of step are not in it. So what comes out is a guide, not a permission.

References
----------
.. [1] NIOSH, "Applications manual for the revised NIOSH lifting equation", by T. R. Waters,
   V. Putz-Anderson and A. Garg, DHHS (NIOSH) Publication 94-110, revised September 2021,
   doi:10.26616/NIOSHPUB94110revised092021. Published.
"""

from dataclasses import dataclass, replace
from math import inf
from typing import Literal

from garden.words import gettext as _
from pens.design.mass import Mass

LOAD_CONSTANT_KG = 23.0
"""The most that is recommended under the best conditions [kg]. [1]_"""

Grip = Literal["good", "fair", "poor"]

_GRIP_LOW = {"good": 1.0, "fair": 0.95, "poor": 0.90}
_GRIP_HIGH = {"good": 1.0, "fair": 1.0, "poor": 0.90}
"""Multiplier for the grip, hands below 75 cm and from 75 cm up. [1]_, table 7."""

_GRIP_HEIGHT_CM = 75

_RARE = 1.0
"""Multiplier for how often: one lift in five minutes or fewer, for an hour at most. [1]_, table 5."""


@dataclass(frozen=True, slots=True)
class LiftTerms:
    """How the lift is made.

    Attributes
    ----------
    horizontal_cm : float
        From the middle of the ankles to the hands; counted as 25 where it is less, and beyond 63
        nothing may be lifted. [cm]
    height_cm : float
        Hands above the soil where the lift begins, 0 to 175. [cm]
    travel_cm : float
        How far up or down; counted as 25 where it is less, at most 175. [cm]
    twist_deg : float
        Turn of the trunk, 0 to 135. [°]
    frequency : float
        The multiplier for how often, from the manual's table 5; 1 for a pen moved once a day.
    grip : {"good", "fair", "poor"}
        Handles, an edge the fingers go under, or neither.
    """

    horizontal_cm: float = 40.0
    height_cm: float = 57.0
    travel_cm: float = 25.0
    twist_deg: float = 0.0
    frequency: float = _RARE
    grip: Grip = "fair"


@dataclass(frozen=True, slots=True)
class Limit:
    """The recommended limit and the factors that it is the product of. [kg, and shares]"""

    limit_kg: float
    horizontal: float
    vertical: float
    distance: float
    asymmetry: float
    frequency: float
    coupling: float


@dataclass(frozen=True, slots=True)
class Way:
    """One way to lift a pen: who, what the busiest person takes, and what is recommended. [kg]"""

    who: str
    people: int
    kg: float
    terms: LiftTerms
    limit: Limit

    @property
    def index(self) -> float:
        """The lifting index: above 1 is more than recommended; infinite where nothing is."""
        return self.kg / self.limit.limit_kg if self.limit.limit_kg else inf

    @property
    def is_within(self) -> bool:
        """Whether it is no more than recommended."""
        return self.index <= 1


@dataclass(frozen=True, slots=True)
class Lift:
    """What a pen asks of the people who lift it.

    Attributes
    ----------
    left_kg, right_kg : float
        On one person at each end; the same for one who lifts that end and leaves the other on the
        soil. [kg]
    alone, at_an_end, pair, four : Way
        One person with all of it, held by a long side; one with an end, the other on the soil or on
        skids; two, one to an end; four, two to an end.
    """

    left_kg: float
    right_kg: float
    alone: Way
    at_an_end: Way
    pair: Way
    four: Way

    @property
    def ways(self) -> tuple[Way, ...]:
        """All ways, fewest people first."""
        return self.alone, self.at_an_end, self.pair, self.four

    @property
    def limit(self) -> Limit:
        """Of one person at an end."""
        return self.pair.limit

    @property
    def people(self) -> int:
        """How many it takes to carry it: 1, 2 or 4; 0 where four are not enough."""
        carrying = (self.alone, self.pair, self.four)
        return next((way.people for way in carrying if way.is_within), 0)

    @property
    def needs_wheels(self) -> bool:
        """Whether one person cannot even lift an end: skids or wheels are wanted."""
        return not self.at_an_end.is_within


def recommended_limit(terms: LiftTerms) -> Limit:
    """Return the recommended weight limit.

    Parameters
    ----------
    terms : LiftTerms

    Returns
    -------
    Limit
        0 kg where a term is beyond the equation's range.

    Notes
    -----
    RWL = 23 kg × 25/H × (1 − 0.003 |V − 75|) × (0.82 + 4.5/D) × (1 − 0.0032 A) × FM × CM, with H, V
    and D in centimetres and A in degrees [1]_.
    """
    across = max(25.0, terms.horizontal_cm)
    travel = max(25.0, terms.travel_cm)
    horizontal = 25 / across if across <= 63 else 0.0
    vertical = 1 - 0.003 * abs(terms.height_cm - 75) if 0 <= terms.height_cm <= 175 else 0.0
    distance = min(1.0, 0.82 + 4.5 / travel) if travel <= 175 else 0.0
    asymmetry = 1 - 0.0032 * terms.twist_deg if 0 <= terms.twist_deg <= 135 else 0.0
    grips = _GRIP_LOW if terms.height_cm < _GRIP_HEIGHT_CM else _GRIP_HIGH
    coupling = grips[terms.grip]
    limit = LOAD_CONSTANT_KG * horizontal * vertical * distance * asymmetry
    limit *= terms.frequency * coupling
    return Limit(limit, horizontal, vertical, distance, asymmetry, terms.frequency, coupling)


def lift_of(mass: Mass, width_mm: float, terms: LiftTerms | None = None) -> Lift:
    """Share a pen's mass out among those who lift it, and hold each share against the limit.

    Parameters
    ----------
    mass : Mass
    width_mm : float
        Of the pen: who holds all of it by a long side has half of it between himself and its middle. [mm]
    terms : LiftTerms, optional
        Of one who holds an end.

    Notes
    -----
    The hands of one who carries a load of W cm from front to back are 20 + W/2 cm from the ankles,
    where they are 25 cm or more above the floor [1]_.
    """
    at_end = terms or LiftTerms()
    across = max(at_end.horizontal_cm, 20 + width_mm / 10 / 2)
    by_side = replace(at_end, horizontal_cm=across)
    end_limit, side_limit = recommended_limit(at_end), recommended_limit(by_side)
    heavier = max(mass.at_left_kg, mass.at_right_kg)
    return Lift(
        left_kg=mass.at_left_kg,
        right_kg=mass.at_right_kg,
        alone=Way(_("One person, all of it"), 1, mass.total_kg, by_side, side_limit),
        at_an_end=Way(_("One person, one end at a time"), 1, heavier, at_end, end_limit),
        pair=Way(_("Two people, one at each end"), 2, heavier, at_end, end_limit),
        four=Way(_("Four people, two at each end"), 4, heavier / 2, at_end, end_limit),
    )
