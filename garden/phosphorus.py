"""When a soil test is high: how much phosphorus a bed may still get, and the nitrogen that comes with it.

PURE. Birds bring nitrogen and phosphorus together, in a ratio that suits no crop. Where the soil holds
plenty of phosphorus already, it and not nitrogen must say how long a pen may stay.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf

from garden.ledger import PHOSPHORUS_PER_NITROGEN
from garden.nutrients import mass_for_load_g
from garden.provenance import Figure, Mark
from garden.words import mark

HIGH_OLSEN = Figure(
    value=50.0,
    unit="mg/kg",
    source="Utah State University Extension, manure application rate, step 5.1: from 50 to 100 ppm "
    "no more phosphorus than the crop removes",
    mark=Mark.PUBLISHED,
)
FULL_OLSEN = Figure(
    value=100.0,
    unit="mg/kg",
    source="Utah State University Extension, manure application rate, step 5.1: above 100 ppm no "
    "manure",
    mark=Mark.PUBLISHED,
)
HIGH_MEHLICH_3 = Figure(
    value=68.5,
    unit="mg/kg",
    source="Rutgers Soil Testing Laboratory, Mehlich 3: above 137 lb/acre very high (excessive); two "
    "lb/acre to the mg/kg",
    mark=Mark.PUBLISHED,
)
FULL_MEHLICH_3 = Figure(
    value=137.0,
    unit="mg/kg",
    source="twice the level from which Rutgers calls a soil very high, as Utah State doubles its own",
    mark=Mark.DERIVED,
)
UNPLANNED_REMOVAL_KG_HA = Figure(
    value=10.0,
    unit="kg/ha phosphorus",
    source="our choice: about what the middle crop of the table takes, for a bed with no crop to come",
    mark=Mark.COMMON_PRACTICE,
)
LEVELS = {"olsen": (HIGH_OLSEN, FULL_OLSEN), "mehlich3": (HIGH_MEHLICH_3, FULL_MEHLICH_3)}
"""By the method of the test; another or an unknown one is held to the lower, careful levels."""


class PhosphorusState(StrEnum):
    """What a soil test says about more phosphorus; the value is the word for a page."""

    UNTESTED = mark("not tested")
    FREE = mark("not high")
    HIGH = mark("high")
    FULL = mark("very high")


@dataclass(frozen=True)
class SoilPhosphorus:
    """The last soil test of a bed in respect of phosphorus."""

    state: PhosphorusState = PhosphorusState.UNTESTED
    source: str = ""

    @property
    def is_capped(self) -> bool:
        """Whether phosphorus limits what birds may drop."""
        return self.state in (PhosphorusState.HIGH, PhosphorusState.FULL)


UNTESTED = SoilPhosphorus()


def soil_phosphorus(phosphorus_mg_kg: float | None, extract: str) -> SoilPhosphorus:
    """Rate a soil test.

    Parameters
    ----------
    phosphorus_mg_kg : float or None
        What the test found; None where phosphorus was not tested. [mg/kg]
    extract : str
        ``mehlich3``, ``olsen`` or any other word.

    Returns
    -------
    SoilPhosphorus
        With the source of the level that decided.
    """
    if phosphorus_mg_kg is None:
        return UNTESTED
    high, full = LEVELS.get(extract, LEVELS["olsen"])
    if phosphorus_mg_kg > full.value:
        return SoilPhosphorus(PhosphorusState.FULL, full.source)
    state = PhosphorusState.HIGH if phosphorus_mg_kg > high.value else PhosphorusState.FREE
    return SoilPhosphorus(state, high.source)


def nitrogen_by_phosphorus_g(
    area_m2: float,
    soil: SoilPhosphorus,
    *,
    removal_kg_ha: float | None,
    nitrogen_dropped_g: float = 0.0,
) -> float:
    """Return the nitrogen that birds may still drop before they bring more phosphorus than allowed.

    Parameters
    ----------
    area_m2 : float
        Above 0. [m²]
    soil : SoilPhosphorus
        The bed's last test; where it is not high there is no end of room.
    removal_kg_ha : float or None
        Phosphorus that the next crop's harvest takes away; None where no crop is to come, which is then
        reckoned as `UNPLANNED_REMOVAL_KG_HA`. [kg/ha]
    nitrogen_dropped_g : float, default 0
        Dropped since the last crop. [g]

    Returns
    -------
    float
        Total nitrogen as dropped, at least 0, infinite where phosphorus sets no limit. [g]

    Raises
    ------
    ValueError
        Unless `area_m2` is above 0.
    """
    if not soil.is_capped:
        return inf
    if removal_kg_ha is None:
        removal_kg_ha = UNPLANNED_REMOVAL_KG_HA.value
    allowed_g = mass_for_load_g(removal_kg_ha, area_m2)
    if soil.state is PhosphorusState.FULL:
        allowed_g = 0.0
    return max(0.0, allowed_g / PHOSPHORUS_PER_NITROGEN.value - nitrogen_dropped_g)
