"""A planned stay as the grower wants it, and how the pen's other stays give way or close up.

The one rule: the stays beside it keep their places, are cut where it needs their days, and are lengthened over
days that fall free as far as the rules let them. What is still free is days off the beds, until the grower has
the rest planned anew. What the grower has locked neither gives way nor closes up.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from garden.day_words import day_words
from garden.words import gettext as _
from rotation.facts import GardenFacts, PenRun
from rotation.models import PinnedStay, PlannedStay
from rotation.spans import pin_of
from rotation.stretches import Stretch

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Fault:
    """Why a plan cannot be so: the rule, as the engine calls it or ``first_day`` or ``locked``, and words."""

    rule: str
    words: str


@dataclass(frozen=True)
class Wanted:
    """A stay as the grower wants it.

    `was` is the planned stay, or days off the beds, that it comes from, and `pin` what was fixed before;
    None where there is none.
    """

    run: PenRun
    place: Stretch
    first_day: date
    end_day: date
    was: PlannedStay | None = None
    pin: PinnedStay | None = None

    def row(self) -> PlannedStay:
        """Return it as an unsaved planned stay."""
        return PlannedStay(
            pen=self.run.pen,
            batch=self.run.batch,
            bed_id=self.place.bed_id,
            offset_mm=self.place.offset_mm,
            stretch_mm=self.place.length_mm,
            first_day=self.first_day,
            end_day=self.end_day,
        )

    def as_pin(self) -> PinnedStay:
        """Return it as an unsaved stay that is fixed."""
        return PinnedStay(**self.row().ground, first_day=self.first_day, end_day=self.end_day)

    def owns(self, stay: PlannedStay | PinnedStay) -> bool:
        """Say whether a stay is of the same pen and birds."""
        return (stay.batch_id, stay.pen_id) == (self.run.batch.pk, self.run.pen.pk)

    def replaces(self, stay: PlannedStay) -> bool:
        """Say whether it is this stay that is changed."""
        return (
            self.was is not None
            and self.owns(stay)
            and stay.place == self.was.place
            and stay.end_day == self.was.end_day
        )

    def overlaps(self, stay: PlannedStay | PinnedStay) -> bool:
        """Say whether both need the pen on one day."""
        return stay.first_day < self.end_day and self.first_day < stay.end_day


def day_faults(wanted: Wanted, facts: GardenFacts) -> Iterator[Fault]:
    """Yield what speaks against the days by themselves: the past, the birds' own days, what is locked."""
    run, pen = wanted.run, wanted.run.pen.name
    if wanted.first_day < facts.on:
        yield Fault(
            "first_day", _("{first_day} has passed.").format(first_day=day_words(wanted.first_day))
        )
    elif wanted.first_day < run.first_day:
        comes = day_words(run.first_day)
        yield Fault(
            "first_day",
            _("The birds of {pen} come out of the brooder on {comes}.").format(
                pen=pen, comes=comes
            ),
        )
    if wanted.end_day > run.end_day:
        last = day_words(run.end_day - ONE_DAY)
        yield Fault(
            "days", _("The last day with birds in {pen} is {last}.").format(pen=pen, last=last)
        )
    for pin in facts.pins:
        if wanted.owns(pin) and pin != wanted.pin and wanted.overlaps(pin):
            bed, days = facts.beds[pin.bed_id].bed.name, span_words(pin.first_day, pin.end_day)
            yield Fault(
                "locked",
                _("{pen} is locked to {bed}, {days}. Unlock that first.").format(
                    pen=pen, bed=bed, days=days
                ),
            )


def span_words(first_day: date, end_day: date) -> str:
    """Write half-open days: ``Mon 15 June to Wed 17 June``."""
    last = end_day - ONE_DAY
    return (
        day_words(first_day)
        if last <= first_day
        else _("{first_day} to {last}").format(first_day=day_words(first_day), last=day_words(last))
    )


def ahead(stay: PlannedStay, on: date) -> PlannedStay | None:
    """Return what a stay on a bed has from a day on; None where that is nothing."""
    if stay.bed_id is None or stay.end_day <= on:
        return None
    return with_days(stay, max(stay.first_day, on), stay.end_day)


def with_days(stay: PlannedStay, first_day: date, end_day: date) -> PlannedStay:
    """Return an unsaved copy of a stay on other days."""
    return PlannedStay(**stay.ground, first_day=first_day, end_day=end_day)


def give_way(
    stays: Iterable[PlannedStay], wanted: Sequence[Wanted], *, shortest_days: int
) -> list[PlannedStay]:
    """Return a plan's stays with the wanted ones among them, those beside them cut.

    Of a stay on both sides of a wanted one the days before it are left, because its place must rest then. A
    stay cut to fewer days than the shortest is left out.
    """
    kept = [stay for stay in stays if not any(wish.replaces(stay) for wish in wanted)]
    for wish in wanted:
        kept = [part for stay in kept for part in _beside(stay, wish, shortest_days)]
    return [*kept, *(wish.row() for wish in wanted)]


def _beside(stay: PlannedStay, wish: Wanted, shortest_days: int) -> Iterator[PlannedStay]:
    if not (wish.owns(stay) and wish.overlaps(stay)):
        yield stay
        return
    is_before = stay.first_day < wish.first_day
    first_day = stay.first_day if is_before else wish.end_day
    end_day = wish.first_day if is_before else stay.end_day
    if (end_day - first_day).days >= shortest_days:
        yield with_days(stay, first_day, end_day)


def close_up(
    stays: Sequence[PlannedStay],
    wish: Wanted,
    *,
    before: Sequence[PlannedStay],
    pins: Iterable[PinnedStay],
    is_lawful: Callable[[Sequence[PlannedStay]], bool],
) -> list[PlannedStay]:
    """Return stays with those of a pen lengthened, day by day, over days that have fallen free.

    Parameters
    ----------
    stays : sequence of PlannedStay
        As `give_way` leaves them.
    wish : Wanted
        Whose pen it is; its own row stays as it was wanted.
    before : sequence of PlannedStay
        The stays before the change.
    pins : iterable of PinnedStay
        What must stay as it is.
    is_lawful : callable
        Whether a plan breaks no rule that it did not break before.
    """
    pins, now = list(pins), list(stays)
    free = sorted(_days(before, wish) - _days(now, wish))
    # The stay before takes what it can of the first free days, the stay after of the last.
    for days, is_before in ((free, True), (list(reversed(free)), False)):
        for day in days:
            longer = _lengthened(now, wish, day, is_before=is_before, pins=pins)
            if longer and is_lawful(longer):
                now = longer
    return now


def _days(stays: Iterable[PlannedStay], wish: Wanted) -> set[date]:
    return {
        stay.first_day + number * ONE_DAY
        for stay in stays
        if wish.owns(stay)
        for number in range((stay.end_day - stay.first_day).days)
    }


def _lengthened(
    stays: Sequence[PlannedStay],
    wish: Wanted,
    day: date,
    *,
    is_before: bool,
    pins: Sequence[PinnedStay],
) -> list[PlannedStay] | None:
    """Return stays with the one that ends before a free day, or begins after it, having it too."""
    if day in _days(stays, wish):
        return None
    edge = day if is_before else day + ONE_DAY
    for index, stay in enumerate(stays):
        touches = (stay.end_day if is_before else stay.first_day) == edge
        if touches and wish.owns(stay) and not _is_wish(stay, wish) and not pin_of(stay, pins):
            first_day = stay.first_day if is_before else day
            end_day = day + ONE_DAY if is_before else stay.end_day
            return [*stays[:index], with_days(stay, first_day, end_day), *stays[index + 1 :]]
    return None


def _is_wish(stay: PlannedStay, wish: Wanted) -> bool:
    return (stay.place, stay.first_day, stay.end_day) == (
        wish.row().place,
        wish.first_day,
        wish.end_day,
    )
