"""Ice for the chilling bath by a heat balance, and how long a carcass may take to get cold.

PURE. ::

    ice_needed(ChillBath(carcass_kg=40, water_l=80, water_c=15)) -> IceNeed
    hours_to_cold(carcass_g) -> hours that the guidance allows
"""

from __future__ import annotations

from dataclasses import dataclass

from garden.provenance import Figure, Mark

CARCASS_HEAT = Figure(
    value=3.3,
    unit="kJ/(kg K)",
    source="112 kJ/kg from 38 to 4 °C; Earle, Unit Operations in Food Processing, appendix 7: "
    "4.19 p + 0.84 (1 - p), which is 3.05 at 66 % water and 3.35 at 75 %",
    mark=Mark.DERIVED,
)
WATER_HEAT = Figure(
    value=4.19,
    unit="kJ/(kg K)",
    source="Earle, Unit Operations in Food Processing, appendix 7",
    mark=Mark.PUBLISHED,
)
ICE_MELTING = Figure(
    value=335.0,
    unit="kJ/kg",
    source="Earle, Unit Operations in Food Processing, appendix 7",
    mark=Mark.PUBLISHED,
)
BODY_C = 38.0
"""Carcass after scalding and drawing [°C]. Derived, between 35 and 41."""
COLD_C = 4.0
"""What it is cooled to [°C]: 40 °F in 9 CFR 381.66 as guidance tells it; Regulation (EC) 853/2004 has 4 °C,
that
from memory."""
USUAL_LOSS = 0.5
"""Heat that comes in from air, tub and hands, as a share of the rest [1]. Derived: losses of 1.5 to 1.7
times."""


@dataclass(frozen=True)
class ChillBath:
    """What is to be cooled."""

    carcass_kg: float
    water_l: float = 0.0
    """Tap water in the bath [L]; a litre is a kilogram."""
    water_c: float = 15.0
    body_c: float = BODY_C
    cold_c: float = COLD_C
    loss_share: float = USUAL_LOSS
    carcass_heat: float = CARCASS_HEAT.value
    """[kJ/(kg K)]"""


@dataclass(frozen=True)
class IceNeed:
    """Heat to be taken away and the ice that takes it."""

    carcass_kj: float
    water_kj: float
    loss_kj: float
    per_kg_kj: float
    """What a kilogram of ice takes: melting, and its water warmed to the end [kJ/kg]."""

    @property
    def heat_kj(self) -> float:
        """Return all of the heat [kJ]."""
        return self.carcass_kj + self.water_kj + self.loss_kj

    @property
    def ice_kg(self) -> float:
        """Return the ice [kg]."""
        return self.heat_kj / self.per_kg_kj


def ice_needed(bath: ChillBath) -> IceNeed:
    """Return the ice that cools carcasses and their water.

    Parameters
    ----------
    bath : ChillBath
        Masses at least 0 [kg]; `cold_c` from 0 up to below `body_c` [°C].

    Raises
    ------
    ValueError
        When a mass is negative or the end is not colder than the beginning.

    Notes
    -----
    ``ice = (1 + loss) (m c (T - T_end) + m_w c_w (T_w - T_end)) / (L + c_w T_end)`` : the balance of FAO
    Fisheries Technical Paper 331, chapter 3, equation 4 (its end is 0 °C), with bath and losses put in. Water
    colder than the end is taken to help nothing.
    """
    if min(bath.carcass_kg, bath.water_l, bath.loss_share) < 0:
        raise ValueError("masses and losses cannot be below 0")
    if not 0.0 <= bath.cold_c < bath.body_c:
        raise ValueError("the carcass must end colder than it begins, and not below 0 °C")
    carcass_kj = bath.carcass_kg * bath.carcass_heat * (bath.body_c - bath.cold_c)
    water_kj = bath.water_l * WATER_HEAT.value * max(0.0, bath.water_c - bath.cold_c)
    return IceNeed(
        carcass_kj=carcass_kj,
        water_kj=water_kj,
        loss_kj=bath.loss_share * (carcass_kj + water_kj),
        per_kg_kj=ICE_MELTING.value + WATER_HEAT.value * bath.cold_c,
    )


COLD_WITHIN = ((1814.0, 4.0), (3629.0, 6.0), (float("inf"), 8.0))
"""Carcass up to [g] and hours to 4 °C. Guidance: 4, 6 and 8 hours under 4, from 4 to 8 and above 8 lb, once in
9 CFR 381.66 and withdrawn in 2014; the figures are from memory."""


def hours_to_cold(carcass_g: float) -> float:
    """Return the hours within which guidance wants a carcass at 4 °C [h]."""
    return next(hours for up_to, hours in COLD_WITHIN if carcass_g < up_to)
