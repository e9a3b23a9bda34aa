"""What to plant after the birds: which crop makes most of a bed's nitrogen and is safe to eat in time.

PURE. A crop is set out on the first day that is free, frost lets it stand and its harvest is safe: where
it would ripen within the wait after birds, it is planted later. Crops are put in the order of the nitrogen
they use; one that finds no such day says why.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from garden.crops_reference import Frost
from garden.day_words import day_year_words
from garden.frost import Frosts, GrowingTime, growing_times
from garden.harvest_interval import Contact, HarvestRule, first_safe_harvest
from garden.nutrients import NitrogenPolicy, available_nitrogen_g, mass_for_load_g
from garden.provenance import Figure, Mark
from garden.words import gettext as _

FAMILY_YEARS = Figure(
    value=3.0,
    unit="years between two crops of one family in a bed",
    source="recalled: extension guides, 2 to 4 years",
    mark=Mark.FROM_MEMORY,
)
FURTHEST_DAYS = 365
"""How long a free bed may wait for a crop that is suggested [days]. What birds leave is counted for the
first year after them. Our choice."""
LEAST_PICKING_DAYS = 7
"""Days of picking, or all of them where a crop has fewer, without which it is not suggested. Our choice."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A crop that the garden grows.

    `nitrogen_kg_ha` is the available nitrogen it needs [kg/ha]; days run from planting to the first
    harvest, and over the harvest [days]. `hardiness` is None where it is not known: such a crop is
    taken as tender.
    """

    id: int
    name: str
    family: str
    nitrogen_kg_ha: float
    contact: Contact | str
    days_to_harvest: int
    harvest_days: int
    hardiness: Frost | None = None


@dataclass(frozen=True, slots=True)
class FreeBed:
    """A bed after birds.

    Parameters
    ----------
    area_m2 : float
        Interior, above 0. [m²]
    free_from, free_until : date, date or None
        The first day a crop may be planted, and the day on which another one is, or birds come; None for
        no end.
    interval_from : date or None
        The day the wait counts from; None where no birds are known of.
    dropped_g : float
        Nitrogen the birds dropped for the next crop. [g]
    families : mapping of str to date
        When each family was last cleared from this bed.
    """

    area_m2: float
    free_from: date
    free_until: date | None = None
    interval_from: date | None = None
    dropped_g: float = 0.0
    families: Mapping[str, date] | None = None


@dataclass(frozen=True, slots=True)
class Rules:
    """The garden's rules that a suggestion keeps; without frosts every day of the year will do."""

    harvest: HarvestRule
    nitrogen: NitrogenPolicy
    soil_supply_kg_ha: float = 0.0
    frosts: Frosts | None = None


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A crop with its days in the bed and the nitrogen it uses. [g]"""

    crop: Candidate
    plant_on: date
    harvest_on: date
    ends_on: date
    need_g: float
    used_g: float
    put_off_days: int
    """How much later it is planted than it could be, so that its harvest is safe. [days]"""
    family_since: date | None
    """When the same family was last cleared here, if less than `FAMILY_YEARS` ago."""


@dataclass(frozen=True, slots=True)
class Unfit:
    """A crop that is not suggested, and why."""

    crop: Candidate
    why: str


def available_g(bed: FreeBed, rules: Rules) -> float:
    """Return what the birds' droppings give crops in the first year. [g]"""
    return available_nitrogen_g(bed.dropped_g, rules.nitrogen)


def suggestions(
    crops: Iterable[Candidate], bed: FreeBed, rules: Rules
) -> tuple[list[Suggestion], list[Unfit]]:
    """Return the crops that fit, most nitrogen used first, and those that do not.

    Parameters
    ----------
    crops : iterable of Candidate
        What the garden grows.
    bed : FreeBed
        The bed after birds.
    rules : Rules
        The garden's.

    Returns
    -------
    list of Suggestion, list of Unfit
        Of two crops that use the same to the gram the one planted sooner comes first. Crops that
        want nothing stand among the suggestions with 0 g used.
    """
    fit, unfit = [], []
    for crop in crops:
        found = _suggestion(crop, bed, rules)
        (fit if isinstance(found, Suggestion) else unfit).append(found)
    fit.sort(key=lambda found: (-round(found.used_g), found.plant_on, found.crop.name))
    return fit, sorted(unfit, key=lambda found: found.crop.name)


def _suggestion(crop: Candidate, bed: FreeBed, rules: Rules) -> Suggestion | Unfit:
    to_harvest = timedelta(days=crop.days_to_harvest)
    safe_from = bed.interval_from and first_safe_harvest(
        bed.interval_from, crop.contact, rules.harvest
    )
    picking = timedelta(days=min(crop.harvest_days, LEAST_PICKING_DAYS))
    for time in _times(crop, bed, rules):
        soonest = max(bed.free_from, time.first_day)
        plant_on = max(soonest, safe_from - to_harvest) if safe_from else soonest
        harvest_on = plant_on + to_harvest
        cut = min(time.end_day, bed.free_until or date.max)
        if harvest_on + picking > cut or (plant_on - bed.free_from).days > FURTHEST_DAYS:
            continue
        lacking_kg_ha = max(0.0, crop.nitrogen_kg_ha - rules.soil_supply_kg_ha)
        need_g = mass_for_load_g(lacking_kg_ha, bed.area_m2)
        return Suggestion(
            crop=crop,
            plant_on=plant_on,
            harvest_on=harvest_on,
            ends_on=min(harvest_on + timedelta(days=crop.harvest_days), cut),
            need_g=need_g,
            used_g=min(need_g, available_g(bed, rules)),
            put_off_days=(plant_on - soonest).days,
            family_since=_family_since(crop, bed, plant_on),
        )
    return Unfit(crop, _why_not(crop, bed, rules, safe_from))


def _times(crop: Candidate, bed: FreeBed, rules: Rules) -> tuple[GrowingTime, ...]:
    if rules.frosts is None:
        return (GrowingTime(bed.free_from, date.max),)
    return growing_times(rules.frosts, crop.hardiness or Frost.TENDER, bed.free_from)


def _family_since(crop: Candidate, bed: FreeBed, plant_on: date) -> date | None:
    cleared = (bed.families or {}).get(crop.family) if crop.family else None
    near = timedelta(days=365 * FAMILY_YEARS.value)
    return cleared if cleared and plant_on - cleared < near else None


def _why_not(crop: Candidate, bed: FreeBed, rules: Rules, safe_from: date | None) -> str:
    """Say what stands in a crop's way: what comes next if that alone does, else safety, else frost."""
    if bed.free_until is not None:
        alone = _suggestion(crop, replace(bed, free_until=None), rules)
        if isinstance(alone, Unfit):
            return alone.why
        return _("it is not picked before the bed is taken again, {day}").format(
            day=day_year_words(bed.free_until)
        )
    if rules.frosts is None:
        return _("not safe to eat before {day}").format(day=day_year_words(safe_from))
    first, second = growing_times(rules.frosts, crop.hardiness or Frost.TENDER, bed.free_from)
    if (first.end_day - first.first_day).days <= crop.days_to_harvest:
        return _("the time between the frosts is too short for it")
    if safe_from and safe_from >= first.end_day:
        return _("not safe to eat before {day}").format(day=day_year_words(safe_from))
    return _("frost comes before its harvest, and it can be planted only on {day}").format(
        day=day_year_words(second.first_day)
    )
