"""The kinds of records a batch has: how each is called, asked for and told."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from flocks.departure_forms import LossForm, ProcessingForm
from flocks.models import Batch, FeedRecord, Loss, Note, Processing, WaterRecord, Weighing
from flocks.models.records import Record
from flocks.record_forms import (
    FeedForm,
    NoteForm,
    RecordForm,
    WaterForm,
    WeighingForm,
)
from garden.units import BIRD_MASS, FEED_MASS, System
from garden.volumes import VOLUME
from garden.words import gettext as _
from garden.words import mark, ngettext


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


def _weighing(row: Weighing, system: System) -> str:
    mean = BIRD_MASS.show(row.mean_g, system)
    if row.sex:
        told = ngettext("{n} bird ({which}), {weight}", "{n} birds ({which}), {weight}", row.count)
        return told.format(n=row.count, which=row.get_sex_display().lower(), weight=mean)
    told = ngettext("{n} bird, {weight}", "{n} birds, {weight}", row.count)
    return told.format(n=row.count, weight=mean)


def _feed(row: FeedRecord, system: System) -> str:
    mass = FEED_MASS.show(row.mass_kg, system)
    if row.product is None:
        return _("{mass} of feed").format(mass=mass)
    return _("{mass} of {feed}").format(mass=mass, feed=row.product)


def _water(row: WaterRecord, system: System) -> str:
    return _("{water} of water").format(water=VOLUME.show(row.litres, system))


def _loss(row: Loss, _system: System) -> str:
    if row.cause == Loss.Cause.UNKNOWN:
        return ngettext("{n} bird lost", "{n} birds lost", row.count).format(n=row.count)
    told = ngettext("{n} bird lost, {cause}", "{n} birds lost, {cause}", row.count)
    return told.format(n=row.count, cause=row.get_cause_display().lower())


def _processing(row: Processing, system: System) -> str:
    if row.heaviest:
        told = ngettext(
            "{n} bird processed, the heaviest", "{n} birds processed, the heaviest", row.count
        )
    else:
        told = ngettext("{n} bird processed", "{n} birds processed", row.count)
    parts = [told.format(n=row.count)]
    if row.live_mean_g:
        parts.append(_("{weight} live").format(weight=BIRD_MASS.show(row.live_mean_g, system)))
    if row.dressed_kg:
        parts.append(_("{mass} dressed in all").format(mass=FEED_MASS.show(row.dressed_kg, system)))
    if row.condemned:
        parts.append(_("{condemned} not fit to eat").format(condemned=row.condemned))
    return ", ".join(parts)


def _note(row: Note, _system: System) -> str:
    return row.text


WEIGHING = RecordKind(
    "weighing",
    "weighings",
    mark("weighing"),
    mark("Log a weighing"),
    mark("Weighings"),
    Weighing,
    WeighingForm,
    _weighing,
)
FEED = RecordKind(
    "feed", "feed", mark("feed"), mark("Log feed"), mark("Feed given"), FeedRecord, FeedForm, _feed
)
WATER = RecordKind(
    "water",
    "water",
    mark("water"),
    mark("Log water"),
    mark("Water given"),
    WaterRecord,
    WaterForm,
    _water,
)
LOSS = RecordKind(
    "loss", "losses", mark("loss"), mark("Log a loss"), mark("Losses"), Loss, LossForm, _loss
)
PROCESSING = RecordKind(
    "processing",
    "processings",
    mark("processing"),
    mark("Log processing"),
    mark("Processing"),
    Processing,
    ProcessingForm,
    _processing,
)
NOTE = RecordKind(
    "note", "notes", mark("note"), mark("Write a note"), mark("Notes"), Note, NoteForm, _note
)
KINDS = (WEIGHING, FEED, WATER, LOSS, PROCESSING, NOTE)
"""All kinds, in the order of the batch page."""
