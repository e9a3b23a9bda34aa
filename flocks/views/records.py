"""Logging something about a batch, changing it and removing it: one set of views for every kind."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from flocks.actions import record_change, record_log, record_remove
from flocks.loading import batch_for
from flocks.models import Batch, Weighing
from flocks.outlook import far_off
from flocks.record_forms import RecordForm
from flocks.record_kinds import RecordKind
from garden.access import writable_garden_for
from garden.taken_once import is_entry
from garden.views.form_page import form_page, posted
from garden.views.front import next_address
from garden.words import gettext as _


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int, batch_id: int, kind: RecordKind) -> HttpResponse:
    """Log a record; `?pen=` picks the pen and `next` says where to go on."""
    garden = writable_garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    initial = {"pen": request.GET["pen"]} if "pen" in request.GET else {}
    form = kind.form(posted(request), batch=batch, initial=initial)
    if form.is_valid():
        record = form.save(commit=False)
        said = _("Logged: {said}").format(said=kind.said(record, garden.unit_system))
        warning = far_off(batch, record) if kind.model is Weighing else ""
        record_log(record=record, user=request.user, said=said, has_key=is_entry(request))
        if warning:
            messages.warning(request, warning)
        return redirect(_address_after(request, batch))
    return _form_page(request, form, kind)


@require_http_methods(["GET", "POST"])
def edit(
    request: HttpRequest, garden_id: int, batch_id: int, kind: RecordKind, **ids: int
) -> HttpResponse:
    """Change a record."""
    garden = writable_garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    record = get_object_or_404(kind.model, pk=ids[kind.id_name], batch=batch)
    form = kind.form(posted(request), instance=record, batch=batch)
    if form.is_valid():
        record = form.save(commit=False)
        said = _("Changed: {said}").format(said=kind.said(record, garden.unit_system))
        record_change(record=record, user=request.user, said=said)
        return redirect(_address_after(request, batch))
    return _form_page(request, form, kind)


@require_POST
def remove(
    request: HttpRequest, garden_id: int, batch_id: int, kind: RecordKind, **ids: int
) -> HttpResponse:
    """Remove a record; the undo bar brings it back."""
    garden = writable_garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    record = get_object_or_404(kind.model, pk=ids[kind.id_name], batch=batch)
    record.batch = batch
    said = _("Removed: {said}").format(said=kind.said(record, garden.unit_system))
    record_remove(record=record, user=request.user, said=said)
    return redirect(_address_after(request, batch))


def _form_page(request: HttpRequest, form: RecordForm, kind: RecordKind) -> HttpResponse:
    record = form.instance
    context: dict[str, Any] = {
        "kind": kind,
        "batch": form.batch,
        "next": request.POST.get("next") or request.GET.get("next", ""),
    }
    if record.pk:
        arguments = [form.garden.pk, form.batch.pk, record.pk]
        context["remove_url"] = reverse(f"{kind.key}_remove", args=arguments)
    return form_page(request, "flocks/record_form.html", form, **context)


def _address_after(request: HttpRequest, batch: Batch) -> str:
    return next_address(request, reverse("batch", args=[batch.garden_id, batch.pk]))
