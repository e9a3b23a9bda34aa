"""What people logged of a bed: notes, weighed harvests, and what was taken too early, in one query."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import CharField, Value

from flocks.models import Note
from garden.models import Bed, EarlyHarvest, HarvestWeight
from rotation.harvest_answers import HarvestAnswer


@dataclass(frozen=True, slots=True)
class Early:
    """A crop that was taken before it was safe."""

    id: int
    on: date
    crop: str
    why: str
    note: str
    safe_from: date


@dataclass(frozen=True, slots=True)
class Written:
    """A note about the bed."""

    on: date
    text: str


@dataclass(frozen=True, slots=True)
class Picked:
    """A harvest that was weighed."""

    on: date
    crop: str
    planting_id: int


@dataclass(frozen=True)
class BedRemarks:
    """All kinds, newest first."""

    early: tuple[Early, ...]
    notes: tuple[Written, ...]
    picked: tuple[Picked, ...]

    def unexplained(self, answers: Iterable[HarvestAnswer]) -> list[Picked]:
        """Return the harvests weighed before they were safe of which nobody said what became."""
        safe_from = {answer.planting.pk: answer.safe_from for answer in answers}
        told = {(early.crop, early.on) for early in self.early}
        return [
            picked
            for picked in self.picked
            if picked.on < (safe_from.get(picked.planting_id) or date.min)
            and (picked.crop, picked.on) not in told
        ]


def bed_remarks(bed: Bed) -> BedRemarks:
    """Return what was logged of a bed: one query."""
    nothing = Value("", output_field=CharField())
    early = EarlyHarvest.objects.filter(planting__bed=bed).order_by()
    notes = Note.objects.filter(bed=bed).order_by()
    weighed = HarvestWeight.objects.filter(bed=bed).exclude(planting=None).order_by()
    rows = early.values_list(
        _kind("early"), "pk", "on", "planting__crop__name", "why", "note", "safe_from"
    ).union(
        notes.values_list(_kind("note"), "pk", "on", "text", nothing, nothing, "on"),
        weighed.values_list(
            _kind("picked"), "planting", "on", "crop__name", nothing, nothing, "on"
        ),
        all=True,
    )
    newest_first = sorted(rows, key=lambda row: (row[2], row[1]), reverse=True)
    return BedRemarks(
        early=tuple(
            Early(pk, on, crop, EarlyHarvest.Why(why).label, note, safe_from)
            for kind, pk, on, crop, why, note, safe_from in newest_first
            if kind == "early"
        ),
        notes=tuple(Written(row[2], row[3]) for row in newest_first if row[0] == "note"),
        picked=tuple(Picked(row[2], row[3], row[1]) for row in newest_first if row[0] == "picked"),
    )


def _kind(name: str) -> Value:
    return Value(name, output_field=CharField())
