"""What a stretch of a bed does day by day: birds, crop, rest, kept for a harvest, or free.

PURE. The plan's board and a bed's year are drawn from the same spans, so that both tell the same.
Days are whole days of the garden and spans are half-open, ``[first_day, end_day)``.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from itertools import groupby

from garden.harvest_interval import HarvestRule, PlantingDates


class Use(StrEnum):
    """What a day is for; the value is the class that the style sheet draws it with."""

    STAY = "stay"
    STOOD = "stood"
    PLANTED = "planted"
    RESTING = "resting"
    HELD = "held"
    OFF = "off"
    CLOSED = "closed"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class Visit:
    """One pen on one stretch of a bed, or off the beds, as it happened or as planned.

    `offset_mm` and `stretch_mm` say which part of the bed's length it takes, from the bed's first
    end wall; `place` is how a reader calls that part, empty where a bed holds one pen only.
    """

    pen: str
    first_day: date
    end_day: date
    offset_mm: float = 0.0
    stretch_mm: float = 0.0
    planned: bool = False
    place: str = ""
    id: int | None = None
    """The planned stay's, by which it can be changed; None for what happened."""
    is_locked: bool = False
    is_manure: bool = False
    """Whether no pen stood there: raw manure was spread, and a harvest waits for it as for birds."""

    def shares_ground_with(self, other: "Visit") -> bool:
        """Say whether two visits to one bed overlap along its length; touching ends do not."""
        return round(self.offset_mm) < round(other.offset_mm + other.stretch_mm) and round(
            other.offset_mm
        ) < round(self.offset_mm + self.stretch_mm)


@dataclass(frozen=True, slots=True)
class Span:
    """Days ``[first_day, end_day)`` of one use; `name` is the pen's or the crop's."""

    use: Use
    first_day: date
    end_day: date
    name: str = ""
    stay_id: int | None = None
    is_locked: bool = False

    @property
    def days(self) -> int:
        """Return its length. [days]"""
        return (self.end_day - self.first_day).days


@dataclass(frozen=True, slots=True)
class Closed:
    """Days ``[first_day, end_day)`` on which a bed takes no pen because the grower says so."""

    first_day: date
    end_day: date
    why: str = ""


@dataclass(frozen=True)
class BedGround:
    """One bed as the drawings need it: who visits it, and what grows in it.

    `mark` is its short name on the map, where that is not a part of its name.
    """

    id: int
    name: str
    visits: tuple[Visit, ...] = ()
    plantings: tuple[PlantingDates, ...] = ()
    mark: str = ""
    closures: tuple[Closed, ...] = ()


def place_visits(visits: Iterable[Visit]) -> list[tuple[str, list[Visit]]]:
    """Group a bed's visits by the ground they take, in order along the bed.

    Returns
    -------
    list of (str, list of Visit)
        A line for each distinct place: how it is called, and every visit that takes any of its
        ground. Pens of two sizes share ground without sharing a place; such a visit then stands in
        several lines, because in each of them the ground is taken.
    """
    visits = list(visits)
    places = {(round(visit.offset_mm), round(visit.stretch_mm)): visit for visit in visits}
    return [
        (place.place, [visit for visit in visits if visit.shares_ground_with(place)])
        for _, place in sorted(places.items())
    ]


def ground_spans(
    visits: Iterable[Visit],
    plantings: Iterable[PlantingDates],
    *,
    rule: HarvestRule,
    rest_days: int,
    closures: Iterable[Closed] = (),
) -> list[Span]:
    """Return the uses of one place, the one that shows on a shared day first.

    Birds come before all else: where they stand against a rule, that is what must be seen. A crop
    comes before the grower's own closures, those before rest, and rest before being kept for a
    harvest, which is the longest and least.

    Parameters
    ----------
    visits : iterable of Visit
        Those that take ground of the place.
    plantings : iterable of PlantingDates
        All of the bed.
    rule : HarvestRule
        The garden's waits; a bed is held from the day they shut it until the crop is planted.
    rest_days : int
        Rest after each visit. [days]
    closures : iterable of Closed
        Days on which the bed is not to be had.
    """
    visits, plantings = list(visits), list(plantings)
    stays = [_stay(visit) for visit in visits]
    shut = [Span(Use.CLOSED, days.first_day, days.end_day, days.why) for days in closures]
    crops = [
        Span(Use.PLANTED, planting.starts_on, planting.ends_on, planting.crop_name)
        for planting in plantings
    ]
    rest = timedelta(days=rest_days)
    rests = [Span(Use.RESTING, visit.end_day, visit.end_day + rest) for visit in visits]
    held = [
        Span(Use.HELD, planting.shut_from(rule), planting.starts_on, planting.crop_name)
        for planting in plantings
    ]
    latest_rest_first = sorted(rests, key=lambda span: span.first_day, reverse=True)
    soonest_crop_first = sorted(held, key=lambda span: span.end_day)
    return [*stays, *crops, *shut, *latest_rest_first, *soonest_crop_first]


def _stay(visit: Visit) -> Span:
    use = Use.STAY if visit.planned else Use.STOOD
    return Span(use, visit.first_day, visit.end_day, visit.pen, visit.id, visit.is_locked)


def laid_out(
    spans: Sequence[Span],
    first_day: date,
    end_day: date,
    *,
    today: date,
    otherwise: Use = Use.FREE,
) -> tuple[Span, ...]:
    """Lay spans over ``[first_day, end_day)`` so that every day has exactly one use.

    Parameters
    ----------
    spans : sequence of Span
        The one that shows on a shared day first.
    first_day, end_day : date
        The days asked about.
    today : date
        Spans are cut here, so that what was and what will be are told apart.
    otherwise : Use, default FREE
        The use of days that no span covers.

    Returns
    -------
    tuple of Span
        In order, without gap or overlap, cut to the days asked about.
    """
    days = (end_day - first_day).days
    on_top: list[Span | None] = [None] * max(0, days)
    for span in reversed(spans):
        start = min(max(0, (span.first_day - first_day).days), len(on_top))
        end = min(max(start, (span.end_day - first_day).days), len(on_top))
        on_top[start:end] = [span] * (end - start)
    return tuple(_pieces(on_top, first_day, today, otherwise))


def _pieces(
    on_top: list[Span | None], first_day: date, today: date, otherwise: Use
) -> Iterator[Span]:
    """Join neighbouring days that look alike and lie on the same side of today."""
    days = [(first_day + timedelta(days=number), span) for number, span in enumerate(on_top)]

    def look(day_and_span: tuple[date, Span | None]) -> tuple[object, ...]:
        day, span = day_and_span
        if span is None:
            return day >= today, otherwise, "", None, False
        return day >= today, span.use, span.name, span.stay_id, span.is_locked

    for (_, use, name, stay_id, is_locked), members in groupby(days, key=look):
        alike = list(members)
        end_day = alike[-1][0] + timedelta(days=1)
        yield Span(use, alike[0][0], end_day, name, stay_id, is_locked)


def told_on(visits: Iterable[Visit], day: date) -> set[str]:
    """Return the pens that a plan speaks of on a day."""
    return {
        visit.pen for visit in visits if visit.planned and visit.first_day <= day < visit.end_day
    }


def cut_at(visits: Iterable[Visit], today: date, told: set[str]) -> list[Visit]:
    """Return what happened before today and what is planned from today on.

    Parameters
    ----------
    visits : iterable of Visit
        Actual and planned ones.
    today : date
        The day that belongs to the plan.
    told : set of str
        Pens that the plan speaks of today, wherever it has them. What is known of another pen's
        today is only where it stands, and so that is kept.
    """
    visits = list(visits)
    behind = [
        replace(visit, end_day=min(visit.end_day, today)) if visit.pen in told else visit
        for visit in visits
        if not visit.planned
    ]
    ahead = [
        replace(visit, first_day=max(visit.first_day, today)) for visit in visits if visit.planned
    ]
    return [visit for visit in (*behind, *ahead) if visit.first_day < visit.end_day]
