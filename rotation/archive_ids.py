"""Ids that hide in texts and lists: a chore's key names a batch and a pen, a what-if its batches and pens.

In an archive they are row numbers, as everywhere else in it; 0 stands for a row that was gone already.
"""

import re
from collections.abc import Callable
from typing import Any

Renumber = Callable[[str, int], int]
"""Takes a model's label and an id, and gives the number that stands for it on the other side."""

BATCH, PEN, BED, PLANTING = "flocks.batch", "pens.pen", "garden.bed", "garden.planting"
KEYS = {"feed": (BATCH, PEN), "move": (PEN,), "lift": (PEN,), "mix": (BED,)}
"""What the ids of a chore's key are of, by its first part; those of all others are of a batch."""
_NUMBER = re.compile(r"\d{1,18}")
IN_CHANGES = {"batch": BATCH, "pens": PEN, "planting": PLANTING}
NEEDED = (BATCH, PEN, BED, PLANTING)
"""What must have its numbers before a field of `HIDDEN` is told."""


def _chore(key: str, renumber: Renumber) -> str:
    kind, *ids = key.split(":")
    labels = KEYS.get(kind, (BATCH,))
    told = [
        str(renumber(label, int(each))) if _NUMBER.fullmatch(each) else each
        for label, each in zip(labels, ids, strict=False)
    ]
    return ":".join([kind, *told, *ids[len(labels) :]])


def _changes(changes: list[Any], renumber: Renumber) -> list[Any]:
    return [_change(each, renumber) if isinstance(each, dict) else each for each in changes]


def _change(change: dict[str, Any], renumber: Renumber) -> dict[str, Any]:
    told = dict(change)
    for name, label in IN_CHANGES.items():
        value = change.get(name)
        if isinstance(value, list):
            told[name] = [renumber(label, each) for each in value if type(each) is int]
        elif type(value) is int:
            told[name] = renumber(label, value)
    return told


HIDDEN: dict[tuple[str, str], Callable[[Any, Renumber], Any]] = {
    ("rotation.choremark", "chore"): _chore,
    ("rotation.whatif", "changes"): _changes,
}
"""Fields that hold ids of other rows, by the model's label and the field's name."""
HOLDERS = frozenset(label for label, _ in HIDDEN)
"""Models with such fields."""


def renumbered(label: str, field: str, value: Any, renumber: Renumber) -> Any:
    """Return a field's value with the ids in it renumbered; most fields hold none."""
    known = HIDDEN.get((label, field))
    return known(value, renumber) if known else value
