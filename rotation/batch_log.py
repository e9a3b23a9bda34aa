"""Everything logged about some batches, read by one query, since Today may not spend four.

The forecast and the headcount find the rows where `Batch.objects.with_records()` would have put them.
"""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any, NamedTuple

from django.db.models import (
    Case,
    CharField,
    F,
    FloatField,
    IntegerField,
    JSONField,
    QuerySet,
    Value,
    When,
)

from flocks.models import Batch, FeedRecord, Loss, Processing, WaterRecord, Weighing

HEAVIEST = "heaviest"


class Line(NamedTuple):
    """One record; `amount` is the mean weight [g], the feed [kg] or the water [L], `by` a user's name."""

    kind: str
    batch_id: int
    pen_id: int | None
    on: date
    logged_at: datetime
    by: str | None
    count: int | None
    amount: float | None
    weights_g: list[float] | None
    picked: str
    """Which birds: the sex weighed, or “heaviest” of those processed; empty where they came as they were."""

    def row(self) -> Weighing | FeedRecord | WaterRecord | Loss | Processing:
        """Return the record as an unsaved row, with what a forecast or a headcount reads of it."""
        told = {"batch_id": self.batch_id, "pen_id": self.pen_id, "on": self.on}
        if self.kind == "weighing":
            weighed = {"mean_g": self.amount, "weights_g": self.weights_g or [], "sex": self.picked}
            return Weighing(count=self.count, **weighed, **told)
        if self.kind == "feedrecord":
            return FeedRecord(mass_kg=self.amount, **told)
        if self.kind == "waterrecord":
            return WaterRecord(litres=self.amount, **told)
        if self.kind == "loss":
            return Loss(count=self.count, **told)
        return Processing(count=self.count, heaviest=self.picked == HEAVIEST, **told)


# Weighings come first: they give every column of the union its type.
SOURCES: tuple[tuple[type, str, str], ...] = (
    (Weighing, "count", "mean_g"),
    (FeedRecord, "", "mass_kg"),
    (WaterRecord, "", "litres"),
    (Loss, "count", ""),
    (Processing, "count", ""),
)


def load_log(batches: Sequence[Batch]) -> list[Line]:
    """Give each batch its records and return them all in the order of their days; one query.

    The batches then answer for their weighings, feed, losses and processings without a query.
    """
    first, *others = (_lines(source, batches) for source in SOURCES)
    lines = sorted(map(Line._make, first.union(*others, all=True)), key=lambda line: line.on)
    for batch in batches:
        # Django offers no public way to hand a relation rows that were read by another query.
        batch._prefetched_objects_cache |= {
            f"{model._meta.model_name}_set": [
                line.row()
                for line in lines
                if line.batch_id == batch.pk and line.kind == model._meta.model_name
            ]
            for model, _, _ in SOURCES
        }
    return lines


def _lines(source: tuple[type, str, str], batches: Sequence[Batch]) -> QuerySet[Any]:
    model, count, amount = source
    weights = F("weights_g") if model is Weighing else Value(None, JSONField())
    return (
        model.objects.filter(batch__in=batches)
        .order_by()
        .values_list(
            Value(model._meta.model_name),
            "batch_id",
            "pen_id",
            "on",
            "logged_at",
            "logged_by__username",
            F(count) if count else Value(None, IntegerField()),
            F(amount) if amount else Value(None, FloatField()),
            weights,
            _picked(model),
        )
    )


def _picked(model: type) -> Any:
    if model is Weighing:
        return F("sex")
    nobody = Value("", CharField())
    if model is Processing:
        return Case(When(heaviest=True, then=Value(HEAVIEST, CharField())), default=nobody)
    return nobody
