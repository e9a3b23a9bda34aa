"""Everything a day asks for in the order of doing it, with what is done, what is late and what to beware of.

PURE. `DaySheet` is the whole page as values.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Literal

from flocks.brooding import ORDER_DAYS
from garden.sun import SunDay
from garden.weather_values import Weather
from garden.words import gettext as _
from rotation.bird_counts import birds
from rotation.chores import Chore, Part, weighing_due_on
from rotation.day_parts import part_words, rank
from rotation.day_sheet import BatchDay, DueMove, PenDay, Settled, Tomorrow, due_move, in_order
from rotation.hands import NOBODY, Hands
from rotation.processing_due import ProcessingDue
from rotation.weather_cautions import Caution


@dataclass(frozen=True, kw_only=True)
class Task:
    """One thing to do: exactly one of a batch to process, a pen to move and a chore.

    `due` says which birds are to be processed. `put_off_by` is who wants it done later in the day, empty
    where nobody does; `when` is a chore's part of the day in words; `then` is the key of the task after it,
    where the work goes on.
    """

    key: str
    processing: BatchDay | None = None
    due: ProcessingDue | None = None
    move: DueMove | None = None
    chore: Chore | None = None
    late_since: date | None = None
    put_off_by: str = ""
    when: str = ""
    then: str = ""

    @property
    def kind(self) -> Literal["processing", "move", "chore"]:
        """Return which of the three it is."""
        if self.processing:
            return "processing"
        return "move" if self.move else "chore"


def tasks_of(
    on: date,
    batches: Sequence[BatchDay],
    moves: Sequence[DueMove],
    chores: Sequence[Chore],
    put_off: Mapping[str, str],
    *,
    cannot: Collection[str] = (),
    part: Part = Part.MORNING,
) -> tuple[Task, ...]:
    """Return what is left to do, in the order of doing it; what was put off comes last.

    Parameters
    ----------
    put_off : mapping of str to str
        Who put off what, by the key of the task.
    cannot : collection of str
        Keys of what is not possible today and left out.
    part : Part, default morning
        The part of the day it is.
    """
    tasks = [
        *(_processing(batch, due, on) for batch in batches if (due := batch.due_on(on))),
        *(_move(move) for move in moves),
        *(_chore(chore, on, part) for chore in chores),
    ]
    tasks = [task for task in tasks if task.key not in cannot]
    in_order = sorted(tasks, key=lambda task: (task.key in put_off, _rank(task, part)))
    following = [*(task.key for task in in_order[1:]), ""]
    return tuple(
        replace(task, put_off_by=put_off.get(task.key, ""), then=then)
        for task, then in zip(in_order, following, strict=False)
    )


def _rank(task: Task, part: Part) -> int:
    """Return how soon a task's turn comes: processing and moves at once, chores by the part of the day."""
    return rank(task.chore, part) if task.chore else 0


def _processing(batch: BatchDay, due: ProcessingDue, on: date) -> Task:
    late = due.on if due.on < on and not due.wait else None
    return Task(key=f"processing:{batch.id}", processing=batch, due=due, late_since=late)


def _move(move: DueMove) -> Task:
    return Task(key=move.key, move=move, late_since=move.due_on if move.is_late else None)


def _chore(chore: Chore, on: date, now: Part) -> Task:
    late = chore.due_on if chore.due_on and chore.due_on < on else None
    return Task(key=chore.key, chore=chore, late_since=late, when=part_words(chore, now))


def _processing_in_words(batch: BatchDay, due: ProcessingDue) -> str:
    if due.wait:
        said = _("{batch} may not be processed. {why}")
        return said.format(batch=batch.name, why=due.wait)
    is_part = due.birds < batch.birds
    if due.starts_at:
        said = (
            _("{batch}: processing day for {birds}, the first at {time}")
            if is_part
            else _("{batch}: processing day, the first at {time}")
        )
    else:
        said = _("{batch}: processing day for {birds}") if is_part else _("{batch}: processing day")
    time = f"{due.starts_at:%H:%M}" if due.starts_at else ""
    return said.format(batch=batch.name, birds=birds(due.birds), time=time)


def due_moves(on: date, pens: Sequence[PenDay]) -> list[DueMove]:
    """Return every move the plan asks for on a day, in the order of work."""
    return in_order([move for pen in pens if (move := due_move(pen, on))])


@dataclass(frozen=True, kw_only=True)
class UnsafeHarvest:
    """A crop that is ripe, or will be, before its bed may be harvested from.

    `over_before` says that the crop is cleared before that day, so that none of it may be picked.
    """

    crop: str
    bed: str
    bed_id: int
    first_harvest_on: date
    safe_on: date
    over_before: bool


@dataclass(frozen=True, kw_only=True)
class DoneThing:
    """Something done on the day: what, by whom, and when by the garden's clock.

    `chore` is the key to take a tick back with, empty where the thing was logged as a record.
    """

    words: str
    by: str
    at: datetime
    chore: str = ""


@dataclass(frozen=True, kw_only=True)
class NotPossible:
    """A task that somebody could not do today, and why; `key` is what takes it back."""

    key: str
    words: str
    reason: str
    by: str


@dataclass(frozen=True, kw_only=True)
class DaySheet:
    """A garden's day. `planned_on` is when the plan was worked out from, None where there is none.

    `sun` is None where the garden's place is not known, `weather` where nobody has birds.
    """

    on: date
    batches: tuple[BatchDay, ...]
    tasks: tuple[Task, ...]
    settled: tuple[Settled, ...]
    tomorrow: tuple[Tomorrow, ...]
    unplanned: tuple[PenDay, ...]
    crowded: tuple[PenDay, ...]
    unsafe: tuple[UnsafeHarvest, ...]
    done: tuple[DoneThing, ...]
    planned_on: date | None
    not_possible: tuple[NotPossible, ...] = ()
    part: Part = Part.MORNING
    sun: SunDay | None = None
    weather: Weather | None = None
    cautions: tuple[Caution, ...] = ()
    cautions_tomorrow: tuple[Caution, ...] = ()
    hands: Hands = NOBODY
    hands_tomorrow: Hands = NOBODY
    feeds: tuple[tuple[int, str], ...] = ()
    """Ids and names of the feeds that may be given."""

    @property
    def is_evening(self) -> bool:
        """Whether the day draws to its end and tomorrow matters next."""
        return self.part is Part.EVENING

    @property
    def dangers(self) -> list[Caution]:
        """Return the cautions that come before all work."""
        return [caution for caution in self.cautions if caution.is_danger]

    @property
    def yesterday(self) -> date:
        """Return the day before."""
        return self.on - timedelta(days=1)

    @property
    def hatched(self) -> list[BatchDay]:
        """Return the batches that have birds."""
        return [batch for batch in self.batches if batch.hatch_on <= self.on and batch.birds]

    @property
    def coming(self) -> list[str]:
        """Return what tomorrow is for whole batches, in words."""
        tomorrow = self.on + timedelta(days=1)
        return [
            *(
                _processing_in_words(batch, due)
                for batch in self.batches
                for due in batch.processings
                if due.on == tomorrow
            ),
            *(
                _("Order the chicks of {batch}, {n} of them, if they are not ordered").format(
                    batch=b.name, n=b.birds
                )
                for b in self.batches
                if b.hatch_on - timedelta(days=ORDER_DAYS) == tomorrow
            ),
            *(
                _("{batch} hatches: have the brooder warm").format(batch=b.name)
                for b in self.batches
                if b.hatch_on == tomorrow
            ),
            *(
                _("{batch}: weigh some of them, before feeding").format(batch=b.name)
                for b in self.hatched
                if weighing_due_on(b) == tomorrow < b.processing_on
            ),
        ]

    @property
    def now(self) -> Task | None:
        """Return the one thing to do now; None when everything is done."""
        return self.tasks[0] if self.tasks else None

    @property
    def later(self) -> tuple[Task, ...]:
        """Return the rest of the day."""
        return self.tasks[1:]

    @property
    def moves_left(self) -> int:
        """Return how many pens are still to move."""
        return sum(task.move is not None for task in self.tasks)

    @property
    def unplanned_names(self) -> str:
        """Return the names of the pens that no plan tells of today."""
        return ", ".join(pen.name for pen in self.unplanned)

    @property
    def has_birds_outdoors(self) -> bool:
        """Whether any birds live in a pen."""
        return any(batch.leaves_brooder_on <= self.on for batch in self.hatched)

    @property
    def has_chicks_in_brooder(self) -> bool:
        """Whether any chicks are under heat."""
        return any(batch.in_brooder(self.on) for batch in self.batches)
