"""One planned stay taken in hand: what it is part of, where it could go, and what it could change with."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from garden.models import Bed, Garden
from garden.words import gettext as _
from rotation.carrying import place_in_words
from rotation.day_sheet import place_key
from rotation.edits import ONE_DAY, Fault, Wanted, span_words
from rotation.facts import GardenFacts, PenRun, facts_of, stretch_of
from rotation.ground import Stretch, stretches
from rotation.judging import Verdict, judged
from rotation.models import PinnedStay, Plan, PlannedStay
from rotation.planning import current_plan
from rotation.spans import pin_of


@dataclass(frozen=True)
class Place:
    """One place for a pen on a bed."""

    key: str
    bed: Bed
    stretch: Stretch
    number: int
    of: int

    @property
    def name(self) -> str:
        """The bed and which of its places."""
        return f"{self.bed.name}, {self.words}" if self.words else self.bed.name

    @property
    def words(self) -> str:
        """Which of the bed's places; empty where it has one only."""
        return (
            _("place {number} of {of}").format(number=self.number, of=self.of)
            if self.of > 1
            else ""
        )

    @property
    def mark(self) -> str:
        """The same as the board writes it."""
        return (
            _("place {number}/{of}").format(number=self.number, of=self.of) if self.of > 1 else ""
        )


def places_of(facts: GardenFacts, run: PenRun) -> dict[str, Place]:
    """Return every place that a pen finds in the garden, by its key in forms, in the beds' order."""
    found = {}
    for known in facts.beds.values():
        here = stretches(known.bed, run.pen, facts.garden)
        for number, stretch in enumerate(here, 1):
            key = place_key(known.bed.pk, stretch.offset_mm)
            found[key] = Place(key, known.bed, stretch, number, len(here))
    return found


def here_too(
    places: dict[str, Place], facts: GardenFacts, stay: PlannedStay | PinnedStay
) -> dict[str, Place]:
    """Return places with that of a stay among them: a bed measured anew may have moved them from under it."""
    key = place_key(stay.bed_id, stay.offset_mm)
    if stay.bed_id not in facts.beds or key in places:
        return places
    return places | {key: Place(key, facts.beds[stay.bed_id].bed, stretch_of(stay), 0, 0)}


@dataclass(frozen=True)
class Hand:
    """A pen's stay, planned or fixed, in hand, with the plan around it.

    `was` is the planned stay or the days off the beds that it comes from, None for a pin that no plan could
    keep; `pin` is what was fixed before.
    """

    facts: GardenFacts
    plan: Plan
    stays: tuple[PlannedStay, ...]
    run: PenRun
    was: PlannedStay | None
    pin: PinnedStay | None

    @property
    def garden(self) -> Garden:
        """Whose garden it is."""
        return self.facts.garden

    @property
    def places(self) -> dict[str, Place]:
        """Where it could go, and where it is if that is no longer one of the bed's places."""
        return here_too(places_of(self.facts, self.run), self.facts, self.row)

    @property
    def row(self) -> PlannedStay | PinnedStay:
        """The stay as it is."""
        return self.was or self.pin

    @property
    def first_day(self) -> date:
        """Its first day that is not past."""
        return max(self.row.first_day, self.facts.on, self.run.first_day)

    @property
    def days(self) -> int:
        """How many days of it are ahead."""
        return max(1, (min(self.row.end_day, self.run.end_day) - self.first_day).days)

    @property
    def key(self) -> str:
        """Its place's key in forms; ``off`` where it stands off the beds."""
        return place_key(self.row.bed_id, self.row.offset_mm)

    @property
    def words(self) -> str:
        """Say where the pen is and when."""
        place = self.places.get(self.key)
        where = place.name if place else str(self.row.bed or _("off the beds"))
        return f"{where}, {span_words(self.first_day, self.first_day + self.days * ONE_DAY)}"

    def wanted(self, place: Stretch, first_day: date, days: int) -> Wanted:
        """Return the stay as the grower wants it."""
        end_day = first_day + timedelta(days=days)
        return Wanted(self.run, place, first_day, end_day, self.was, self.pin)

    def judged(self, *wanted: Wanted) -> Verdict:
        """Judge the plan with it as it is wanted."""
        return judged(self.facts, self.stays, wanted)


def stay_in_hand(garden: Garden, on: date, planned_id: int) -> Hand | None:
    """Take a planned stay in hand, also one of an older plan that the newest has too.

    None where there is no such stay, it is over, or the newest plan has it otherwise.
    """
    plan = current_plan(garden)
    asked = PlannedStay.objects.filter(plan__garden=garden, pk=planned_id).first()
    if plan is None or asked is None:
        return None
    stays = tuple(plan.stays.all())
    was = next((stay for stay in stays if stay.pk == asked.pk or _is_same(stay, asked)), None)
    return was and _hand(facts_of(garden, on), plan, stays, was)


def _is_same(stay: PlannedStay, other: PlannedStay) -> bool:
    def what(row: PlannedStay) -> tuple[object, ...]:
        return row.batch_id, row.pen_id, row.place, row.end_day

    return what(stay) == what(other)


def _hand(
    facts: GardenFacts, plan: Plan, stays: tuple[PlannedStay, ...], was: PlannedStay
) -> Hand | None:
    run = _run_of(facts, was)
    return run and Hand(facts, plan, stays, run, was, pin_of(was, facts.pins))


def _run_of(facts: GardenFacts, stay: PlannedStay | PinnedStay) -> PenRun | None:
    return next(
        (
            run
            for run in facts.runs
            if (run.batch.pk, run.pen.pk) == (stay.batch_id, stay.pen_id)
            and stay.end_day > facts.on
            and stay.end_day > run.first_day
            and stay.first_day < run.end_day
        ),
        None,
    )


def pin_in_hand(garden: Garden, on: date, pin: PinnedStay) -> Hand | None:
    """Take in hand what was fixed, whether or not the newest plan has it; None where it is spent."""
    plan, facts = current_plan(garden), facts_of(garden, on)
    live = next((known for known in facts.pins if known.pk == pin.pk), None)
    run = _run_of(facts, pin)
    if plan is None or live is None or run is None:
        return None
    stays = tuple(plan.stays.all())
    was = next((stay for stay in stays if stay.end_day > on and pin_of(stay, [pin])), None)
    return Hand(facts, plan, stays, run, was, live)


def partners(hand: Hand) -> list[PlannedStay]:
    """Return the stays of other pens on the same days, with which the one in hand could change places."""
    if hand.was is None or hand.was.bed_id is None:
        return []
    end_day = hand.first_day + hand.days * ONE_DAY
    return [
        stay
        for stay in hand.stays
        if stay.bed_id in hand.facts.beds
        and (stay.batch_id, stay.pen_id) != (hand.was.batch_id, hand.was.pen_id)
        and max(stay.first_day, hand.facts.on) < end_day
        and hand.first_day < stay.end_day
        and _run_of(hand.facts, stay)
    ]


def swapped(hand: Hand, other: PlannedStay) -> tuple[Wanted, ...] | Fault:
    """Return both stays with their places changed, each on its own days; a fault where a pen does not fit."""
    theirs = _hand(hand.facts, hand.plan, hand.stays, other)
    wanted = []
    for mine, row in ((hand, other), (theirs, hand.row)):
        place = _likest(mine, row)
        if place is None:
            return Fault(
                "stay",
                _("{pen} does not fit on {bed}.").format(pen=mine.run.pen.name, bed=row.bed.name),
            )
        wanted.append(mine.wanted(place, mine.first_day, mine.days))
    return tuple(wanted)


def _likest(hand: Hand, row: PlannedStay | PinnedStay) -> Stretch | None:
    """Return the pen's place that shares most ground with where another pen would stand."""
    there = Stretch(row.bed_id, row.offset_mm, row.stretch_mm)
    here: Sequence[Stretch] = [
        place.stretch for place in hand.places.values() if place.bed.pk == row.bed_id
    ]
    return max(here, key=there.shared_mm, default=None)


def place_words(hand: Hand, place: Place) -> str:
    """Say a place in a list of choices, with the end of the bed from which places are counted."""
    offsets = [p.stretch.offset_mm for p in hand.places.values() if p.bed.pk == place.bed.pk]
    where = place_in_words(place.stretch.offset_mm, offsets, lies_across=place.bed.lies_across)
    return f"{place.bed.name}, {where}" if where else place.bed.name
