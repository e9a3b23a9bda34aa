"""What an action changed, row by row and field by field, in words for the garden's owners."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.db import models

from garden.models import UndoStep
from garden.row_words import field_word, row_word
from garden.words import gettext as _

MOST_ROWS_TOLD = 20
"""Rows of one action that are told field by field; a table read in may have a thousand. Our choice."""
MOST_LETTERS = 120
"""Letters of a value that are told. Our choice."""


@dataclass(frozen=True)
class FieldChange:
    """A field with its value before and after; empty where there was none."""

    name: str
    before: str
    after: str


@dataclass(frozen=True)
class RowChange:
    """A row that an action made, changed or removed."""

    noun: str
    pk: int
    verb: str
    fields: tuple[FieldChange, ...]


def rows_changed(step: UndoStep) -> list[RowChange]:
    """Return what an action did to each row. No query."""
    return [_row(entry) for entry in step.rows[:MOST_ROWS_TOLD] if _is_known(entry["model"])]


def _is_known(label: str) -> bool:
    """Whether the model is still there: a list of changes outlives models."""
    app, _, name = label.partition(".")
    return name in apps.all_models.get(app, {})


def _row(entry: dict[str, Any]) -> RowChange:
    meta = apps.get_model(entry["model"])._meta
    before, after = entry["before"], entry["after"]
    verb = _("added") if before is None else _("removed") if after is None else _("changed")
    fields = tuple(_fields(meta, before or {}, after or {}))
    return RowChange(row_word(meta.model), entry["pk"], verb, fields)


def _fields(meta: Any, before: dict[str, Any], after: dict[str, Any]) -> Iterator[FieldChange]:
    for name in {**before, **after}:
        was, became = before.get(name), after.get(name)
        if was != became and not (_is_blank(was) and _is_blank(became)):
            field = _field(meta, name)
            yield FieldChange(_noun(field, name), _value(field, was), _value(field, became))


def _is_blank(value: Any) -> bool:
    return value in (None, "", [], {})


def _field(meta: Any, name: str) -> models.Field | None:
    try:
        return meta.get_field(name)
    except FieldDoesNotExist:  # a field that was there at the time
        return None


def _noun(field: models.Field | None, name: str) -> str:
    return field_word(field) if field is not None else name.replace("_", " ")


def _value(field: models.Field | None, value: Any) -> str:
    if _is_blank(value):
        return ""
    if isinstance(value, bool):
        return _("True") if value else _("False")
    if field is not None and field.is_relation and not isinstance(value, list):
        return _("{row} no. {number}").format(row=row_word(field.related_model), number=value)
    if field is not None and isinstance(value, str | int | bool):
        value = dict(field.flatchoices).get(value, value)
    told = str(value)
    return told if len(told) <= MOST_LETTERS else f"{told[:MOST_LETTERS]}…"
