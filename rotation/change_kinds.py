"""Changes of a garden that are only thought of, as values, and the list of them that is kept as JSON.

PURE. A list is read strictly: an unknown kind, an unknown field or a figure out of its range is a fault.
What the ids stand for, and whether a change can be, is told by `rotation.changes_tried`.
"""

import json
from collections.abc import Iterable
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from garden.documents import Document, DocumentError, read_document


class ChangeError(ValueError):
    """A change that cannot be, with the sentence that says why."""


class UnknownRowError(ChangeError):
    """A change of a batch, pen or planting that this garden does not have."""


MOST_CHANGES = 40
"""Changes in one list. Our choice."""
MOST_BIRDS = 10_000
MOST_DAYS_SHIFTED = 366
PLAIN_TEXT = r"^[^\x00-\x1f]*[^\x00-\x20][^\x00-\x1f]*$"
"""Not blank, and without what no database takes in a text."""


def _day(value: object) -> object:
    """Read ``2026-06-12``; whatever is no such text is left to be refused."""
    if not isinstance(value, str):
        return value
    try:
        return date.fromisoformat(value)
    except ValueError:
        raise ValueError("expected a day such as 2026-06-12") from None


Id = Annotated[int, Field(ge=1, le=2**63 - 1)]
Day = Annotated[date, BeforeValidator(_day)]
Length = Annotated[float, Field(ge=200, le=200_000)]
Width = Annotated[float, Field(ge=200, le=50_000)]


class Birds(Document):
    """A batch has `birds` alive from today, shared over its pens as its birds are now."""

    kind: Literal["birds"] = "birds"
    batch: Id
    birds: Annotated[int, Field(ge=1, le=MOST_BIRDS)]


class Shift(Document):
    """A batch that has not hatched is hatched, moved out and processed some days later; below 0 earlier."""

    kind: Literal["shift"] = "shift"
    batch: Id
    days: Annotated[int, Field(ge=-MOST_DAYS_SHIFTED, le=MOST_DAYS_SHIFTED)]


class Pens(Document):
    """A batch lives in these pens, its birds shared out by their floor."""

    kind: Literal["pens"] = "pens"
    batch: Id
    pens: Annotated[list[Id], Field(min_length=1, max_length=50)]


class Rule(Document):
    """One of the garden's rules has another figure, in the unit of its name."""

    kind: Literal["rule"] = "rule"
    name: Literal["rest_days", "min_stay_days", "max_stay_days", "annual_limit_kg_ha"]
    value: Annotated[float, Field(ge=0, le=2000)]


class MoreBed(Document):
    """There is one more bed, empty, beside the newest."""

    kind: Literal["bed"] = "bed"
    kind_of_bed: Literal["raised", "ground", "turf"]
    length_mm: Length
    width_mm: Width
    name: Annotated[str, Field(max_length=40, pattern=PLAIN_TEXT)]


class Cleared(Document):
    """A planting leaves its bed on a day, before it was to."""

    kind: Literal["clear"] = "clear"
    planting: Id
    on: Day


class PartProcessed(Document):
    """`birds` of a batch are processed on a day, from all its pens in proportion."""

    kind: Literal["part_processed"] = "part_processed"
    batch: Id
    on: Day
    birds: Annotated[int, Field(ge=1, le=MOST_BIRDS)]


class Processed(Document):
    """All of a batch is processed on another day."""

    kind: Literal["process"] = "process"
    batch: Id
    on: Day


OfBatch = Birds | Shift | Pens | PartProcessed | Processed
Change = OfBatch | Rule | MoreBed | Cleared
KINDS: dict[str, type[Change]] = {
    kind.model_fields["kind"].default: kind
    for kind in (Birds, Shift, Pens, PartProcessed, Processed, Rule, MoreBed, Cleared)
}


def read_changes(raw: object) -> tuple[Change, ...]:
    """Read a list of changes, as a JSON column gives it back.

    Parameters
    ----------
    raw : object
        A list of at most `MOST_CHANGES` objects such as ``{"kind": "birds", "batch": 3, "birds": 8}``.

    Returns
    -------
    tuple of Change
        In the order given.

    Raises
    ------
    DocumentError
        With one line for each fault, such as ``changes[0].kind: expected one of birds, shift, …``.
    """
    if not isinstance(raw, list) or len(raw) > MOST_CHANGES:
        raise DocumentError([f"changes: expected a list of at most {MOST_CHANGES} changes"])
    changes: list[Change] = []
    faults: list[str] = []
    for index, entry in enumerate(raw):
        try:
            changes.append(_read_change(entry))
        except DocumentError as error:
            faults += [f"changes[{index}].{fault}" for fault in error.faults]
    if faults:
        raise DocumentError(faults)
    return tuple(changes)


def _read_change(entry: object) -> Change:
    kind = entry.get("kind") if isinstance(entry, dict) else None
    if not isinstance(kind, str) or kind not in KINDS:
        raise DocumentError([f"kind: expected one of {', '.join(KINDS)}"])
    return read_document(json.dumps(entry), KINDS[kind])


def as_json(changes: Iterable[Change]) -> list[dict[str, Any]]:
    """Return changes as `read_changes` reads them."""
    return [change.model_dump(mode="json") for change in changes]
