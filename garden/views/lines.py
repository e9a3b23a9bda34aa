"""Lines of a bed's ledger that somebody enters: one set of views for every kind."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST

from garden.access import writable_garden_for
from garden.line_kinds import LineKind
from garden.models import Spread
from garden.models.soil import BedLine
from garden.undo import undoable
from garden.views.form_page import form_page, posted
from garden.words import gettext as _


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int, bed_id: int, kind: LineKind) -> HttpResponse:
    """Log a line about a bed."""
    garden = writable_garden_for(request, garden_id)
    bed = get_object_or_404(garden.beds, pk=bed_id)
    form = kind.form(
        posted(request),
        instance=kind.model(bed=bed, logged_by=request.user),
        garden=garden,
        initial={"on": garden.today()},
    )
    if form.is_valid():
        said = _told(_("{line}, {bed}, logged"), kind, form.instance)
        with undoable(garden, request.user, said) as step:
            step.made(form.save(), *form.save_beside())
        return redirect("bed_ledger", garden_id=garden.pk, bed_id=bed.pk)
    return form_page(request, "garden/line_form.html", form, kind=kind, bed=bed)


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, kind: LineKind, **ids: int) -> HttpResponse:
    """Change a line, or take it off the books."""
    garden = writable_garden_for(request, garden_id)
    row = _row(kind, garden_id, ids)
    form = kind.form(posted(request), instance=row, garden=garden)
    if form.is_valid():
        with undoable(garden, request.user, _told(_("{line}, {bed}, changed"), kind, row)) as step:
            step.changing(row)
            form.save()
            step.made(*form.save_beside())
        return redirect("bed_ledger", garden_id=garden.pk, bed_id=row.bed_id)
    remove = f"{kind.key}_remove"
    return form_page(
        request, "garden/line_form.html", form, kind=kind, bed=row.bed, row=row, remove=remove
    )


@require_POST
def remove(request: HttpRequest, garden_id: int, kind: LineKind, **ids: int) -> HttpResponse:
    """Take a line off the books."""
    garden = writable_garden_for(request, garden_id)
    row = _row(kind, garden_id, ids)
    with undoable(garden, request.user, _told(_("{line}, {bed}, removed"), kind, row)) as step:
        step.removing(row)
        row.delete()
    return redirect("bed_ledger", garden_id=garden.pk, bed_id=row.bed_id)


def _row(kind: LineKind, garden_id: int, ids: dict[str, int]) -> BedLine:
    rows = kind.model.objects.filter(bed__garden=garden_id).select_related("bed__garden")
    if kind.model is Spread:
        rows = rows.filter(heap=None)  # what came from a heap is changed on the heap's page
    return get_object_or_404(rows, pk=ids[kind.id_name])


def _told(said: str, kind: LineKind, row: BedLine) -> str:
    return said.format(line=kind.tell(row, row.bed.garden.unit_system), bed=row.bed)
