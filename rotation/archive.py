"""A garden as one JSON document, complete: the format ``tillfeather-garden/1``.

``{"format", "made_at", "garden": {…}, "rows": {"garden.bed": [{…}, …], …}, "sha256"}``. The fields of a row
are those of the model. A row names another by its number, counted from 1, in that model's list; a person by the
name that they sign in with. Lists are in the order in which the rows were made; the checksum is of all else.
"""

import hashlib
import json
from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from django.db import models

from garden.clock import now
from garden.models import Garden
from rotation.archive_ids import renumbered
from rotation.archive_models import Carried, carried_models, is_person, one_by_one
from rotation.models import BroughtIn

FORMAT, VERSION = "tillfeather-garden", 1


def garden_fields() -> list[models.Field]:
    """Return what is told of the garden itself."""
    return [field for field in Garden._meta.concrete_fields if not field.primary_key]


def garden_archive(
    garden: Garden, tell: Callable[[float], None] = lambda _: None
) -> dict[str, Any]:
    """Return a garden with all that belongs to it. A query or two for each model.

    Parameters
    ----------
    tell : callable, optional
        Told after each model which share is done.
    """
    writer = _Writer(garden)
    models_told = one_by_one(carried_models(), tell)
    document = {
        "format": f"{FORMAT}/{VERSION}",
        "made_at": now().isoformat(),
        "garden": {field.name: _plain(getattr(garden, field.attname)) for field in garden_fields()},
        "rows": {carried.label: writer.rows(carried) for carried in models_told},
    }
    return document | {"sha256": checksum(document)}


def checksum(document: dict[str, Any]) -> str:
    """Return the SHA-256 of a document less its own checksum, written the one way that all agree on."""
    rest = {name: value for name, value in document.items() if name != "sha256"}
    text = json.dumps(rest, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode()).hexdigest()


def archive_text(document: dict[str, Any]) -> bytes:
    """Return a document as the file that people keep."""
    return json.dumps(document, ensure_ascii=False, indent=1).encode()


class _Writer:
    """Numbers rows as it comes to them; those that a row names come before it."""

    def __init__(self, garden: Garden) -> None:
        self._garden = garden
        self._numbers: dict[str, dict[int, int]] = {}
        brought = BroughtIn.objects.filter(garden=garden).first()
        self._signed: dict[str, str] = brought.signed if brought else {}

    def rows(self, carried: Carried) -> list[dict[str, Any]]:
        """Return all rows of one model."""
        rows = carried.rows_of(self._garden)
        self._numbers[carried.label] = {row.pk: n for n, row in enumerate(rows, 1)}
        fields = carried.fields
        return [{field.name: self._value(carried, row, field) for field in fields} for row in rows]

    def _value(self, carried: Carried, row: models.Model, field: models.Field) -> Any:
        if is_person(field):
            person = getattr(row, field.name)
            key = signature(carried.label, row.pk, field.name)
            signed = self._signed.get(key)
            if person is None or (signed and not field.null):
                return signed
            return person.get_username()
        if field.many_to_many:
            label = field.related_model._meta.label_lower
            return sorted(self._number(label, other.pk) for other in getattr(row, field.name).all())
        value = getattr(row, field.attname)
        if field.is_relation:
            return value and self._number(field.related_model._meta.label_lower, value)
        return renumbered(carried.label, field.name, _plain(value), self._number)

    def _number(self, label: str, pk: int) -> int:
        return self._numbers[label].get(pk, 0)


def signature(label: str, pk: int, field: str) -> str:
    """Return the key under which it is kept who signed a row in another installation."""
    return f"{label}:{pk}:{field}"


def _plain(value: Any) -> Any:
    if isinstance(value, date | datetime | time):
        return value.isoformat()
    return str(value) if isinstance(value, Decimal) else value
