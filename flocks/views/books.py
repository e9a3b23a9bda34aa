"""Lines of the garden's books: one set of views for every kind."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from flocks.book_actions import line_change, line_log, line_remove
from flocks.book_kinds import BookKind
from flocks.models import Treatment
from flocks.models.records import Record
from flocks.withdrawal_words import wait_warning
from garden.access import writable_garden_for
from garden.models import Garden
from garden.views.form_page import form_page, posted
from garden.views.front import next_address
from garden.words import gettext as _

PREFILLED = ("batch", "on", "cut")


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int, kind: BookKind) -> HttpResponse:
    """Log a line; `?batch=` and the like fill the form in, `next` says where to go on."""
    garden = writable_garden_for(request, garden_id)
    initial = {name: request.GET[name] for name in PREFILLED if name in request.GET}
    form = kind.form(posted(request), garden=garden, initial=initial)
    if form.is_valid():
        line = form.save(commit=False)
        said = _("Logged: {said}").format(said=kind.said(line, garden.unit_system))
        line_log(garden=garden, line=line, user=request.user, said=said)
        _warn(request, line)
        return redirect(next_address(request, reverse(kind.book, args=[garden.pk])))
    return _page(request, form, garden, kind)


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, kind: BookKind, **ids: int) -> HttpResponse:
    """Change a line."""
    garden = writable_garden_for(request, garden_id)
    form = kind.form(posted(request), instance=_line(garden, kind, ids), garden=garden)
    if form.is_valid():
        line = form.save(commit=False)
        said = _("Changed: {said}").format(said=kind.said(line, garden.unit_system))
        line_change(garden=garden, line=line, user=request.user, said=said)
        _warn(request, line)
        return redirect(next_address(request, reverse(kind.book, args=[garden.pk])))
    return _page(request, form, garden, kind)


@require_POST
def remove(request: HttpRequest, garden_id: int, kind: BookKind, **ids: int) -> HttpResponse:
    """Remove a line; the undo bar brings it back."""
    garden = writable_garden_for(request, garden_id)
    line = _line(garden, kind, ids)
    said = _("Removed: {said}").format(said=kind.said(line, garden.unit_system))
    line_remove(garden=garden, line=line, user=request.user, said=said)
    return redirect(next_address(request, reverse(kind.book, args=[garden.pk])))


def _line(garden: Garden, kind: BookKind, ids: dict[str, int]) -> Record:
    return get_object_or_404(kind.model, pk=ids[kind.id_name], garden=garden)


def _warn(request: HttpRequest, line: Record) -> None:
    if isinstance(line, Treatment) and (told := wait_warning(line)):
        messages.warning(request, told)


def _page(request: HttpRequest, form: object, garden: Garden, kind: BookKind) -> HttpResponse:
    line = form.instance
    return form_page(
        request,
        "flocks/book_form.html",
        form,
        kind=kind,
        back=reverse(kind.book, args=[garden.pk]),
        next=request.POST.get("next") or request.GET.get("next", ""),
        remove_url=reverse(f"{kind.key}_remove", args=[garden.pk, line.pk]) if line.pk else "",
    )
