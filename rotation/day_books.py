"""What the garden's books say of the days about today, read by one query, since Today may not spend five.

Medicines with a wait and what was set aside, processing days planned, who is on the rota, notes, and the
feeds that may be given.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, time
from typing import Any, NamedTuple

from django.db.models import CharField, DateField, F, IntegerField, QuerySet, TimeField, Value
from django.db.models.functions import Cast

from flocks.models import (
    Batch,
    FeedProduct,
    HandOver,
    ProcessingDay,
    Treatment,
    Turn,
    WithdrawalOverride,
)
from flocks.withdrawal import Course, courses_on, inside_in_words
from garden.models import Garden
from rotation.hands import Hands, Note
from rotation.processing_due import ProcessingDue, processings_due


class _Line(NamedTuple):
    kind: str
    id: int
    batch_id: int | None
    on: date
    until: date
    number: int
    text: str
    by: str | None
    at: time | None


@dataclass(frozen=True)
class DayBooks:
    """The lines of a garden's books about some days."""

    lines: Sequence[_Line] = field(default_factory=tuple)

    def hands(self, on: date) -> Hands:
        """Return who comes on a day, and the notes for them."""
        return Hands(
            turns=tuple(
                f"{line.by}, {Turn.Part(line.text).label.lower()}" for line in self._of("turn", on)
            ),
            notes=tuple(Note(line.text, line.by or "") for line in self._of("note", on)),
        )

    @property
    def feeds(self) -> tuple[tuple[int, str], ...]:
        """Return the ids and names of the feeds that are still bought, by name."""
        return tuple(
            sorted(
                ((line.id, line.text) for line in self.lines if line.kind == "feed"),
                key=lambda feed: feed[1].casefold(),
            )
        )

    def processings(self, batch: Batch, birds: int) -> tuple[ProcessingDue, ...]:
        """Return what of a batch is to be processed, by day; its records must be loaded."""
        planned = [
            ProcessingDue(on=line.on, birds=line.number, day_id=line.id, starts_at=line.at)
            for line in self.lines
            if line.kind == "planned" and line.batch_id == batch.pk
        ]
        return processings_due(
            birds,
            batch.processing_on,
            planned,
            done_on=max((row.on for row in batch.processing_set.all()), default=None),
            wait=lambda on: self.wait(batch.pk, on),
        )

    def wait(self, batch_id: int, on: date) -> str:
        """Return the withdrawal time that a day lies inside, in words; empty where it is free."""
        # As `flocks.withdrawal_guard` counts: what was set aside covers a medicine as it then stood.
        aside = {
            (line.id, line.until) for line in self._of("aside", on) if line.batch_id == batch_id
        }
        courses = [
            course
            for line in self.lines
            if line.kind == "medicine" and line.batch_id == batch_id
            for course in [Course(line.text, line.on, line.until, line.number)]
            if not any(pk == line.id and course.free_on <= free_on for pk, free_on in aside)
        ]
        held = courses_on(courses, on)
        return inside_in_words(held) if held else ""

    def _of(self, kind: str, on: date) -> Iterator[_Line]:
        return (line for line in self.lines if line.kind == kind and line.on == on)


def day_books(garden: Garden, first: date, last: date) -> DayBooks:
    """Read the books for the days from the first to the last; one query."""
    going = {"garden": garden, "batch__finished_on": None}
    medicines, *others = (
        _lines(Treatment.objects.filter(**going, withdrawal_days__gt=0), "medicine",
               batch="batch_id", until="last_on", number="withdrawal_days", text="name"),
        _lines(WithdrawalOverride.objects.filter(**going, treatment__isnull=False), "aside",
               pk="treatment_id", batch="batch_id", until="free_on"),
        _lines(ProcessingDay.objects.filter(**going), "planned",
               batch="batch_id", number="birds", at="starts_at"),
        _lines(Turn.objects.filter(garden=garden, on__range=(first, last)), "turn",
               text="part", by="person__username"),
        _lines(HandOver.objects.filter(garden=garden, on__range=(first, last)), "note",
               text="text", by="logged_by__username"),
        _lines(FeedProduct.objects.filter(garden=garden).in_use().annotate(
               on=Value(first, DateField())), "feed", text="name"),
    )  # fmt: skip
    return DayBooks(sorted(map(_Line._make, medicines.union(*others, all=True)), key=_order))


def _order(line: _Line) -> tuple[date, int]:
    return line.on, line.id


def _lines(
    rows: QuerySet[Any],
    kind: str,
    *,
    pk: str = "pk",
    batch: str = "",
    until: str = "on",
    number: str = "",
    text: str = "",
    by: str = "",
    at: str = "",
) -> QuerySet[Any]:
    """Return rows as lines; PostgreSQL must be told the kind of every column that the first leave empty."""
    return rows.order_by().values_list(
        Value(kind, CharField()),
        F(pk),
        F(batch) if batch else Cast(None, IntegerField()),
        F("on"),
        F(until),
        F(number) if number else Value(0, IntegerField()),
        F(text) if text else Value("", CharField()),
        F(by) if by else Cast(None, CharField()),
        F(at) if at else Cast(None, TimeField()),
    )
