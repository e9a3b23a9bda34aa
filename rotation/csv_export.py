"""All rows of a garden as tables for a spreadsheet: one CSV file for each kind of row, in one zip file."""

import csv
from collections.abc import Callable, Iterator
from io import BytesIO, StringIO
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from django.db import models

from garden.csv_cells import csv_cell
from garden.models import Garden
from garden.words import gettext as _
from garden.words import mark
from rotation.archive_models import Carried, carried_models, is_person, one_by_one

README = mark(
    """These tables hold all that Tillfeather keeps about {garden}, one file for each kind of row.

Masses, lengths and temperatures are SI, as the headings say: mm, m, g, kg, kg_ha (kg per hectare), degrees C.
Days are year-month-day; moments are in UTC. "id" tells rows apart; where a row names another, its
name stands beside that row's id. A text that begins like a formula has a ' before it, so that no
spreadsheet runs it.

To move a garden to another installation, use its archive: tables cannot be read back whole.
"""
)
FIXED_TIME = (1980, 1, 1, 0, 0, 0)
"""Of every file in the zip, so that the same garden gives the same bytes."""


def garden_zip(garden: Garden, tell: Callable[[float], None] = lambda _: None) -> bytes:
    """Return the zip file, a table by the name of each model. A query or two for each.

    Parameters
    ----------
    tell : callable, optional
        Told after each model which share is done.
    """
    stream = BytesIO()
    with ZipFile(stream, "w") as zipped:
        _put(zipped, "READ ME.txt", _(README).format(garden=garden.name))
        names: dict[str, dict[int, str]] = {}
        for carried in one_by_one(carried_models(), tell):
            rows = carried.rows_of(garden)
            names[carried.label] = {row.pk: str(getattr(row, "name", "")) for row in rows}
            lines = [_headings(carried), *(_cells(carried, row, names) for row in rows)]
            _put(zipped, f"{carried.model._meta.model_name}.csv", _csv(lines))
    return stream.getvalue()


def _put(zipped: ZipFile, name: str, text: str) -> None:
    info = ZipInfo(name, FIXED_TIME)
    info.compress_type = ZIP_DEFLATED
    zipped.writestr(info, text.encode())


def _csv(lines: list[list[str]]) -> str:
    stream = StringIO()
    csv.writer(stream).writerows(lines)
    # The mark lets spreadsheets that guess read UTF-8.
    return "\ufeff" + stream.getvalue()


def _headings(carried: Carried) -> list[str]:
    headings = ["id"]
    for field in carried.fields:
        headings += [field.name, f"{field.name}_id"] if _names_row(field) else [field.name]
    return headings


def _names_row(field: models.Field) -> bool:
    return bool(field.is_relation) and not field.many_to_many and not is_person(field)


def _cells(carried: Carried, row: models.Model, names: dict[str, dict[int, str]]) -> list[str]:
    cells: list[Any] = [row.pk]
    for field in carried.fields:
        cells += _values(field, row, names)
    return [csv_cell(cell) for cell in cells]


def _values(
    field: models.Field, row: models.Model, names: dict[str, dict[int, str]]
) -> Iterator[Any]:
    if is_person(field):
        person = getattr(row, field.name)
        yield person.get_username() if person else None
    elif field.many_to_many:
        yield "; ".join(str(other) for other in getattr(row, field.name).all())
    elif field.is_relation:
        pk = getattr(row, field.attname)
        yield names[field.related_model._meta.label_lower].get(pk)
        yield pk
    else:
        yield getattr(row, field.attname)
