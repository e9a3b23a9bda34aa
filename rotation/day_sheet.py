"""Pens and batches on one day, and what the plan asks of them: which pen moves, which stays, what comes.

PURE. Values only; `rotation.today` fills them from rows and a template writes them. Masses are kg where
the name says so and grams otherwise, and days are whole days of the garden.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

from garden.words import gettext as _
from garden.words import ngettext
from rotation.batch_day import BatchDay
from rotation.carrying import Point, carry_m, off_bed_in_words

SAME_PLACE_MM = 5.0
"""Places on one bed that lie closer than this are the same place. Our choice."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where a pen stands or goes; without a bed it is the standing ground.

    `words` tells it from the bed's other places, empty where there are none; `centre_m` is its
    middle on the map; `is_walled` says whether the bed's walls hold a pen in.
    """

    bed_id: int | None = None
    bed_name: str = ""
    offset_mm: float = 0.0
    words: str = ""
    centre_m: Point | None = None
    is_walled: bool = False

    @property
    def key(self) -> str:
        """Return what a form sends for it."""
        return place_key(self.bed_id, self.offset_mm)

    def is_at(self, other: "Place") -> bool:
        """Say whether a pen on one of the two stands on the other."""
        near = abs(self.offset_mm - other.offset_mm) <= SAME_PLACE_MM
        return self.bed_id == other.bed_id and (self.bed_id is None or near)


def place_key(bed_id: int | None, offset_mm: float) -> str:
    """Return what a form sends for a place: the bed and the whole millimetres along it."""
    return "off" if bed_id is None else f"{bed_id}:{round(offset_mm)}"


@dataclass(frozen=True, kw_only=True)
class Standing:
    """A pen's stay that has not ended; `id` is the row's, `first_day` its first."""

    id: int
    place: Place
    first_day: date


@dataclass(frozen=True, kw_only=True)
class Planned:
    """A stay of the plan, with what speaks for its bed.

    `told_since` is the day from which the grower has been told so. `next_crop` goes in on
    `next_crop_on`; `birds_left_on` is when the last birds left the bed. `because` says how many places
    each reason shuts, for days off the beds.
    """

    place: Place
    first_day: date
    end_day: date
    told_since: date | None = None
    nitrogen_g: float = 0.0
    because: dict[str, int] = field(default_factory=dict)
    next_crop: str = ""
    next_crop_on: date | None = None
    birds_left_on: date | None = None

    @property
    def shut_in_words(self) -> str:
        """Return why no place takes the pen; empty for a stay on a bed."""
        return off_bed_in_words(self.because)


@dataclass(frozen=True, kw_only=True)
class PenDay:
    """A pen with birds, or with birds to come out to it, on a day.

    `now` and `after` are the plan's stay of the day and the one that follows; None where no plan
    covers the day. `nitrogen_g` is what its birds drop in the day.
    """

    id: int
    name: str
    batch: BatchDay
    birds: int
    feed_kg: float
    feed_tomorrow_kg: float
    nitrogen_g: float
    standing: Standing | None = None
    now: Planned | None = None
    after: Planned | None = None
    fed_today: bool = False
    crowded_on: date | None = None

    def is_unplanned(self, on: date) -> bool:
        """Say whether its birds are outdoors on a day that no plan covers."""
        return self.now is None and self.batch.leaves_brooder_on <= on != self.batch.processing_on


class MoveKind(StrEnum):
    """What a move is to the grower."""

    OUT = "out"
    MOVE = "move"
    OFF = "off"


@dataclass(frozen=True, kw_only=True)
class DueMove:
    """A pen that is to go somewhere today, or should have gone before."""

    pen: PenDay
    kind: MoveKind
    to: Planned
    due_on: date
    late_days: int
    carry_m: float | None

    @property
    def key(self) -> str:
        """Return the name under which the move is put off."""
        return move_key(self.pen.id)

    @property
    def title(self) -> str:
        """Return what to do, in a few words."""
        place = self.to.place
        if self.kind is MoveKind.OFF:
            return _("Stand {pen} off the beds").format(pen=self.pen.name)
        if self.kind is MoveKind.MOVE:
            return _("Move {pen} to {bed}").format(pen=self.pen.name, bed=place.bed_name)
        n = self.pen.birds
        said = (
            ngettext(
                "Take {n} bird out to {pen} on {bed}", "Take {n} birds out to {pen} on {bed}", n
            )
            if place.bed_id
            else taken_off_beds(n)
        )
        return said.format(n=n, pen=self.pen.name, bed=place.bed_name)

    @property
    def is_late(self) -> bool:
        """Whether it was due before today."""
        return self.late_days > 0


def taken_off_beds(birds: int) -> str:
    """Return the words for birds that come out and stand on no bed, for `n` and `pen` to be put in."""
    return ngettext(
        "Take {n} bird out to {pen}, off the beds",
        "Take {n} birds out to {pen}, off the beds",
        birds,
    )


def move_key(pen_id: int) -> str:
    """Return the name under which a pen's move is put off."""
    return f"move:{pen_id}"


@dataclass(frozen=True, kw_only=True)
class Settled:
    """A pen that stays where it is today; `until` is the day it next moves, None where not planned."""

    pen: PenDay
    standing: Standing
    day_here: int
    until: date | None
    days_left: int


def due_move(pen: PenDay, on: date) -> DueMove | None:
    """Return the move that the plan asks of a pen on a day.

    Returns
    -------
    DueMove or None
        None while its birds are in the brooder, on processing day, where no plan covers the day, and
        where it already stands as planned.
    """
    if pen.now is None or pen.batch.in_brooder(on) or pen.batch.processing_on == on:
        return None
    origin = pen.standing.place if pen.standing else None
    if origin and origin.is_at(pen.now.place):
        return None
    due_on = pen.now.told_since or pen.now.first_day
    if origin is None:
        due_on = pen.batch.leaves_brooder_on
    return DueMove(
        pen=pen,
        kind=_kind(origin, pen.now.place),
        to=pen.now,
        due_on=due_on,
        late_days=max(0, (on - due_on).days),
        carry_m=carry_m(origin.centre_m, pen.now.place.centre_m) if origin else None,
    )


def _kind(origin: Place | None, goal: Place) -> MoveKind:
    if origin is None:
        return MoveKind.OUT
    return MoveKind.OFF if goal.bed_id is None else MoveKind.MOVE


def settled(pen: PenDay, on: date) -> Settled | None:
    """Return a pen that stays today; None for one that is to move or has not come out."""
    if pen.standing is None or due_move(pen, on):
        return None
    until = pen.now.end_day if pen.now else None
    return Settled(
        pen=pen,
        standing=pen.standing,
        day_here=(on - pen.standing.first_day).days + 1,
        until=until,
        days_left=(until - on).days if until else 0,
    )


def in_order(moves: list[DueMove]) -> list[DueMove]:
    """Put the moves in the order of work: late ones first, a pen that is in another's way before it.

    Two pens that change places cannot both go first; they are left in their order.
    """
    waiting = sorted(moves, key=lambda move: (move.due_on, move.pen.name))
    done: list[DueMove] = []
    while waiting:
        free = (move for move in waiting if not _blocked(move, waiting))
        move = next(free, waiting[0])
        waiting.remove(move)
        done.append(move)
    return done


def _blocked(move: DueMove, others: list[DueMove]) -> bool:
    return any(
        other.pen.standing is not None
        and other.pen.id != move.pen.id
        and move.to.place.bed_id is not None
        and other.pen.standing.place.is_at(move.to.place)
        for other in others
    )


@dataclass(frozen=True, kw_only=True)
class Tomorrow:
    """What changes for a pen: where it goes, if anywhere, and what it eats.

    `was_out` is False where its birds leave the brooder only then.
    """

    pen: PenDay
    was_out: bool
    goes_to: Planned | None
    carry_m: float | None
    new_feed: bool


def tomorrow_of(pen: PenDay, on: date) -> Tomorrow:
    """Return what changes for a pen on the day after `on`, today's move taken as done."""
    tomorrow = on + timedelta(days=1)
    comes = pen.after if pen.after and pen.after.first_day == tomorrow else None
    here = pen.now.place if pen.now else pen.standing and pen.standing.place
    if comes and here and here.is_at(comes.place):
        comes = None
    return Tomorrow(
        pen=pen,
        was_out=pen.batch.leaves_brooder_on <= on,
        goes_to=comes,
        carry_m=carry_m(here.centre_m, comes.place.centre_m) if comes and here else None,
        new_feed=pen.batch.feed_name != pen.batch.feed_name_tomorrow,
    )
