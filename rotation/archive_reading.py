"""Reading an archive that somebody sent: nothing in it is believed until it was looked at."""

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal, InvalidOperation
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.formats import number_format

from garden.documents import DocumentError
from garden.words import gettext as _
from garden.words import mark
from rotation.archive import FORMAT, VERSION, checksum, garden_fields
from rotation.archive_models import Carried, carried_models, is_person
from rotation.change_kinds import read_changes

MOST_BYTES = 30_000_000
"""Size of an archive that is read. A choice: three years of 200 beds are a third of it."""
MOST_ROWS = 200_000
NOT_ONE = mark("This is not a garden’s archive of Tillfeather.")
NEWER = mark(
    "A newer Tillfeather made this archive. Bring this one up to date first, then read it in."
)
DAMAGED = mark("The archive is damaged: it is not as it was when it was made. Fetch it once more.")


class ArchiveError(ValueError):
    """An archive that cannot be read in, with the sentence that says why."""

    def __str__(self) -> str:
        return _(super().__str__())


@dataclass(frozen=True)
class ReadArchive:
    """An archive whose every value was looked at. Rows name others by number, people by name."""

    made_at: str
    garden: dict[str, Any]
    rows: dict[str, list[dict[str, Any]]]

    @property
    def count(self) -> int:
        """Return how many rows it holds."""
        return sum(map(len, self.rows.values()))


def read_archive(content: bytes) -> ReadArchive:
    """Read an archive.

    Raises
    ------
    ArchiveError
        Where it is too large, no archive, newer than this installation, damaged, or holds what cannot be.
    """
    document = _document(content)
    garden, rows = document.get("garden"), document.get("rows")
    if not isinstance(garden, dict) or not isinstance(rows, dict):
        raise ArchiveError(DAMAGED)
    if document.get("sha256") != checksum(document):
        raise ArchiveError(DAMAGED)
    lists = _lists(rows)
    values = _fields(garden_fields(), garden, _("The garden"))
    return ReadArchive(str(document.get("made_at", ""))[:40], values, lists)


def _document(content: bytes) -> dict[str, Any]:
    if len(content) > MOST_BYTES:
        raise ArchiveError(
            _("The archive is larger than {most_bytes} megabytes.").format(
                most_bytes=MOST_BYTES // 1_000_000
            )
        )
    try:
        document = json.loads(content.decode("utf-8-sig"), parse_constant=_refuse)
    except (ValueError, RecursionError):
        raise ArchiveError(_told_of_text(content)) from None
    name, _slash, version = str(_entry(document, "format")).partition("/")
    if name != FORMAT or not version.isdecimal() or len(version) > 4:
        raise ArchiveError(NOT_ONE)
    if int(version) != VERSION:
        raise ArchiveError(NEWER if int(version) > VERSION else NOT_ONE)
    return document


def _refuse(constant: str) -> None:
    raise ValueError(constant)


def _told_of_text(content: bytes) -> str:
    """A file that was cut off begins as an archive does."""
    return DAMAGED if FORMAT.encode() in content[:200] else NOT_ONE


def _entry(document: object, name: str) -> object:
    return document.get(name, "") if isinstance(document, dict) else ""


def _lists(rows: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    known = {carried.label: carried for carried in carried_models()}
    if rows.keys() - known.keys():
        raise ArchiveError(NEWER)
    if any(not isinstance(each, list) for each in rows.values()):
        raise ArchiveError(DAMAGED)
    if sum(map(len, rows.values())) > MOST_ROWS:
        said = _("The archive holds more than {rows} rows.")
        raise ArchiveError(said.format(rows=number_format(MOST_ROWS, force_grouping=True)))
    counts = {label: len(each) for label, each in rows.items()}
    return {
        label: [_row(known[label], row, n, counts) for n, row in enumerate(each, 1)]
        for label, each in rows.items()
    }


def _row(carried: Carried, row: Any, number: int, counts: dict[str, int]) -> dict[str, Any]:
    noun = str(carried.model._meta.verbose_name).capitalize()
    values = _fields(carried.fields, row, f"{noun} {number}")
    for field in carried.fields:
        if field.is_relation and not is_person(field):
            most = counts.get(field.related_model._meta.label_lower, 0)
            named = values.get(field.name)
            for each in named if isinstance(named, list) else [named]:
                if each is not None and not 1 <= each <= most:
                    said = _("{noun} {number} names a row that the archive lacks.")
                    raise ArchiveError(said.format(noun=noun, number=number))
    return values


def _fields(fields: list[models.Field], row: Any, where: str) -> dict[str, Any]:
    """Return the values of a row by name; a field that it does not tell has its default."""
    if not isinstance(row, dict):
        raise ArchiveError(DAMAGED)
    by_name = {field.name: field for field in fields}
    if row.keys() - by_name.keys():
        raise ArchiveError(NEWER)
    values = {}
    for name, value in row.items():
        try:
            values[name] = _value(by_name[name], value)
        except (ValueError, TypeError, ValidationError, InvalidOperation, OverflowError):
            said = _("{where}: “{name}” is not as it can be.")
            raise ArchiveError(said.format(where=where, name=name)) from None
    for name, field in by_name.items():
        if name not in row and not (field.has_default() or field.null or field.blank):
            raise ArchiveError(_("{where}: “{name}” is missing.").format(where=where, name=name))
    return values


def _value(field: models.Field, value: Any) -> Any:
    if field.many_to_many:
        return [_typed(each, int) for each in _typed(value, list)]
    if value is None:
        if not field.null:
            raise ValueError(field.name)
        return None
    if field.is_relation:
        return _typed(value, str)[:150] if is_person(field) else _typed(value, int)
    read = READERS.get(field.get_internal_type())
    if read is None:
        raise ValueError(field.name)
    told = read(field, value)
    choices = {key for key, _words in field.flatchoices} | ({""} if field.blank else set())
    if field.flatchoices and told not in choices:
        raise ValueError(field.name)
    field.run_validators(told)
    return told


def _typed(value: Any, kind: type) -> Any:
    if type(value) is not kind:
        raise TypeError(kind.__name__)
    return value


def _text(field: models.Field, value: Any) -> str:
    if "\x00" in _typed(value, str):
        raise ValueError(value)
    return value


def _number(field: models.Field, value: Any) -> float:
    told = float(value) if type(value) is int else _typed(value, float)
    if not math.isfinite(told):
        raise ValueError(value)
    return told


def _moment(field: models.Field, value: Any) -> datetime:
    told = datetime.fromisoformat(_typed(value, str))
    if told.tzinfo is None:
        raise ValueError(value)
    return told


def _json(field: models.Field, value: Any) -> Any:
    """Read a value of the kind that the field begins with; lists of weights are of numbers."""
    _typed(value, type(field.get_default()))
    if "\\u0000" in json.dumps(value):
        raise ValueError(field.name)
    if field.name == "weights_g" and not all(type(each) in (int, float) for each in value):
        raise ValueError(field.name)
    if field.model._meta.label_lower == "rotation.whatif" and field.name == "changes":
        _check_changes(value)
    return value


def _check_changes(changes: list[Any]) -> None:
    """Refuse a change of an unknown kind; one of a row that was gone says 0, which no row's id is."""
    there = [_with_ids(each) for each in changes]
    try:
        read_changes(there)
    except DocumentError as error:
        raise ValueError(str(error)) from None


def _with_ids(change: Any) -> Any:
    if not isinstance(change, dict):
        return change
    pens = change.get("pens")
    told = {name: each or 1 for name, each in change.items() if name in ("batch", "planting")}
    if isinstance(pens, list):
        told["pens"] = [each or 1 for each in pens]
    return change | told


READERS: dict[str, Callable[[models.Field, Any], Any]] = {
    "BooleanField": lambda field, value: _typed(value, bool),
    "CharField": _text,
    "TextField": _text,
    "DateField": lambda field, value: date.fromisoformat(_typed(value, str)),
    "DateTimeField": _moment,
    "TimeField": lambda field, value: time.fromisoformat(_typed(value, str)),
    "DecimalField": lambda field, value: field.to_python(Decimal(_typed(value, str))),
    "FloatField": _number,
    "JSONField": _json,
    **{
        kind: lambda field, value: _typed(value, int)
        for kind in (
            "IntegerField",
            "SmallIntegerField",
            "BigIntegerField",
            "PositiveIntegerField",
            "PositiveSmallIntegerField",
            "PositiveBigIntegerField",
        )
    },
}
"""How each kind of field is read from JSON; a kind that is not here cannot be read."""
