"""The kinds of records a batch has: how each is called, asked for and told."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from flocks.models import Batch, FeedRecord, Loss, Note, Processing, WaterRecord, Weighing
from flocks.models.records import Record
from flocks.record_forms import (
    FeedForm,
    LossForm,
    NoteForm,
    ProcessingForm,
    RecordForm,
    WaterForm,
    WeighingForm,
)
from garden.units import BIRD_MASS, FEED_MASS, System
from garden.volumes import VOLUME


@dataclass(frozen=True)
class RecordKind:
    """One kind of record; `key` names its addresses, such as ``weighing_new``."""

    key: str
    folder: str
    noun: str
    ask: str
    """Heading of the page that logs one."""
    heading: str
    """Heading of the list."""
    model: type[Record]
    form: type[RecordForm]
    tell: Callable[[Any, System], str]
    """Writes a record in a few words, without its day and pen."""

    def rows_of(self, batch: Batch) -> list[Record]:
        """Return a batch's records of this kind, newest first, from what was prefetched."""
        rows = batch.notes if self.model is Note else getattr(batch, f"{self.model_name}_set")
        return sorted(rows.all(), key=lambda row: (row.on, row.pk), reverse=True)

    @property
    def id_name(self) -> str:
        """Return what an address calls the id of such a record."""
        return f"{self.key}_id"

    @property
    def model_name(self) -> str:
        """Return the model's name in lower case."""
        return self.model._meta.model_name

    def said(self, record: Record, system: System) -> str:
        """Write a record with its pen and batch, for the undo bar."""
        pen = getattr(record, "pen", None)
        where = f"{record.batch}, {pen}" if pen else str(record.batch)
        return f"{self.tell(record, system)}, {where}"


def _birds(count: int) -> str:
    return "1 bird" if count == 1 else f"{count} birds"


def _weighing(row: Weighing, system: System) -> str:
    which = f" ({row.get_sex_display().lower()})" if row.sex else ""
    return f"{_birds(row.count)}{which}, {BIRD_MASS.show(row.mean_g, system)}"


def _feed(row: FeedRecord, system: System) -> str:
    return f"{FEED_MASS.show(row.mass_kg, system)} of {row.product or 'feed'}"


def _water(row: WaterRecord, system: System) -> str:
    return f"{VOLUME.show(row.litres, system)} of water"


def _loss(row: Loss, _: System) -> str:
    cause = "" if row.cause == Loss.Cause.UNKNOWN else f", {row.get_cause_display().lower()}"
    return f"{_birds(row.count)} lost{cause}"


def _processing(row: Processing, system: System) -> str:
    parts = [f"{_birds(row.count)} processed{', the heaviest' if row.heaviest else ''}"]
    if row.live_mean_g:
        parts.append(f"{BIRD_MASS.show(row.live_mean_g, system)} live")
    if row.dressed_kg:
        parts.append(f"{FEED_MASS.show(row.dressed_kg, system)} dressed in all")
    if row.condemned:
        parts.append(f"{row.condemned} not fit to eat")
    return ", ".join(parts)


def _note(row: Note, _: System) -> str:
    return row.text


WEIGHING = RecordKind(
    "weighing",
    "weighings",
    "weighing",
    "Log a weighing",
    "Weighings",
    Weighing,
    WeighingForm,
    _weighing,
)
FEED = RecordKind("feed", "feed", "feed", "Log feed", "Feed given", FeedRecord, FeedForm, _feed)
WATER = RecordKind(
    "water", "water", "water", "Log water", "Water given", WaterRecord, WaterForm, _water
)
LOSS = RecordKind("loss", "losses", "loss", "Log a loss", "Losses", Loss, LossForm, _loss)
PROCESSING = RecordKind(
    "processing",
    "processings",
    "processing",
    "Log processing",
    "Processing",
    Processing,
    ProcessingForm,
    _processing,
)
NOTE = RecordKind("note", "notes", "note", "Write a note", "Notes", Note, NoteForm, _note)
KINDS = (WEIGHING, FEED, WATER, LOSS, PROCESSING, NOTE)
"""All kinds, in the order of the batch page."""
