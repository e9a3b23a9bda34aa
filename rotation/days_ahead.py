"""What the next days ask for, one by one, as far as it is known today: for calendar, sheets and letter.

Today's page tells what is done and late; this tells what will be, as if every day went as planned.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta

from flocks.batch_forecast import BatchForecast
from flocks.brooding import ORDER_DAYS
from flocks.feed import phase_on
from flocks.forecasting import diet_of, forecast_of
from flocks.headcount import birds_alive, birds_by_pen
from flocks.models import Batch, BatchPen
from garden.models import Garden
from garden.words import gettext as _
from garden.words import ngettext
from pens.models import Pen
from rotation.batch_log import load_log
from rotation.bed_records import GardenRecords, ground_records
from rotation.carrying import carry_m
from rotation.chores import FIRST_WEIGHING_DAYS, WEIGH_BIRDS, WEIGH_EVERY_DAYS
from rotation.day_books import DayBooks, day_books
from rotation.day_sheet import Place, taken_off_beds
from rotation.hands import NOBODY, Hands
from rotation.harvest_answers import harvest_answers
from rotation.processing_due import ProcessingDue
from rotation.today import as_weighed, place_of


@dataclass(frozen=True, kw_only=True)
class MoveAhead:
    """A pen that goes to another place; `origin` is None where its birds come from the brooder."""

    batch_id: int
    batch: str
    pen_id: int
    pen: str
    birds: int
    origin: Place | None
    goal: Place
    carry_m: float | None

    @property
    def title(self) -> str:
        """Return what to do, in a few words."""
        on_bed = bool(self.goal.bed_id)
        if self.origin is not None:
            said = _("Move {pen} to {bed}") if on_bed else _("Move {pen} off the beds")
        elif on_bed:
            said = ngettext(
                "Take {n} bird out to {pen}, on {bed}",
                "Take {n} birds out to {pen}, on {bed}",
                self.birds,
            )
        else:
            said = taken_off_beds(self.birds)
        return said.format(n=self.birds, pen=self.pen, bed=self.goal.bed_name)


@dataclass(frozen=True, kw_only=True)
class FeedAhead:
    """What one pen, or the chicks in a brooder, are to eat on a day [kg]; `is_new` for another feed."""

    batch_id: int
    pen_id: int | None
    who: str
    birds: int
    mass_kg: float
    feed: str
    is_new: bool


@dataclass(frozen=True, kw_only=True)
class BatchAhead:
    """A batch to weigh, to process, to take the feed from or that hatches; `birds` are those meant.

    `due` is what of it is to be processed.
    """

    id: int
    name: str
    birds: int
    due: ProcessingDue | None = None

    @property
    def wait(self) -> str:
        """Return why it may not be processed then; empty where it may."""
        return self.due.wait if self.due else ""


@dataclass(frozen=True, kw_only=True)
class SafeAhead:
    """A crop that may be picked from the day on, both ripe and past the wait."""

    planting_id: int
    crop: str
    bed_id: int
    bed: str


@dataclass(kw_only=True)
class DayAhead:
    """One day to come."""

    on: date
    moves: list[MoveAhead] = field(default_factory=list)
    feeds: list[FeedAhead] = field(default_factory=list)
    weighings: list[BatchAhead] = field(default_factory=list)
    orders: list[BatchAhead] = field(default_factory=list)
    """Batches whose chicks are to be ordered by this day."""
    hatching: list[BatchAhead] = field(default_factory=list)
    processing: list[BatchAhead] = field(default_factory=list)
    withdrawals: list[BatchAhead] = field(default_factory=list)
    safe: list[SafeAhead] = field(default_factory=list)
    hands: Hands = NOBODY
    unplanned: list[str] = field(default_factory=list)
    """Pens with birds outdoors for which no plan says where they stand."""

    @property
    def is_empty(self) -> bool:
        """Whether nothing is asked for."""
        return not any(
            (
                self.moves, self.feeds, self.weighings, self.hatching, self.processing, self.safe, self.orders,
                self.hands.turns, self.hands.notes,
            )
        )  # fmt: skip


def days_ahead(garden: Garden, first_day: date, count: int, *, today: date) -> list[DayAhead]:
    """Return `count` days from `first_day`, told from what is known on `today`; nine queries."""
    records = ground_records(garden, today)
    shares = BatchPen.objects.select_related("pen")
    batches = list(garden.batches.unfinished().order_by("hatch_on", "pk"))
    _give(batches, shares, garden)
    last_day = first_day + timedelta(days=count - 1)
    books = day_books(garden, first_day, last_day)
    days = [
        DayAhead(on=on, hands=books.hands(on))
        for on in (first_day + timedelta(days=n) for n in range(count))
    ]
    by_day = {day.on: day for day in days}
    for batch in batches:
        forecast = forecast_of(batch, today)
        _feeding(batch, forecast, days, garden, today)
        _weighing(batch, by_day, today)
        _stations(batch, books, by_day, today)
        for share in batch.shares.all():
            _moves(batch, share.pen, records, by_day, today)
    _safe(records, by_day)
    return days


def _give(batches: list[Batch], shares: Iterable[BatchPen], garden: Garden) -> None:
    """Give the batches their pens and records, and spare a query for each one's garden."""
    by_batch: dict[int, list[BatchPen]] = {batch.pk: [] for batch in batches}
    for share in shares.filter(batch__in=batches) if batches else ():
        by_batch[share.batch_id].append(share)
    for batch in batches:
        batch.garden = garden
        batch._prefetched_objects_cache = {"shares": by_batch[batch.pk]}
    if batches:
        load_log(batches)


def _feeding(
    batch: Batch, forecast: BatchForecast, days: Iterable[DayAhead], garden: Garden, today: date
) -> None:
    diet, alive = diet_of(batch.strain), birds_alive(batch, today)
    by_pen = birds_by_pen(batch, today)
    for day in days:
        if not batch.hatch_on <= day.on < batch.processing_on or not alive:
            continue
        age = batch.age_days(day.on)
        feed = phase_on(diet, age).name
        common = {
            "batch_id": batch.pk,
            "feed": _(feed),
            "is_new": age > 0 and phase_on(diet, age - 1).name != feed,
        }
        if day.on < batch.leaves_brooder_on:
            mass_kg = as_weighed(forecast.feed_kg(alive, day.on), garden)
            who = _("chicks of {batch}").format(batch=batch.name)
            told = FeedAhead(pen_id=None, who=who, birds=alive, mass_kg=mass_kg, **common)
            day.feeds.append(told)
            continue
        for share in batch.shares.all():
            birds = by_pen.get(share.pen_id, 0)
            if birds:
                mass_kg = as_weighed(forecast.feed_kg(birds, day.on), garden)
                told = {"pen_id": share.pen_id, "who": share.pen.name, "birds": birds}
                day.feeds.append(FeedAhead(mass_kg=mass_kg, **told, **common))


def _weighing(batch: Batch, by_day: dict[date, DayAhead], today: date) -> None:
    birds = birds_alive(batch, today)
    if not by_day or not birds:
        return
    last = max((row.on for row in batch.weighing_set.all() if row.on <= today), default=None)
    due_on = (
        last + timedelta(days=WEIGH_EVERY_DAYS)
        if last
        else batch.hatch_on + timedelta(days=FIRST_WEIGHING_DAYS)
    )
    due_on = max(due_on, today)
    while due_on < batch.processing_on and due_on <= max(by_day):
        if due_on in by_day:
            told = BatchAhead(id=batch.pk, name=batch.name, birds=min(WEIGH_BIRDS, birds))
            by_day[due_on].weighings.append(told)
        due_on += timedelta(days=WEIGH_EVERY_DAYS)


def _stations(batch: Batch, books: DayBooks, by_day: dict[date, DayAhead], today: date) -> None:
    """Put hatching, processing and the evening before it where they belong."""
    birds = birds_alive(batch, today)
    if not birds:
        return
    whole = BatchAhead(id=batch.pk, name=batch.name, birds=birds)
    if day := by_day.get(batch.hatch_on - timedelta(days=ORDER_DAYS)):
        day.orders.append(whole)
    if day := by_day.get(batch.hatch_on):
        day.hatching.append(whole)
    for due in books.processings(batch, birds):
        told = BatchAhead(id=batch.pk, name=batch.name, birds=due.birds, due=due)
        if day := by_day.get(due.on):
            day.processing.append(told)
        if (day := by_day.get(due.on - timedelta(days=1))) and not due.wait:
            day.withdrawals.append(told)


def _moves(
    batch: Batch, pen: Pen, records: GardenRecords, by_day: dict[date, DayAhead], today: date
) -> None:
    garden, birds = records.garden, birds_by_pen(batch, today).get(pen.pk, 0)
    if not birds:
        return
    mine = [
        [row for row in rows if (row.pen_id, row.batch_id) == (pen.pk, batch.pk)]
        for rows in (records.standing, records.planned)
    ]
    standing, planned = mine
    here = place_of(garden, standing[0]) if standing else None
    for stay in sorted(planned, key=lambda stay: stay.first_day):
        goal, on = place_of(garden, stay), max(stay.first_day, today, batch.leaves_brooder_on)
        if on >= stay.end_day or (here and here.is_at(goal)):
            continue
        if on in by_day and on != batch.processing_on:
            move = MoveAhead(
                batch_id=batch.pk,
                batch=batch.name,
                pen_id=pen.pk,
                pen=pen.name,
                birds=birds,
                origin=here,
                goal=goal,
                carry_m=carry_m(here.centre_m, goal.centre_m) if here else None,
            )
            by_day[on].moves.append(move)
        here = goal
    covered = [(stay.first_day, stay.end_day) for stay in planned]
    for on, day in by_day.items():
        is_out = batch.leaves_brooder_on <= on < batch.processing_on
        if is_out and not any(first <= on < end for first, end in covered):
            day.unplanned.append(pen.name)


def _safe(records: GardenRecords, by_day: dict[date, DayAhead]) -> None:
    for record in records.beds:
        plantings = record.bed.plantings.all()
        answers = harvest_answers(plantings, record.fouled, records.garden, records.on)
        for answer in answers:
            on = answer.picked_from
            # Where the wait was over before the crop was planted, no bird has a word in it.
            if on in by_day and answer.safe_from and not answer.is_over_before_planting:
                by_day[on].safe.append(
                    SafeAhead(
                        planting_id=answer.planting.pk,
                        crop=answer.planting.crop.name,
                        bed_id=record.bed.pk,
                        bed=record.bed.name,
                    )
                )
