"""A large garden's tables or archive: asked for, made behind the pages, fetched."""

import secrets

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST
from django_htmx.http import HttpResponseClientRefresh

from garden.access import garden_for, writable_garden_for
from garden.words import gettext as _
from rotation.exports import export_ask, export_claim, export_make, export_stop
from rotation.middleware import MENDED_ALREADY
from rotation.models import Export
from rotation.plan_runs import worker_lives
from rotation.views.in_out import archive_answer, tables_answer

LINES = "rotation/exports.html"


@require_POST
def ask(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Ask for a file; where no worker lives it is made here and now."""
    garden = writable_garden_for(request, garden_id)
    setattr(request, MENDED_ALREADY, True)
    kind = request.POST.get("kind", "")
    if kind not in Export.Kind:
        messages.error(request, _("Choose the tables or the archive."))
        return redirect("in_out", garden_id=garden.pk)
    export = export_ask(garden=garden, kind=kind, asked_by=request.user)
    if not worker_lives():
        page = f"page:{secrets.token_hex(4)}"
        claimed = export_claim(export.pk, worker=page)
        if claimed:
            export_make(claimed, worker=page, beat=lambda: False)
    return redirect("in_out", garden_id=garden.pk)


@require_GET
def progress(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Draw how far the files are; the page is told to load again when none is being made any more."""
    garden = garden_for(request, garden_id)
    if not request.htmx:
        return redirect("in_out", garden_id=garden.pk)
    exports = list(garden.exports.defer("content"))
    if all(export.finished_at for export in exports):
        return HttpResponseClientRefresh()
    return render(request, LINES, {"exports": exports})


@require_GET
def fetch(request: HttpRequest, garden_id: int, export_id: int) -> HttpResponse:
    """Send a file that was made."""
    garden = garden_for(request, garden_id)
    made = Export.objects.filter(garden=garden).exclude(content=None)
    export = get_object_or_404(made, pk=export_id)
    answer = tables_answer if export.kind == Export.Kind.TABLES else archive_answer
    return answer(garden, bytes(export.content))


@require_POST
def stop(request: HttpRequest, garden_id: int, export_id: int) -> HttpResponse:
    """Take back the wish for a file that is being made."""
    garden = writable_garden_for(request, garden_id)
    setattr(request, MENDED_ALREADY, True)
    get_object_or_404(garden.exports.only("pk"), pk=export_id)
    export = get_object_or_404(garden.exports.defer("content"), pk=export_id)
    if export_stop(garden=garden, export_id=export.pk):
        messages.success(request, _("The file is no longer being made."))
    return redirect("in_out", garden_id=garden.pk)
