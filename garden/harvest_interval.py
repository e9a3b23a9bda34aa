"""How long birds must be gone before a crop is picked, and when a bed may take them at all.

PURE. Raw manure and food meet in one rule: so many days must pass between the last bird on a bed
and the first harvest from it. 7 CFR 205.203(c)(1) [1]_ sets 120 days where the part eaten touches
the soil or its particles, and 90 days where it does not. The rule binds certified organic growers
in the United States and is prudent guidance for everybody else; it is written for manure that is
mixed into the soil, so where droppings are mixed in after the pen has left, the day of mixing
counts as the last bird's.

Every day here is a whole local day of the garden, and every span is half-open:
a stay ``[first_day, end_day)`` has its last bird on ``end_day - 1``, and a planting
``[starts_on, ends_on)`` leaves its bed free on `ends_on`.

References
----------
.. [1] United States Code of Federal Regulations, title 7, section 205.203(c)(1)(ii) and (iii),
   Soil fertility and crop nutrient management practice standard.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from garden.words import gettext as _

DAYS_TOUCHES = 120
"""Wait where the part eaten touches soil [days]. 7 CFR 205.203(c)(1)(ii). Published."""

DAYS_CLEAR = 90
"""Wait where the part eaten is held clear of soil [days]. 7 CFR 205.203(c)(1)(iii). Published."""

LONGEST_WAIT_DAYS = 5 * 365
"""Longest wait a rule may set [days]: some buyers ask five years after raw manure, according to
Cornell's National GAPs decision tree on soil amendments. Published; as a ceiling on input it is our
choice."""

_CEILING_DAYS = LONGEST_WAIT_DAYS + 1
"""A rule counted from the last bird has a day more where droppings are mixed in the day after."""


class Contact(StrEnum):
    """How the part eaten meets the soil, in the rule's sense. In doubt, it touches."""

    TOUCHES = "touches"
    CLEAR = "clear"
    COOKED = "cooked"


@dataclass(frozen=True)
class HarvestRule:
    """A garden's waits, from the last bird to the first harvest [days].

    Parameters
    ----------
    days_clear : int, default 90
        For a crop held clear of the soil, 0 to 1826. [days]
    days_touches : int, default 120
        For a crop that touches the soil or is splashed by it, `days_clear` to 1826. [days]
    days_cooked : int, optional
        For a crop never eaten raw, 0 to 1826. Left out, such a crop waits like one that touches: 7
        CFR 205.203 makes no exception for cooking, so only the garden itself can shorten the wait.
        [days]

    Raises
    ------
    ValueError
        For a wait out of its range, naming it.
    """

    days_clear: int = DAYS_CLEAR
    days_touches: int = DAYS_TOUCHES
    days_cooked: int | None = None

    def __post_init__(self) -> None:
        for contact in Contact:
            if not 0 <= self.days_for(contact) <= _CEILING_DAYS:
                raise ValueError(f"days_{contact}: expected 0 to {_CEILING_DAYS} days")
        if self.days_touches < self.days_clear:
            raise ValueError("days_touches: expected at least days_clear")

    def days_for(self, contact: Contact | str) -> int:
        """Return the wait for a kind of contact [days]; ValueError for a word that is not one."""
        contact = Contact(contact)
        if contact is Contact.CLEAR:
            return self.days_clear
        if contact is Contact.COOKED and self.days_cooked is not None:
            return self.days_cooked
        return self.days_touches


def first_safe_harvest(last_bird_day: date, contact: Contact | str, rule: HarvestRule) -> date:
    """Return the first day on which a crop may be picked.

    Parameters
    ----------
    last_bird_day : date
        Last day with a bird on the bed, or the later day on which the droppings were mixed in. Of a
        stay it is ``end_day - 1``.
    contact : Contact or str
        How the part eaten meets the soil.
    rule : HarvestRule
        The garden's waits.

    Returns
    -------
    date
        `last_bird_day` plus the wait. "Not less than 120 days prior" [1]_ is met on the 120th day
        itself.

    Raises
    ------
    ValueError
        If `contact` is not a kind of contact.
    """
    return last_bird_day + timedelta(days=rule.days_for(contact))


def last_bird_day_before(first_harvest: date, contact: Contact | str, rule: HarvestRule) -> date:
    """Return the last day on which birds may stand where a crop is first picked on `first_harvest`.

    The exact inverse of `first_safe_harvest`, with the same parameters and errors.
    """
    return first_harvest - timedelta(days=rule.days_for(contact))


@dataclass(frozen=True)
class PlantingDates:
    """A crop in a bed from `starts_on` up to, not including, `ends_on`.

    Parameters
    ----------
    crop_name : str
        As the grower calls it.
    starts_on : date
        Day of sowing or planting out.
    first_harvest_on : date
        First day anything is picked, ``starts_on <= first_harvest_on < ends_on``.
    ends_on : date
        First day the bed is clear of the crop; birds may stand there on that day.
    contact : Contact or str
        How the part eaten meets the soil.
    nitrogen_kg_ha : float
        Nitrogen the crop needs, in forms it can use, at least 0. [kg/ha]

    Raises
    ------
    ValueError
        For days out of order, a need below 0 or an unknown contact.
    """

    crop_name: str
    starts_on: date
    first_harvest_on: date
    ends_on: date
    contact: Contact | str
    nitrogen_kg_ha: float

    def __post_init__(self) -> None:
        if not self.starts_on <= self.first_harvest_on < self.ends_on:
            raise ValueError("first_harvest_on: expected from starts_on to before ends_on")
        if not self.nitrogen_kg_ha >= 0:
            raise ValueError("nitrogen_kg_ha: expected a number >= 0")
        Contact(self.contact)

    def shut_from(self, rule: HarvestRule) -> date:
        """Return the first day on which this planting keeps birds off its bed.

        That is the day after the last allowed bird day, or the day of planting if that comes
        sooner: a crop with a long way to its harvest may follow birds closely, but birds never
        stand on a crop.
        """
        wait_begins = last_bird_day_before(self.first_harvest_on, self.contact, rule)
        return min(self.starts_on, wait_begins + timedelta(days=1))


@dataclass(frozen=True)
class ShutReason:
    """Why a bed is shut to birds on a day; its text is a plain sentence part for a page.

    `wait_days` is the harvest interval still ahead of the planting, or None where the crop itself
    is standing.
    """

    planting: PlantingDates
    wait_days: int | None

    def __str__(self) -> str:
        crop = self.planting.crop_name
        if self.wait_days is None:
            return _("crop standing: {crop}").format(crop=crop)
        harvest = _long_date(self.planting.first_harvest_on)
        told = _("harvest interval ahead of {crop}, first harvest {harvest}, {days} days")
        return told.format(crop=crop, harvest=harvest, days=self.wait_days)


@dataclass(frozen=True)
class BedWindow:
    """Days ``[first_day, end_day)`` on which a bed's crops let birds stand on it.

    `next_crop` is the first planting that starts after the window, also where it starts beyond the
    days asked about; None if nothing follows. `shut_by` says what ends the window; None if only the
    days asked about do.
    """

    first_day: date
    end_day: date
    next_crop: PlantingDates | None
    shut_by: ShutReason | None


def windows(
    plantings: Iterable[PlantingDates], *, first_day: date, end_day: date, rule: HarvestRule
) -> tuple[BedWindow, ...]:
    """Return the days on which birds may stand on a bed, as windows in order.

    A day is open if no crop stands in the bed and the harvest interval holds for every planting to
    come. Rest between two visits and nitrogen are other rules, kept elsewhere.

    Parameters
    ----------
    plantings : iterable of PlantingDates
        All of one bed, in any order; they may overlap. Give those beyond `end_day` too: their
        harvest interval and their need reach back.
    first_day, end_day : date
        The days asked about, half-open; none if `end_day` is not after `first_day`.
    rule : HarvestRule
        The garden's waits.

    Returns
    -------
    tuple of BedWindow
        Disjoint, never empty spans with at least one shut day between two.

    Notes
    -----
    Each planting shuts one unbroken span, from `PlantingDates.shut_from` to `ends_on`. The windows
    are what those spans leave, so the work does not grow with the number of days.
    """
    plantings = tuple(plantings)
    return tuple(
        BedWindow(
            first_day=opens,
            end_day=shuts,
            next_crop=_next_crop(plantings, shuts),
            shut_by=_reason(shut_by, shuts, rule) if shut_by else None,
        )
        for opens, shuts, shut_by in _gaps(plantings, first_day, end_day, rule)
    )


def shut_reasons(
    plantings: Iterable[PlantingDates], day: date, rule: HarvestRule
) -> tuple[ShutReason, ...]:
    """Return every reason why a bed is shut to birds on a day; none if it is open."""
    return tuple(
        _reason(planting, day, rule)
        for planting in plantings
        if planting.shut_from(rule) <= day < planting.ends_on
    )


def _gaps(
    plantings: tuple[PlantingDates, ...], first_day: date, end_day: date, rule: HarvestRule
) -> Iterator[tuple[date, date, PlantingDates | None]]:
    """Yield each open span with the planting that ends it, None where `end_day` does."""
    opens = first_day
    for shuts, planting in sorted(
        ((planting.shut_from(rule), planting) for planting in plantings),
        key=lambda span: (span[0], _lesser_need_first(span[1])),
    ):
        if shuts >= end_day:
            break
        if opens < shuts:
            yield opens, shuts, planting
        opens = max(opens, planting.ends_on)
    if opens < end_day:
        yield opens, end_day, None


def _next_crop(plantings: tuple[PlantingDates, ...], day: date) -> PlantingDates | None:
    following = (planting for planting in plantings if planting.starts_on >= day)
    return min(following, key=_lesser_need_first, default=None)


def _lesser_need_first(planting: PlantingDates) -> tuple[date, float, str]:
    """Order by start; of two crops set out together the modest one decides, or it is overfed."""
    return planting.starts_on, planting.nitrogen_kg_ha, planting.crop_name


def _reason(planting: PlantingDates, day: date, rule: HarvestRule) -> ShutReason:
    standing = planting.starts_on <= day
    return ShutReason(planting, None if standing else rule.days_for(planting.contact))


def _long_date(day: date) -> str:
    """Write ``3 July 2027``, with the year: an interval often crosses into the next."""
    return f"{day.day} {day:%B %Y}"
