"""Photos of a garden: keeping one, looking at them, removing one. Only members are served."""

from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from flocks.models import Batch
from garden.access import garden_for, writable_garden_for
from garden.forms import MOST_DIGITS
from garden.models import Garden
from garden.upload_limit import TOO_LARGE
from garden.views.form_page import form_page, posted
from garden.views.front import next_address
from garden.words import gettext as _
from garden.words import mark
from rotation.middleware import MENDED_ALREADY
from rotation.models import Photo
from rotation.photo_actions import photo_log, photo_remove
from rotation.photo_files import Size, photo_path
from rotation.photo_form import PhotoForm

PHOTOS_A_PAGE = 24
PHOTOS_BESIDE_A_BATCH = 3
DISK_FULL = mark(
    "There is no room for it on the server. The photo is not kept; its owner must make room."
)


@require_GET
def photos(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show a garden's photos, the newest first; `?batch=` shows a batch's, and htmx gets the first few."""
    garden = garden_for(request, garden_id)
    batch = _batch_asked_for(request, garden)
    shown = garden.photos.newest() if batch is None else batch.photos.newest()
    if request.htmx and batch:
        strip = {"batch": batch, "photos": shown[:PHOTOS_BESIDE_A_BATCH]}
        return render(request, "rotation/photos_beside.html", strip)
    pages = Paginator(shown, PHOTOS_A_PAGE)
    context = {"photos": pages.get_page(request.GET.get("page")), "batch": batch}
    return render(request, "rotation/photos.html", context)


def _batch_asked_for(request: HttpRequest, garden: Garden) -> Batch | None:
    asked = request.GET.get("batch", "")
    known = asked.isascii() and asked.isdigit() and len(asked) <= MOST_DIGITS
    return get_object_or_404(garden.batches, pk=asked) if known else None


@require_http_methods(["GET", "POST"])
def photo_new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Keep a photo."""
    garden = writable_garden_for(request, garden_id)
    form = PhotoForm(
        posted(request),
        request.FILES or None,
        garden=garden,
        initial={"batch": request.GET.get("batch")},
        was_left_out=getattr(request, TOO_LARGE, False),
    )
    # No engine looks at photos, so the plan needs no look.
    setattr(request, MENDED_ALREADY, True)
    if form.is_valid():
        try:
            photo_log(photo=form.save(commit=False), picture=form.picture, user=request.user)
        except OSError:
            form.add_error("photo", _(DISK_FULL))
        else:
            return redirect(next_address(request, reverse("photos", args=[garden.pk])))
    return form_page(request, "rotation/photo_new.html", form)


@require_GET
def photo(request: HttpRequest, garden_id: int, photo_id: int, size: Size) -> HttpResponse:
    """Return a photo's picture; a browser asks each time whether it may still show its copy."""
    row = _photo(garden_for(request, garden_id), photo_id)
    etag = f'"{row.name[:12]}-{size}"'
    answer = get_conditional_response(request, etag=etag)
    if answer is None:
        try:
            file = photo_path(row.name, size).open("rb")
        except FileNotFoundError:
            raise Http404("The picture is not on this server's disk") from None
        answer = FileResponse(file, content_type="image/jpeg")
    answer["ETag"] = etag
    answer["Cache-Control"] = "private, no-cache"
    return answer


@require_POST
def remove(request: HttpRequest, garden_id: int, photo_id: int) -> HttpResponse:
    """Remove a photo; the undo bar brings it back."""
    garden = writable_garden_for(request, garden_id)
    setattr(request, MENDED_ALREADY, True)
    photo_remove(photo=_photo(garden, photo_id), user=request.user)
    return redirect("photos", garden_id=garden.pk)


def _photo(garden: Garden, photo_id: int) -> Photo:
    return get_object_or_404(garden.photos.select_related("garden"), pk=photo_id)
