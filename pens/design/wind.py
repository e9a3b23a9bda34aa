"""What the wind does to a pen: gusts that lift it, tip it or push it along, and what holds it.

PURE. Estimates: a light box near the ground, coefficients in round numbers, no shelter, the gust from
the worst side. Pressure is q = 0.613 v² [1]_.

References
----------
.. [1] ASCE/SEI 7, velocity pressure: q = 0.613 V² in N/m² with V in m/s, 0.00256 V² in lb/ft² with V
   in miles an hour. Derived from air of 1.225 kg/m³ (the standard atmosphere): ½ ρ v².
"""

from dataclasses import dataclass
from math import ceil, inf, sqrt

from pens.design.assembly import Pen

PRESSURE_N_S2_M4 = 0.613
"""Half the density of air [kg/m³]. Published, see the module."""

GRAVITY_M_S2 = 9.81

UPLIFT = 1.0
"""Net suction on a light flat roof, as a share of the pressure: 0.5 to 1.0, the worse taken. From memory."""

DRAG = 1.3
"""Push on a closed wall, windward and leeward together. From memory."""

WIRE_DRAG = 1.2
"""Push on wires and sticks, on the area they fill; both walls count. From memory."""

FRICTION = 0.4
"""Wood on soil or grass. From memory."""

STAKE_N = 220.0
"""What a screw stake holds in garden soil [N]: 50 lb, the least usually told. From memory."""

JUG_LITRES = 5.0
JUG_N = JUG_LITRES * GRAVITY_M_S2
"""A jug of five litres, filled. Derived: water of 1 kg a litre."""


@dataclass(frozen=True, slots=True)
class Wind:
    """What the wind does to a pen.

    Attributes
    ----------
    pressure_n_m2 : float
        Of the design gust. [N/m²]
    uplift_n, push_n, weight_n : float
        Of the design gust on the pen, and the pen's weight. [N]
    lifts_at_m_s, tips_at_m_s, slides_at_m_s : float
        Gusts that move it as it stands; `slides_at_m_s` is infinite within a bed's walls. [m/s]
    hold_n : float
        Down-pull that is wanted at the design gust, 0 where the weight is enough. [N]
    stakes, jugs : int
        Either holds it: at least one at each corner where any is wanted.
    """

    pressure_n_m2: float
    uplift_n: float
    push_n: float
    weight_n: float
    lifts_at_m_s: float
    tips_at_m_s: float
    slides_at_m_s: float
    hold_n: float
    stakes: int
    jugs: int

    @property
    def moves_at_m_s(self) -> float:
        """The least gust that moves it. [m/s]"""
        return min(self.lifts_at_m_s, self.tips_at_m_s, self.slides_at_m_s)


def pressure_n_m2(gust_m_s: float) -> float:
    """Return the velocity pressure of a gust. [N/m²]"""
    return PRESSURE_N_S2_M4 * gust_m_s**2


def wind_on(pen: Pen, gust_m_s: float | None = None, *, walled: bool = True) -> Wind:
    """Hold a pen against the wind.

    Parameters
    ----------
    pen : Pen
    gust_m_s : float or None
        The garden's design gust; the design's own if None. [m/s]
    walled : bool
        Whether the pen stands within a bed's walls, which keep it from sliding.

    Returns
    -------
    Wind
    """
    design = pen.design
    gust = design.gust_m_s if gust_m_s is None else gust_m_s
    weight = pen.mass.total_kg * GRAVITY_M_S2
    lift = UPLIFT * _roof_m2(pen)  # N for each N/m² of pressure
    push = _push_m2(pen)
    # The wind across the pen, which tips it about the leeward base rail.
    half_width, half_height = design.width_mm / 2000, design.height_mm / 2000
    turning = lift * half_width + push * half_height
    pressure = pressure_n_m2(gust)
    lacking = pressure * turning / half_width - weight
    if not walled:
        lacking = max(lacking, pressure * (push / FRICTION + lift) - weight)
    hold = max(0.0, lacking)
    return Wind(
        pressure_n_m2=pressure,
        uplift_n=lift * pressure,
        push_n=push * pressure,
        weight_n=weight,
        lifts_at_m_s=_gust(weight, lift),
        tips_at_m_s=_gust(weight * half_width, turning),
        slides_at_m_s=inf if walled else _gust(FRICTION * weight, push + FRICTION * lift),
        hold_n=hold,
        stakes=max(4, ceil(hold / STAKE_N)) if hold else 0,
        jugs=max(4, ceil(hold / JUG_N)) if hold else 0,
    )


def _gust(resisting: float, per_pressure: float) -> float:
    return sqrt(resisting / per_pressure / PRESSURE_N_S2_M4) if per_pressure else inf


def _roof_m2(pen: Pen) -> float:
    return pen.design.length_mm * pen.design.width_mm / 1e6 if pen.cover else 0.0


def _push_m2(pen: Pen) -> float:
    """Return the drag area of the long walls, the wind across the pen. [m²]"""
    design = pen.design
    wall = design.length_mm * design.height_mm / 1e6
    closed = pen.cover is not None and design.cover == "roof and one side"
    if closed:
        return DRAG * wall
    filled = 1 - pen.air.wire_open_share * (1 - pen.air.wood_share)
    return min(DRAG * wall, 2 * WIRE_DRAG * filled * wall)
