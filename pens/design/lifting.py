"""What a person may lift, by the revised lifting equation of NIOSH, and what a pen asks.

PURE. The equation [1]_ is for two-handed lifts by one person standing; carrying along, slippery soil
and a partner out of step are not in it. So what comes out is a guide, not a permission.

References
----------
.. [1] NIOSH, "Applications manual for the revised NIOSH lifting equation", by T. R. Waters,
   V. Putz-Anderson and A. Garg, DHHS (NIOSH) Publication 94-110, revised September 2021,
   doi:10.26616/NIOSHPUB94110revised092021. Published.
"""

from dataclasses import dataclass
from typing import Literal

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
class Lift:
    """What a pen asks of the people who lift it.

    Attributes
    ----------
    left_kg, right_kg : float
        On one person at each end; the same for one who lifts that end and leaves the other on the
        soil. [kg]
    alone_kg : float
        On one person who lifts all of it. [kg]
    limit : Limit
    people : int
        How many it takes, two to an end: 1, 2 or 4; 0 where four are not enough.
    """

    left_kg: float
    right_kg: float
    alone_kg: float
    limit: Limit
    people: int

    @property
    def end_index(self) -> float:
        """The lifting index of one person at the heavier end: above 1 is more than recommended."""
        return max(self.left_kg, self.right_kg) / self.limit.limit_kg if self.limit.limit_kg else 99

    @property
    def needs_wheels(self) -> bool:
        """Whether one person cannot even lift an end: skids or wheels are wanted."""
        return self.end_index > 1


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


def lift_of(mass: Mass, terms: LiftTerms | None = None) -> Lift:
    """Share a pen's mass out among those who lift it, and hold it against the limit."""
    limit = recommended_limit(terms or LiftTerms())
    heavier = max(mass.at_left_kg, mass.at_right_kg)
    shares = ((1, mass.total_kg), (2, heavier), (4, heavier / 2))
    people = next((count for count, kg in shares if kg <= limit.limit_kg), 0)
    return Lift(mass.at_left_kg, mass.at_right_kg, mass.total_kg, limit, people)
