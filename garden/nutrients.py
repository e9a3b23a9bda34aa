"""Nitrogen of a bed: the room left for droppings, what a crop can use, what earlier years left.

PURE. Two accounts are kept apart on purpose. A *limit* counts total nitrogen as the birds drop it,
for nobody may assume losses when obeying one. A *need* counts available nitrogen: part of what is
dropped is lost to the air as ammonia, and of the rest only a share is released in the first year.
So a bed that still needs 100 g of available nitrogen has room for 100 / available share of
droppings.

Masses are grams of the element, areas m², loads kg/ha (10 kg/ha = 1 g/m²), days `datetime.date`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from garden.provenance import Figure, Mark

G_M2_PER_KG_HA = 0.1
"""Load conversion [g/m² per kg/ha]: 1000 g over 10 000 m². Derived."""

YEAR_DAYS = 365
"""The span of the annual limit and of one year of release [days]. By definition."""

ANNUAL_LIMIT = Figure(
    value=170.0,
    unit="kg/ha total nitrogen in any 365 days",
    source="Council Directive 91/676/EEC, Annex III(2): manure, also as dropped",
    mark=Mark.PUBLISHED,
)
GASEOUS_LOSS_LEFT_ON_TOP = Figure(
    value=0.40,
    unit="share of nitrogen dropped",
    source="recalled: IPCC 2006 guidelines, table 10.22, poultry with litter, range 0.10 to 0.60",
    mark=Mark.FROM_MEMORY,
)
GASEOUS_LOSS_MIXED_IN = Figure(
    value=0.20,
    unit="share of nitrogen dropped",
    source="recalled: IPCC 2006 guidelines, manure dropped on pasture, range 0.05 to 0.50",
    mark=Mark.FROM_MEMORY,
)
FIRST_YEAR_SHARE = Figure(
    value=0.60,
    unit="share of nitrogen left in the bed",
    source="recalled: extension guides, raw chicken manure 0.50 to 0.60, range 0.40 to 0.75",
    mark=Mark.FROM_MEMORY,
)
SECOND_YEAR_SHARE = Figure(
    value=0.125,
    unit="share of nitrogen left in the bed",
    source="recalled: extension guides, middle of 0.10 to 0.15",
    mark=Mark.FROM_MEMORY,
)
THIRD_YEAR_SHARE = Figure(
    value=0.05,
    unit="share of nitrogen left in the bed",
    source="recalled: extension guides, about 0.05",
    mark=Mark.FROM_MEMORY,
)
FIGURES = (
    ANNUAL_LIMIT,
    GASEOUS_LOSS_LEFT_ON_TOP,
    GASEOUS_LOSS_MIXED_IN,
    FIRST_YEAR_SHARE,
    SECOND_YEAR_SHARE,
    THIRD_YEAR_SHARE,
)


class RoomRule(StrEnum):
    """Which account decides how much a bed may receive."""

    CROP_NEED = "crop_need"
    ANNUAL_LIMIT = "annual_limit"
    SMALLER = "smaller"


@dataclass(frozen=True)
class NitrogenPolicy:
    """A garden's rules for nitrogen.

    Parameters
    ----------
    rule : RoomRule or str
        The account that decides.
    annual_limit_kg_ha : float, default 170
        Most total nitrogen in any 365 days, at least 0. [kg/ha]
    mixed_in : bool, default True
        Whether droppings are mixed into the bed on the day the pen leaves, which halves the loss.
    first_year_share : float, default 0.60
        Share of what stays in the bed that crops can use in the first year, above 0, at most 1.

    Raises
    ------
    ValueError
        For an unknown rule or a figure out of its range, naming it.
    """

    rule: RoomRule | str = RoomRule.ANNUAL_LIMIT
    annual_limit_kg_ha: float = ANNUAL_LIMIT.value
    mixed_in: bool = True
    first_year_share: float = FIRST_YEAR_SHARE.value

    def __post_init__(self) -> None:
        RoomRule(self.rule)
        if not self.annual_limit_kg_ha >= 0:
            raise ValueError("annual_limit_kg_ha: expected a number >= 0")
        if not 0 < self.first_year_share <= 1:
            raise ValueError("first_year_share: expected a number > 0 and <= 1")

    @property
    def kept_share(self) -> float:
        """Share of nitrogen dropped that stays in the bed after gaseous loss."""
        loss = GASEOUS_LOSS_MIXED_IN if self.mixed_in else GASEOUS_LOSS_LEFT_ON_TOP
        return 1 - loss.value

    @property
    def available_share(self) -> float:
        """Share of nitrogen dropped that crops can use in the first year."""
        return self.kept_share * self.first_year_share


def load_kg_ha(mass_g: float, area_m2: float) -> float:
    """Return the load [kg/ha] of a mass [g] on an area [m²]; ValueError unless the area is > 0."""
    return mass_g / _checked_area(area_m2) / G_M2_PER_KG_HA


def mass_for_load_g(load_kg_ha: float, area_m2: float) -> float:
    """Return the mass [g] that makes a load [kg/ha] on an area [m²]; `load_kg_ha` turned round."""
    return load_kg_ha * G_M2_PER_KG_HA * _checked_area(area_m2)


def _checked_area(area_m2: float) -> float:
    if not area_m2 > 0:
        raise ValueError("area_m2: expected a number > 0")
    return area_m2


def nitrogen_wanted_g(
    area_m2: float,
    policy: NitrogenPolicy,
    *,
    need_kg_ha: float | None,
    soil_supply_kg_ha: float = 0.0,
    dropped_for_crop_g: float = 0.0,
) -> float:
    """Return how much more the birds may drop before the next crop has all it can use.

    Parameters
    ----------
    area_m2 : float
        Interior of the bed, above 0. [m²]
    policy : NitrogenPolicy
        For its available share; its rule and limit play no part here.
    need_kg_ha : float or None
        Available nitrogen the next crop needs; None where no crop follows. [kg/ha]
    soil_supply_kg_ha : float, default 0
        Available nitrogen the soil gives that crop without the birds. [kg/ha]
    dropped_for_crop_g : float, default 0
        Total nitrogen already dropped since the last crop. [g]

    Returns
    -------
    float
        Total nitrogen, at least 0; 0 before a legume and where no crop follows. [g]

    Raises
    ------
    ValueError
        Unless `area_m2` is above 0.
    """
    if need_kg_ha is None:
        return 0.0
    lacking_g = mass_for_load_g(need_kg_ha - soil_supply_kg_ha, area_m2)
    return max(0.0, lacking_g / policy.available_share - dropped_for_crop_g)


def annual_room_g(
    area_m2: float, policy: NitrogenPolicy, *, dropped_last_365_days_g: float = 0.0
) -> float:
    """Return what the annual limit still allows: total nitrogen, at least 0 [g].

    For a span of days give what had been dropped on its first day: as old droppings leave the year
    only more room can open, so no 365 days then hold more than the limit. ValueError unless
    `area_m2` [m²] is above 0.
    """
    return max(0.0, mass_for_load_g(policy.annual_limit_kg_ha, area_m2) - dropped_last_365_days_g)


def nitrogen_room_g(
    area_m2: float,
    policy: NitrogenPolicy,
    *,
    need_kg_ha: float | None,
    soil_supply_kg_ha: float = 0.0,
    dropped_for_crop_g: float = 0.0,
    dropped_last_365_days_g: float = 0.0,
) -> float:
    """Return the nitrogen a bed may still receive before its next crop.

    Parameters
    ----------
    area_m2, need_kg_ha, soil_supply_kg_ha, dropped_for_crop_g
        As for `nitrogen_wanted_g`.
    policy : NitrogenPolicy
        Its rule chooses the crop's need, the annual limit or the smaller of both. Where no crop
        follows, as on turf, there is no need to go by and the annual limit alone decides.
    dropped_last_365_days_g : float, default 0
        As `dropped_last_365_days_g` gives it. [g]

    Returns
    -------
    float
        Total nitrogen, at least 0; by need it is 0 before a legume, which wants none. [g]

    Raises
    ------
    ValueError
        Unless `area_m2` is above 0.
    """
    annual_g = annual_room_g(area_m2, policy, dropped_last_365_days_g=dropped_last_365_days_g)
    if need_kg_ha is None or policy.rule == RoomRule.ANNUAL_LIMIT:
        return annual_g
    wanted_g = nitrogen_wanted_g(
        area_m2,
        policy,
        need_kg_ha=need_kg_ha,
        soil_supply_kg_ha=soil_supply_kg_ha,
        dropped_for_crop_g=dropped_for_crop_g,
    )
    return wanted_g if policy.rule == RoomRule.CROP_NEED else min(wanted_g, annual_g)


@dataclass(frozen=True)
class Dropping:
    """Total nitrogen dropped on a bed on a day [g]; not `for_crop` where it counts for a limit only."""

    day: date
    nitrogen_g: float
    for_crop: bool = True


def dropped_last_365_days_g(droppings: Iterable[Dropping], on: date) -> float:
    """Return the total nitrogen dropped in the 365 days that end with `on` [g]."""
    in_year = (dropping.nitrogen_g for dropping in droppings if _year_of(dropping, on) == 0)
    return sum(in_year, start=0.0)


def available_nitrogen_g(
    dropped_g: float, policy: NitrogenPolicy, *, years_before: int = 0
) -> float:
    """Return what droppings of a given age give crops within one year.

    Parameters
    ----------
    dropped_g : float
        Total nitrogen as dropped, at least 0. [g]
    policy : NitrogenPolicy
        For the share kept and the first-year share.
    years_before : int, default 0
        Whole years since they were dropped; from 3 on, and before they are dropped, nothing is
        counted. [365 days]

    Returns
    -------
    float
        Available nitrogen. [g]
    """
    shares = (policy.first_year_share, SECOND_YEAR_SHARE.value, THIRD_YEAR_SHARE.value)
    share = shares[years_before] if 0 <= years_before < len(shares) else 0.0
    return dropped_g * policy.kept_share * share


def carried_over_g(droppings: Iterable[Dropping], on: date, policy: NitrogenPolicy) -> float:
    """Return the available nitrogen that droppings of earlier years give in a year from `on` [g].

    As a load it belongs in the soil's supply to the next crop. Droppings less than 365 days old are
    left out: they are counted whole, as dropped for the crop that follows them.
    """
    aged = ((dropping, _year_of(dropping, on)) for dropping in droppings)
    given_g = (
        available_nitrogen_g(dropping.nitrogen_g, policy, years_before=year)
        for dropping, year in aged
        if year > 0
    )
    return sum(given_g, start=0.0)


def _year_of(dropping: Dropping, on: date) -> int:
    return (on - dropping.day).days // YEAR_DAYS
