"""Everything in and out: tables read in, all of a garden as tables, a garden as one archive and back."""

import json

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from garden.access import garden_for
from garden.models import Garden
from garden.views.form_page import form_page
from rotation.archive import garden_archive
from rotation.archive_form import ArchiveForm
from rotation.archive_import import garden_bring_in
from rotation.archive_reading import ArchiveError
from rotation.csv_export import garden_zip
from rotation.sheets import print_days


@require_GET
def in_out(request: HttpRequest, garden_id: int) -> HttpResponse:
    """List what can be read in and fetched."""
    garden = garden_for(request, garden_id)
    batches = garden.batches.order_by("-hatch_on", "-pk")[:6]
    return render(request, "rotation/in_out.html", {"batches": batches})


@require_GET
def tables(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Send all of a garden as tables in one zip file."""
    garden = garden_for(request, garden_id)
    return _file(garden_zip(garden), "application/zip", f"{_name(garden)}-tables.zip")


@require_GET
def archive(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Send all of a garden as one archive, which another installation can read in."""
    garden = garden_for(request, garden_id)
    text = json.dumps(garden_archive(garden), ensure_ascii=False, indent=1)
    return _file(text.encode(), "application/json", f"{_name(garden)}-{garden.today()}.json")


@require_http_methods(["GET", "POST"])
def bring_in(request: HttpRequest) -> HttpResponse:
    """Make a garden out of an archive; whoever sends it owns it."""
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = ArchiveForm(*sent)
    if form.is_valid():
        read = form.cleaned_data["file"]
        try:
            garden = garden_bring_in(archive=read, user=request.user)
        except ArchiveError as error:
            form.add_error("file", str(error))
        else:
            messages.success(request, f"{garden} is here, with all {read.count:,} lines of it.")
            return redirect("today", garden_id=garden.pk)
    return form_page(request, "rotation/bring_in.html", form)


@require_GET
def day_sheet_print(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show a day for the shed door, to be printed on one page."""
    return _printed(request, garden_id, "rotation/sheets/day.html", 1)


@require_GET
def week_sheet_print(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show seven days for the shed door."""
    return _printed(request, garden_id, "rotation/sheets/week.html", 7)


def _printed(request: HttpRequest, garden_id: int, template: str, count: int) -> HttpResponse:
    garden = garden_for(request, garden_id)
    begins_tomorrow = "tomorrow" in request.GET
    context = print_days(garden, count, tomorrow=begins_tomorrow)
    return render(request, template, context | {"tomorrow": begins_tomorrow})


def _name(garden: Garden) -> str:
    return slugify(garden.name) or f"garden-{garden.pk}"


def _file(content: bytes, kind: str, name: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=kind)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer
