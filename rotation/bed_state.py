"""What one bed is doing on a day, in the words that the map, the list and the bed's own page share.

PURE.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from garden.harvest_interval import HarvestRule
from garden.words import gettext as _
from garden.words import pgettext
from rotation.ground_days import BedGround, Use, Visit


@dataclass(frozen=True, slots=True)
class BedState:
    """A bed on a day: a word, what is behind it, and who comes next.

    Attributes
    ----------
    use : Use
        What the bed is for on that day; `Use.STOOD` where birds stand on it.
    word : str
        Such as ``Planted``, ``Rest`` or ``Pen A``.
    detail : str
        Such as ``lettuce`` or ``day 9 of 30``; empty for a bed that is free.
    coming : Visit or None
        The next pen that is planned to come.
    short : str
        The detail in fewer letters, where there is a way.
    """

    use: Use
    word: str
    detail: str = ""
    coming: Visit | None = None
    short: str = ""

    @property
    def brief(self) -> str:
        """Return the detail as short as a drawing needs it: ``day 9/30``."""
        return self.short or self.detail

    def __str__(self) -> str:
        joint = {Use.HELD: " ", Use.CLOSED: ": "}.get(self.use, ", ")
        return f"{self.word}{joint}{self.detail}" if self.detail else self.word


def bed_state(ground: BedGround, on: date, *, rule: HarvestRule, rest_days: int) -> BedState:
    """Return what a bed is doing on a day.

    Parameters
    ----------
    ground : BedGround
        The bed with its visits and plantings.
    on : date
        The day.
    rule, rest_days : HarvestRule, int
        The garden's waits. [days]
    """
    standing = standing_visits(ground.visits, on)
    coming = next_visit(ground.visits, on)
    if standing:
        return BedState(Use.STOOD, _together(standing), _days_here(standing, on), coming)
    crops = [crop.crop_name for crop in ground.plantings if crop.starts_on <= on < crop.ends_on]
    if crops:
        return BedState(Use.PLANTED, _("Planted"), _(" and ").join(crops), coming)
    closed = [days for days in ground.closures if days.first_day <= on < days.end_day]
    if closed:
        return BedState(Use.CLOSED, _("Not to be had"), closed[0].why, coming)
    last_left = max((v.end_day for v in ground.visits if not v.planned), default=None)
    if last_left and on < last_left + timedelta(days=rest_days):
        days = {"n": (on - last_left).days + 1, "of": rest_days}
        detail, short = _("day {n} of {of}").format(**days), _("day {n}/{of}").format(**days)
        return BedState(Use.RESTING, pgettext("of a bed", "Rest"), detail, coming, short)
    held_for = [
        crop.crop_name for crop in ground.plantings if crop.shut_from(rule) <= on < crop.starts_on
    ]
    if held_for:
        crops_told = _("for {crops}").format(crops=_(" and ").join(held_for))
        return BedState(Use.HELD, pgettext("of a bed", "Held"), crops_told, coming)
    return BedState(Use.FREE, pgettext("of a bed", "Free"), "", coming)


def standing_visits(visits: Iterable[Visit], on: date) -> list[Visit]:
    """Return the pens that stand on a bed on a day, not those that are only planned to."""
    return [
        visit
        for visit in visits
        if not visit.planned and not visit.is_manure and visit.first_day <= on < visit.end_day
    ]


def next_visit(visits: Iterable[Visit], on: date) -> Visit | None:
    """Return the first visit planned from a day on that is not a pen staying where it stands."""
    visits = list(visits)
    staying = {(visit.pen, round(visit.offset_mm)) for visit in standing_visits(visits, on)}
    coming = [
        visit
        for visit in visits
        if visit.planned
        and visit.end_day > on
        and not (visit.first_day <= on and (visit.pen, round(visit.offset_mm)) in staying)
    ]
    return min(coming, key=lambda visit: visit.first_day, default=None)


def _together(standing: list[Visit]) -> str:
    return _(" and ").join(visit.pen for visit in standing)


def _days_here(standing: list[Visit], on: date) -> str:
    days = sorted({(on - visit.first_day).days + 1 for visit in standing})
    return _("day {n}").format(n=_(" and ").join(str(day) for day in days))
