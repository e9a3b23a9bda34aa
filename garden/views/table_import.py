"""Reading a table in: first a look at every row, then, confirmed, all that is new as one step."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from garden.access import ruled_garden_for, writable_garden_for
from garden.models import Garden
from garden.table_forms import ReadRows, RowReader, RowsForm, read_rows
from garden.undo import undoable
from garden.views.form_page import form_page
from garden.words import gettext as _

MOST_LINES_TOLD = 10
"""Rows left out that are told by number after reading in. Our choice."""


@dataclass(frozen=True)
class TableKind:
    """A kind of table: who reads it, who may, where one goes after, and what it must look like."""

    heading: str
    reader: Callable[..., RowReader]
    goes_to: str
    says: str
    takes_owner: bool = False


@require_http_methods(["GET", "POST"])
def read_in(request: HttpRequest, garden_id: int, kind: TableKind, **ids: int) -> HttpResponse:
    """Take a table, show what it came to, and add it once confirmed."""
    load = ruled_garden_for if kind.takes_owner else writable_garden_for
    garden = load(request, garden_id)
    reader = kind.reader(garden, **ids)
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = RowsForm(*sent, reader=reader)
    context: dict[str, Any] = {"kind": kind, "reader": reader, "back_ids": ids}
    if not form.is_valid():
        return form_page(request, "garden/table_import.html", form, **context)
    text = form.cleaned_data["text"]
    if "confirm" in request.POST and form.table.new:
        table = rows_import(garden=garden, user=request.user, make=kind.reader, ids=ids, text=text)
        _tell_left_out(request, table)
        return redirect(kind.goes_to, garden_id=garden.pk, **ids)
    context |= {"table": form.table, "new": len(form.table.new), "text": text}
    context["counted"] = reader.counted(len(form.table.new))
    return form_page(request, "garden/table_import.html", form, **context)


@transaction.atomic
def rows_import(
    *, garden: Garden, user: Any, make: Callable[..., RowReader], ids: dict[str, int], text: str
) -> ReadRows:
    """Save all new rows of a table as one step that its author can take back."""
    # A second tap waits here, and then finds all of them there.
    Garden.objects.select_for_update().get(pk=garden.pk)
    reader = make(garden, **ids)
    table = read_rows(text, reader)
    if table.new:
        told = _("Read in: {counted}").format(counted=reader.counted(len(table.new)))
        with undoable(garden, user, told) as step:
            for row in table.new:
                reader.save(row.form, user, step)
    return table


def _tell_left_out(request: HttpRequest, table: ReadRows) -> None:
    if table.faults:
        told = ", ".join(str(fault.line) for fault in table.faults[:MOST_LINES_TOLD])
        more = len(table.faults) - MOST_LINES_TOLD
        if more > 0:
            said = _("Left out, as they could not be read: row {rows} and {more} more.")
        else:
            said = _("Left out, as they could not be read: row {rows}.")
        messages.warning(request, said.format(rows=told, more=more))
