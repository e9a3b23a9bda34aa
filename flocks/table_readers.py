"""Tables of feed given to a batch, and of batches of past years."""

from datetime import date, timedelta
from typing import Any

from django.contrib.auth.models import AbstractBaseUser

from flocks.forms import strain_choices
from flocks.loading import batch_for
from flocks.models import Batch, FeedRecord, Loss, Processing
from flocks.past_batch_form import PastBatchForm
from flocks.record_forms import FeedForm
from flocks.strains import built_in_strains
from garden.day_words import day_year_words
from garden.models import Garden
from garden.table_forms import RowReader
from garden.tables import Column
from garden.undo import Recorder
from garden.units import BIRD_MASS, FEED_MASS
from garden.words import gettext as _
from garden.words import mark

FEED_NOUNS = {"", "feed"}
"""What the column “record” of a batch's own export says of feed."""


class FeedReader(RowReader):
    """Feed given to one batch, by day or by the age of the birds."""

    columns = (
        Column("on", ("day", "date", "on")),
        Column("age", ("age", "age_days", "day of age")),
        Column(
            "mass_kg", ("feed", "feed_kg", "mass_kg", "kg", "amount"),
            {"feed_kg": "kg", "mass_kg": "kg", "kg": "kg"}, required=True,
        ),
        Column("pen", ("pen",)),
        Column("record", ("record", "kind")),
    )  # fmt: skip
    headings = (mark("Day"), mark("Feed"), mark("Pen"))
    noun, plural = mark("feed record"), mark("feed records")

    def __init__(self, garden: Garden, batch_id: int) -> None:
        super().__init__(garden)
        self.batch = batch_for(garden, batch_id)
        self._pens = {share.pen.name.lower(): share.pen_id for share in self.batch.shares.all()}

    def form(self, values: dict[str, str]) -> FeedForm | None:
        """Return the form of feed given; rows of other records, as in a batch's export, give nothing."""
        if values["record"].lower() not in FEED_NOUNS:
            return None
        pen, told = values["pen"].lower(), values | {"on": self._day(values), "pen": ""}
        if pen and pen not in self._pens:
            raise ValueError(
                _("{batch} has no pen called “{pen}”.").format(
                    batch=self.batch, pen=values["pen"][:40]
                )
            )
        if pen and len(self._pens) > 1:
            told["pen"] = str(self._pens[pen])
        return FeedForm(told, batch=self.batch)

    def _day(self, values: dict[str, str]) -> str:
        age = values["age"]
        if values["on"]:
            return values["on"]
        if not age.isdecimal() or len(age) > 3:
            raise ValueError(_("A day, or an age in whole days, is missing."))
        return (self.batch.hatch_on + timedelta(days=int(age))).isoformat()

    def key(self, form: FeedForm) -> tuple[date, int | None, int]:
        """Return the day, the pen and the mass to 10 g."""
        values = form.cleaned_data
        pen = values.get("pen")
        return values["on"], pen.pk if pen else None, round(100 * values["mass_kg"])

    def keys_there(self) -> set[Any]:
        """Return those of the batch's feed records."""
        rows = FeedRecord.objects.filter(batch=self.batch)
        return {(row.on, row.pen_id, round(100 * row.mass_kg)) for row in rows}

    def cells(self, form: FeedForm) -> list[str]:
        """Return day, mass and pen."""
        values = form.cleaned_data
        mass = FEED_MASS.show(values["mass_kg"], self.garden.unit_system)
        return [day_year_words(values["on"]), mass, str(values.get("pen") or _("All of the batch"))]

    def save(self, form: FeedForm, user: AbstractBaseUser, step: Recorder) -> None:
        """Save a feed record."""
        record = form.save(commit=False)
        record.logged_by = user
        record.save()
        step.made(record)


class PastBatchReader(RowReader):
    """Batches that are over: birds, days and what they came to, for comparison with the next ones."""

    columns = (
        Column("name", ("name", "batch"), required=True),
        Column("hatch_on", ("hatched", "hatch", "hatch_on"), required=True),
        Column("chicks", ("chicks", "birds"), required=True),
        Column("strain", ("strain", "kind of bird", "breed")),
        Column("leaves_brooder_on", ("left the brooder", "leaves_brooder_on")),
        Column("processing_on", ("processed", "processed on", "processing_on"), required=True),
        Column("processed", ("birds processed", "count")),
        Column("target_g", ("weight wanted", "target_g", "target"), {"target_g": "g"}),
        Column(
            "live_mean_g", ("live weight", "live_mean_g", "live_mean_weight_g"),
            {"live_mean_g": "g", "live_mean_weight_g": "g"},
        ),
        Column("dressed_kg", ("dressed weight", "dressed_kg"), {"dressed_kg": "kg"}),
        Column("finished_on", ("finished_on",)),
    )  # fmt: skip
    headings = (
        mark("Name"),
        mark("Hatched"),
        mark("Chicks"),
        mark("Processed"),
        mark("Birds"),
        mark("Dressed"),
    )
    noun, plural = mark("past batch"), mark("past batches")

    def __init__(self, garden: Garden) -> None:
        super().__init__(garden)
        self._seen: set[str] = set()
        # In the reader's words and in the export's.
        named = [*strain_choices(), *((key, row.name) for key, row in built_in_strains().items())]
        self._strains = {name.lower(): key for key, name in named}

    def form(self, values: dict[str, str]) -> PastBatchForm:
        """Return the form of a batch that is over."""
        name = values["name"].lower()
        if name in self._seen:
            raise ValueError(_("A batch of this name stands further up in the table."))
        self._seen.add(name)
        strain = values["strain"].lower()
        told = values | {"strain": self._strains.get(strain, strain) or "fast"}
        return PastBatchForm(told, garden=self.garden)

    def key(self, form: PastBatchForm) -> str:
        """Return the name, which a garden has once; the form itself tells of a clash."""
        return form.cleaned_data["name"]

    def keys_there(self) -> set[Any]:
        """Return nothing: the form tells."""
        return set()

    def cells(self, form: PastBatchForm) -> list[str]:
        """Return what it was and what it came to."""
        values, system = form.cleaned_data, self.garden.unit_system
        dressed = values["dressed_kg"]
        return [
            values["name"],
            day_year_words(values["hatch_on"]),
            str(values["chicks"]),
            day_year_words(values["processing_on"]),
            _("{n} of {weight}").format(
                n=values["processed"], weight=BIRD_MASS.show(values["live_mean_g"], system)
            )
            if values["live_mean_g"]
            else str(values["processed"]),
            FEED_MASS.show(dressed, system) if dressed else "–",
        ]

    def save(self, form: PastBatchForm, user: AbstractBaseUser, step: Recorder) -> None:
        """Save the batch, its processing, and the birds that nobody processed as lost by that day."""
        values = form.cleaned_data
        batch = Batch.objects.create(garden=self.garden, **form.batch_fields())
        step.made(batch)
        common = {"batch": batch, "on": batch.processing_on, "logged_by": user}
        if values["processed"]:
            weights = {name: values[name] for name in ("live_mean_g", "dressed_kg")}
            step.made(Processing.objects.create(count=values["processed"], **weights, **common))
        lost = values["chicks"] - values["processed"]
        if lost:
            step.made(Loss.objects.create(count=lost, **common))
