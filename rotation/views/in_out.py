"""Everything in and out: tables read in, all of a garden as tables, a garden as one archive and back."""

from django.contrib import messages
from django.contrib.auth.models import AbstractBaseUser
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.formats import number_format
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from garden.access import garden_for
from garden.models import Garden
from garden.upload_limit import takes_files_of
from garden.views.form_page import form_page
from garden.words import gettext as _
from rotation.archive import archive_text, garden_archive
from rotation.archive_form import ArchiveForm
from rotation.archive_import import garden_bring_in
from rotation.archive_reading import ArchiveError, ReadArchive
from rotation.csv_export import garden_zip
from rotation.photo_archive import PhotosError, photos_bring_in, photos_zip
from rotation.photo_form import MOST_BYTES_OF_GARDEN
from rotation.sheets import print_days
from rotation.views.photos import DISK_FULL


@require_GET
def in_out(request: HttpRequest, garden_id: int) -> HttpResponse:
    """List what can be read in and fetched."""
    garden = garden_for(request, garden_id)
    batches = garden.batches.order_by("-hatch_on", "-pk")[:6]
    context = {
        "batches": batches,
        "has_photos": garden.photos.exists(),
        "exports": list(garden.exports.defer("content")),
    }
    return render(request, "rotation/in_out.html", context)


@require_GET
def tables(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Send all of a garden as tables in one zip file."""
    garden = garden_for(request, garden_id)
    return tables_answer(garden, garden_zip(garden))


def tables_answer(garden: Garden, content: bytes) -> HttpResponse:
    """Return the tables as a file to be kept."""
    return _file(content, "application/zip", f"{_name(garden)}-tables.zip")


@require_GET
def archive(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Send all of a garden as one archive, which another installation can read in."""
    garden = garden_for(request, garden_id)
    return archive_answer(garden, archive_text(garden_archive(garden)))


def archive_answer(garden: Garden, content: bytes) -> HttpResponse:
    """Return the archive as a file to be kept."""
    return _file(content, "application/json", f"{_name(garden)}-{garden.today()}.json")


@takes_files_of(MOST_BYTES_OF_GARDEN)
@require_http_methods(["GET", "POST"])
def bring_in(request: HttpRequest) -> HttpResponse:
    """Make a garden out of an archive; whoever sends it owns it."""
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = ArchiveForm(*sent)
    if form.is_valid():
        read = form.cleaned_data["file"]
        try:
            garden, photos = _bring_in(read, form.cleaned_data["photos"], request.user)
        except ArchiveError as error:
            form.add_error("file", str(error))
        except PhotosError as error:
            form.add_error("photos", str(error))
        except OSError:
            form.add_error("photos", _(DISK_FULL))
        else:
            lines = number_format(read.count, force_grouping=True)
            told = (
                _("{garden} is here, with all {lines} lines of it. Photos: {photos}.")
                if photos
                else _("{garden} is here, with all {lines} lines of it.")
            )
            messages.success(request, told.format(garden=garden, lines=lines, photos=photos))
            return redirect("today", garden_id=garden.pk)
    return form_page(request, "rotation/bring_in.html", form)


@transaction.atomic
def _bring_in(
    read: ReadArchive, photos: UploadedFile | None, user: AbstractBaseUser
) -> tuple[Garden, int]:
    """Make the garden with its pictures, or neither; return it and how many photos it got."""
    garden = garden_bring_in(archive=read, user=user)
    return garden, photos_bring_in(garden=garden, file=photos) if photos else 0


@require_GET
def photos(request: HttpRequest, garden_id: int) -> FileResponse:
    """Send a garden's photos in one zip file, as large as they are kept."""
    garden = garden_for(request, garden_id)
    name = f"{_name(garden)}-photos.zip"
    answer = FileResponse(photos_zip(garden), as_attachment=True, filename=name)
    answer["Cache-Control"] = "private, no-store"
    return answer


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
