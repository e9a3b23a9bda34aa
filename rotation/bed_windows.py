"""When birds may come to a place on a bed, day by day: what shuts it, and what would open it.

PURE. The planner asks the same rules through `ground`; here they are told to a reader. Every day of the
span asked about belongs to exactly one `DaySpan`, and a day without a blocker is open.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from garden.day_words import day_year_words
from garden.harvest_interval import HarvestRule, PlantingDates
from garden.words import gettext as _
from rotation.ground_days import BedGround, Visit, cut_at, place_visits, told_on


class Shut(StrEnum):
    """What keeps a pen off a place, in the order in which it is told."""

    TAKEN = "taken"
    PLANTED = "planted"
    CLOSED = "closed"
    RESTING = "resting"
    KEPT = "kept"
    HELD = "held"


@dataclass(frozen=True, slots=True)
class Blocker:
    """One thing that shuts a place on some days: why, and what would open it."""

    kind: Shut
    why: str
    cure: str


@dataclass(frozen=True, slots=True)
class DaySpan:
    """Days ``[first_day, end_day)`` that are open, or shut by the same things."""

    first_day: date
    end_day: date
    blockers: tuple[Blocker, ...] = ()
    next_crop: PlantingDates | None = None
    """The crop that follows an open span; None where nothing does."""

    @property
    def is_open(self) -> bool:
        """Whether a pen may stand there as far as crops, rest and closures go."""
        return not self.blockers


@dataclass(frozen=True, slots=True)
class PlaceDays:
    """One place of a bed with its days; `place` is empty where a bed has one only."""

    place: str
    spans: tuple[DaySpan, ...]

    def on(self, day: date) -> DaySpan | None:
        """Return the span that holds a day; None for one beyond those asked about."""
        found = (span for span in self.spans if span.first_day <= day < span.end_day)
        return next(found, None)


@dataclass(frozen=True, slots=True)
class Waits:
    """A garden's waits as windows need them.

    `bird_days` counts from the last day with birds and decides; `told` is the rule as the garden set it.
    """

    bird_days: HarvestRule
    told: HarvestRule
    rest_days: int


@dataclass(frozen=True, slots=True)
class _Source:
    """Something that shuts a place on ``[first_day, end_day)``."""

    kind: Shut
    first_day: date
    end_day: date
    about: PlantingDates | Visit | str


def bed_days(
    ground: BedGround, *, today: date, first_day: date, end_day: date, waits: Waits
) -> tuple[PlaceDays, ...]:
    """Return every place of a bed with its open and shut days.

    Parameters
    ----------
    ground : BedGround
        The bed with its visits, plantings and closures.
    today : date
        Visits before it are those that happened, from it on those planned.
    first_day, end_day : date
        The days asked about, half-open.
    waits : Waits
        The garden's.

    Returns
    -------
    tuple of PlaceDays
        A place for each that pens have used or are to use in this time, in order along the bed; one
        for the whole bed where there are none.
    """
    rest = timedelta(days=waits.rest_days)
    visits = [
        visit
        for visit in cut_at(ground.visits, today, told_on(ground.visits, today))
        if visit.first_day - rest < end_day and visit.end_day + rest > first_day
    ]
    on_bed = [*_crops(ground.plantings, waits.bird_days), *_closures(ground)]
    return tuple(
        PlaceDays(
            place,
            tuple(
                _spans(
                    [*on_bed, *_visits(members, rest)], ground.plantings, first_day, end_day, waits
                )
            ),
        )
        for place, members in place_visits(visits) or [("", [])]
    )


def _crops(plantings: Iterable[PlantingDates], rule: HarvestRule) -> Iterator[_Source]:
    for planting in plantings:
        yield _Source(Shut.PLANTED, planting.starts_on, planting.ends_on, planting)
        yield _Source(Shut.HELD, planting.shut_from(rule), planting.starts_on, planting)


def _closures(ground: BedGround) -> Iterator[_Source]:
    for closed in ground.closures:
        yield _Source(Shut.CLOSED, closed.first_day, closed.end_day, closed.why)


def _visits(visits: Iterable[Visit], rest: timedelta) -> Iterator[_Source]:
    for visit in visits:
        yield _Source(Shut.TAKEN, visit.first_day, visit.end_day, visit)
        yield _Source(Shut.RESTING, visit.end_day, visit.end_day + rest, visit)
        if visit.planned:
            yield _Source(Shut.KEPT, visit.first_day - rest, visit.first_day, visit)


def _spans(
    sources: Sequence[_Source],
    plantings: Sequence[PlantingDates],
    first_day: date,
    end_day: date,
    waits: Waits,
) -> Iterator[DaySpan]:
    """Cut the days wherever something begins or ends to shut them."""
    edges = {source.first_day for source in sources} | {source.end_day for source in sources}
    inner = sorted(edge for edge in edges if first_day < edge < end_day)
    starts = [first_day, *inner] if first_day < end_day else []
    order = list(Shut)
    for start, end in zip(starts, [*inner, end_day], strict=False):
        active = [source for source in sources if source.first_day <= start < source.end_day]
        active.sort(key=lambda source: (order.index(source.kind), source.end_day))
        following = (crop for crop in plantings if crop.starts_on >= end)
        yield DaySpan(
            start,
            end,
            tuple(dict.fromkeys(_blocker(source, end, waits) for source in active)),
            min(following, key=lambda crop: crop.starts_on, default=None),
        )


def _blocker(source: _Source, end: date, waits: Waits) -> Blocker:
    """Put what shuts a span that ends on a day into words."""
    say = {
        Shut.TAKEN: _taken,
        Shut.PLANTED: _planted,
        Shut.CLOSED: _closed,
        Shut.RESTING: _resting,
        Shut.KEPT: _kept,
        Shut.HELD: _held,
    }[source.kind]
    return Blocker(source.kind, *say(source, end, waits))


def _taken(source: _Source, _end: date, _waits: Waits) -> tuple[str, str]:
    leaves = day_year_words(source.end_day)
    if source.about.planned:
        return _("{pen} is to stand there by the plan").format(pen=source.about.pen), _(
            "Another place for that pen."
        )
    return _("{pen} stands there").format(pen=source.about.pen), _(
        "The pen is moved, as it is to be by {leaves}."
    ).format(leaves=leaves)


def _planted(source: _Source, _end: date, _waits: Waits) -> tuple[str, str]:
    crop = source.about.crop_name
    return (
        _("{crop} stands there").format(crop=crop),
        _("{crop} is cleared sooner than {end_day}.").format(
            crop=crop, end_day=day_year_words(source.end_day)
        ),
    )


def _closed(source: _Source, _end: date, _waits: Waits) -> tuple[str, str]:
    until = _("the bed is not to be had until {day}").format(day=day_year_words(source.end_day))
    return (
        f"{until}: {source.about}" if source.about else until,
        _("The bed is given back sooner."),
    )


def _resting(source: _Source, _end: date, waits: Waits) -> tuple[str, str]:
    since = day_year_words(source.first_day)
    return (
        _("it rests {rest_days} days from {since}, after {pen}").format(
            rest_days=waits.rest_days, since=since, pen=source.about.pen
        ),
        _("A rest shorter than {rest_days} days in the garden’s rules.").format(
            rest_days=waits.rest_days
        ),
    )


def _kept(source: _Source, _end: date, waits: Waits) -> tuple[str, str]:
    comes = day_year_words(source.end_day)
    return (
        _("it rests {rest_days} days before {pen} comes on {comes}").format(
            rest_days=waits.rest_days, pen=source.about.pen, comes=comes
        ),
        _("Another place for that pen, or a shorter rest in the garden’s rules."),
    )


def _held(source: _Source, end: date, waits: Waits) -> tuple[str, str]:
    crop = source.about
    safe = end - timedelta(days=1) + timedelta(days=waits.bird_days.days_for(crop.contact))
    return (
        _(
            "it is held for {crop_name}, first picked {day}: birds must be gone {days_for} days "
            "before"
        ).format(
            crop_name=crop.crop_name,
            day=day_year_words(crop.first_harvest_on),
            days_for=waits.told.days_for(crop.contact),
        ),
        _("{crop_name} is first picked on {day} or later, or another crop is grown.").format(
            crop_name=crop.crop_name, day=day_year_words(safe)
        ),
    )
