"""What shuts a place to a pen, in words: one kind, one sentence each.

PURE.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from garden.day_words import day_words, day_year_words
from garden.harvest_interval import HarvestRule, ShutReason
from garden.units import NITROGEN, PEN_LENGTH, System
from garden.words import gettext as _
from garden.words import mark, ngettext
from pens.fit import Fit


class Kind(StrEnum):
    """What shuts a place; the value is the heading of all places that it shuts."""

    TOO_SMALL = mark("Too small for this pen")
    CLOSED = mark("Not to be had")
    CROP = mark("Planted")
    INTERVAL = mark("Too near a harvest")
    TAKEN = mark("Another pen stands there")
    RESTING = mark("Resting after birds")
    KEPT = mark("Kept for a later stay")
    STOOD = mark("Stood there long enough")
    NITROGEN = mark("No nitrogen room for a day more")
    PHOSPHORUS = mark("Phosphorus is high")
    TOO_SHORT = mark("Open for too short a time")
    OPEN = mark("Open")


@dataclass(frozen=True)
class Reason:
    """What shuts one place on one day, in words; days with equal reasons are told together."""

    kind: Kind
    words: str
    nitrogen_g: float = 0.0
    """What the birds drop on the day, where that is what passes the room."""


class Wording:
    """The words of one garden on one day: its units, and the year where it is not this one."""

    def __init__(self, on: date, system: System) -> None:
        self.on = on
        self.system = system

    def day(self, day: date) -> str:
        """Write a day, with its year where that is another."""
        return day_words(day) if day.year == self.on.year else day_year_words(day)

    def too_small(self, fit: Fit) -> Reason:
        """Say what a bed lacks for a pen."""
        lacks = (
            (_("too narrow by {length}"), fit.too_wide_mm),
            (_("too short by {length}"), fit.too_long_mm),
        )
        said = _(" and ").join(
            words.format(length=PEN_LENGTH.show(lack_mm, self.system))
            for words, lack_mm in lacks
            if lack_mm
        )
        return Reason(Kind.TOO_SMALL, said)

    def closed(self, end_day: date, why: str) -> Reason:
        """Say that the grower has closed a bed."""
        last_day = self.day(end_day - timedelta(days=1))
        until = _("not to be had until {day}").format(day=last_day)
        return Reason(Kind.CLOSED, f"{until}: {why}" if why else until)

    def planted(self, reasons: Iterable[ShutReason], rule: HarvestRule) -> Reason:
        """Say which crop stands, the longest first, or else whose harvest is too near.

        `rule` is the garden's own, in which the days from the birds to the harvest are told.
        """
        reasons = sorted(reasons, key=lambda reason: reason.planting.ends_on, reverse=True)
        standing = [reason for reason in reasons if reason.wait_days is None]
        if standing:
            crop = standing[0].planting
            last_day = self.day(crop.ends_on - timedelta(days=1))
            said = _("planted with {crop} until {day}")
            return Reason(Kind.CROP, said.format(crop=crop.crop_name, day=last_day))
        ahead = reasons[-1]
        crop = ahead.planting
        last_birds = crop.first_harvest_on - timedelta(days=ahead.wait_days)
        days = rule.days_for(crop.contact)
        return Reason(
            Kind.INTERVAL,
            _(
                "birds after {day} would be within {n} days of the harvest of {crop} on {harvest}"
            ).format(
                day=self.day(last_birds),
                n=days,
                crop=crop.crop_name,
                harvest=self.day(crop.first_harvest_on),
            ),
        )

    def taken(self, pen: str) -> Reason:
        """Say which pen stands there."""
        return Reason(Kind.TAKEN, _("{pen} stands there").format(pen=pen))

    def resting(self, open_on: date | None) -> Reason:
        """Say until when a place rests."""
        if open_on is None:
            return Reason(Kind.RESTING, _("rests until these birds are gone"))
        last_day = self.day(open_on - timedelta(days=1))
        return Reason(Kind.RESTING, _("rests until {day}").format(day=last_day))

    def kept(self, pen: str, first_day: date, rest_days: int) -> Reason:
        """Say for which stay a place is kept."""
        said = (
            _("{pen} comes on {day}, and the place rests {n} days before")
            if rest_days
            else _("{pen} comes on {day}")
        )
        return Reason(Kind.KEPT, said.format(pen=pen, day=self.day(first_day), n=rest_days))

    def stood(self, days: int) -> Reason:
        """Say that the longest stay is over."""
        said = ngettext(
            "the pen has stood there {n} day, the longest stay",
            "the pen has stood there {n} days, the longest stay",
            days,
        )
        return Reason(Kind.STOOD, said.format(n=days))

    def no_room(self, left_g: float, nitrogen_g: float, *, by_phosphorus: bool = False) -> Reason:
        """Say what room is left against what the birds drop, and that a soil test holds it so low."""
        left = NITROGEN.show(max(0.0, left_g), self.system)
        if by_phosphorus:
            said = _("{mass} of nitrogen room left, for the soil test is high in phosphorus")
            return Reason(Kind.PHOSPHORUS, said.format(mass=left), nitrogen_g)
        said = _("{mass} of nitrogen room left")
        return Reason(Kind.NITROGEN, said.format(mass=left), nitrogen_g)

    def too_short(self, min_stay_days: int) -> Reason:
        """Say that no lawful stay fits into the days that are open."""
        if min_stay_days == 1:
            return Reason(Kind.TOO_SHORT, _("no stay there keeps every rule"))
        said = _("open, but not for {n} days on end, the shortest stay")
        return Reason(Kind.TOO_SHORT, said.format(n=min_stay_days))

    def open(self) -> Reason:
        """Say that nothing shuts a place."""
        return Reason(Kind.OPEN, _("open: planning again may use it"))

    def drop(self, room: str, nitrogen_g: float) -> str:
        """Say what the birds drop behind the room that is left."""
        said = _("{room}, and the birds drop {mass} a day")
        return said.format(room=room, mass=NITROGEN.show(nitrogen_g, self.system))
