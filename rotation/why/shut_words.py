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
from pens.fit import Fit


class Kind(StrEnum):
    """What shuts a place; the value is the heading of all places that it shuts."""

    TOO_SMALL = "Too small for this pen"
    CLOSED = "Not to be had"
    CROP = "Planted"
    INTERVAL = "Too near a harvest"
    TAKEN = "Another pen stands there"
    RESTING = "Resting after birds"
    KEPT = "Kept for a later stay"
    STOOD = "Stood there long enough"
    NITROGEN = "No nitrogen room for a day more"
    PHOSPHORUS = "Phosphorus is high"
    TOO_SHORT = "Open for too short a time"
    OPEN = "Open"


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
        lacks = (("narrow", fit.too_wide_mm), ("short", fit.too_long_mm))
        said = " and ".join(
            f"too {what} by {PEN_LENGTH.show(lack_mm, self.system)}"
            for what, lack_mm in lacks
            if lack_mm
        )
        return Reason(Kind.TOO_SMALL, said)

    def closed(self, end_day: date, why: str) -> Reason:
        """Say that the grower has closed a bed."""
        until = f"not to be had until {self.day(end_day - timedelta(days=1))}"
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
            return Reason(Kind.CROP, f"planted with {crop.crop_name} until {last_day}")
        ahead = reasons[-1]
        crop = ahead.planting
        last_birds = crop.first_harvest_on - timedelta(days=ahead.wait_days)
        days = rule.days_for(crop.contact)
        return Reason(
            Kind.INTERVAL,
            f"birds after {self.day(last_birds)} would be within {days} days of the harvest of "
            f"{crop.crop_name} on {self.day(crop.first_harvest_on)}",
        )

    def taken(self, pen: str) -> Reason:
        """Say which pen stands there."""
        return Reason(Kind.TAKEN, f"{pen} stands there")

    def resting(self, open_on: date | None) -> Reason:
        """Say until when a place rests."""
        if open_on is None:
            return Reason(Kind.RESTING, "rests until these birds are gone")
        return Reason(Kind.RESTING, f"rests until {self.day(open_on - timedelta(days=1))}")

    def kept(self, pen: str, first_day: date, rest_days: int) -> Reason:
        """Say for which stay a place is kept."""
        rest = f", and the place rests {rest_days} days before" if rest_days else ""
        return Reason(Kind.KEPT, f"{pen} comes on {self.day(first_day)}{rest}")

    def stood(self, days: int) -> Reason:
        """Say that the longest stay is over."""
        length = "1 day" if days == 1 else f"{days} days"
        return Reason(Kind.STOOD, f"the pen has stood there {length}, the longest stay")

    def no_room(self, left_g: float, nitrogen_g: float, *, by_phosphorus: bool = False) -> Reason:
        """Say what room is left against what the birds drop, and that a soil test holds it so low."""
        left = f"{NITROGEN.show(max(0.0, left_g), self.system)} of nitrogen room left"
        if by_phosphorus:
            return Reason(
                Kind.PHOSPHORUS, f"{left}, for the soil test is high in phosphorus", nitrogen_g
            )
        return Reason(Kind.NITROGEN, left, nitrogen_g)

    def too_short(self, min_stay_days: int) -> Reason:
        """Say that no lawful stay fits into the days that are open."""
        if min_stay_days == 1:
            return Reason(Kind.TOO_SHORT, "no stay there keeps every rule")
        return Reason(
            Kind.TOO_SHORT, f"open, but not for {min_stay_days} days on end, the shortest stay"
        )

    def open(self) -> Reason:
        """Say that nothing shuts a place."""
        return Reason(Kind.OPEN, "open: planning again may use it")

    def drop(self, nitrogen_g: float) -> str:
        """Say what the birds drop, to be put behind the room that is left."""
        return f", and the birds drop {NITROGEN.show(nitrogen_g, self.system)} a day"
