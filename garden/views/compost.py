"""Compost heaps: the list, a new one, what goes on, the log, and what a bed gets. A heap's page is upstairs."""

from collections.abc import Callable

from django.db import models
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import garden_for, writable_garden_for
from garden.compost import share_carried
from garden.day_words import date_words
from garden.heap_forms import HeapForm, HeapInputForm, HeapReadingForm, HeapSpreadForm
from garden.heap_state import heap_state
from garden.models import Garden, Heap, HeapInput, HeapReading, Spread
from garden.undo import undoable
from garden.views.form_page import form_page, posted
from garden.words import gettext as _
from garden.words import local_mark


@require_GET
def heaps(request: HttpRequest, garden_id: int) -> HttpResponse:
    """List the heaps, newest first."""
    garden = garden_for(request, garden_id)
    return render(request, "garden/heaps.html", {"heaps": garden.heaps.all()})


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Begin a heap."""
    garden = writable_garden_for(request, garden_id)
    form = HeapForm(
        posted(request),
        instance=Heap(garden=garden),
        garden=garden,
        initial={"started_on": garden.today()},
    )
    if form.is_valid():
        with undoable(garden, request.user, _("{heap} begun").format(heap=form.instance)) as step:
            step.made(form.save())
        return redirect("heap", garden_id=garden.pk, heap_id=form.instance.pk)
    return form_page(request, "garden/heap_form.html", form, heading=_("Begin a heap"))


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, heap_id: int) -> HttpResponse:
    """Change a heap's name, kind or days."""
    garden, heap = _heap(request, garden_id, heap_id)
    form = HeapForm(posted(request), instance=heap, garden=garden)
    if form.is_valid():
        with undoable(garden, request.user, _("{heap} changed").format(heap=heap)) as step:
            step.changing(heap)
            form.save()
        return redirect("heap", garden_id=garden.pk, heap_id=heap_id)
    return form_page(request, "garden/heap_form.html", form, heading=_("Change a heap"), heap=heap)


@require_http_methods(["GET", "POST"])
def input_new(request: HttpRequest, garden_id: int, heap_id: int) -> HttpResponse:
    """Put something on a heap."""
    garden, heap = _heap(request, garden_id, heap_id)
    form = HeapInputForm(
        posted(request),
        instance=HeapInput(heap=heap, logged_by=request.user),
        garden=garden,
        initial={"on": garden.today(), "material": request.GET.get("material", "straw")},
    )
    if form.is_valid():
        _save(
            request,
            garden,
            form.save,
            _("{heap}: {mass} kg put on").format(
                heap=heap, mass=local_mark(f"{form.instance.mass_kg:g}")
            ),
        )
        return redirect("heap", garden_id=garden.pk, heap_id=heap_id)
    return form_page(
        request, "garden/heap_form.html", form, heading=_("Put on the heap"), heap=heap
    )


@require_http_methods(["GET", "POST"])
def reading_new(request: HttpRequest, garden_id: int, heap_id: int) -> HttpResponse:
    """Log how hot a heap is, or that it was turned."""
    garden, heap = _heap(request, garden_id, heap_id)
    form = HeapReadingForm(
        posted(request),
        instance=HeapReading(heap=heap, logged_by=request.user),
        garden=garden,
        initial={"on": garden.today()},
    )
    if form.is_valid():
        _save(
            request,
            garden,
            form.save,
            _("{heap}: log of {day}").format(heap=heap, day=date_words(form.instance.on)),
        )
        return redirect("heap", garden_id=garden.pk, heap_id=heap_id)
    heading = _("Temperature or turning")
    return form_page(request, "garden/heap_form.html", form, heading=heading, heap=heap)


@require_http_methods(["GET", "POST"])
def spread_new(request: HttpRequest, garden_id: int, heap_id: int) -> HttpResponse:
    """Carry a share of what is left of a heap to a bed."""
    garden, heap = _heap(request, garden_id, heap_id)
    state = heap_state(heap)
    form = HeapSpreadForm(
        posted(request),
        instance=Spread(heap=heap, logged_by=request.user),
        garden=garden,
        initial={"on": garden.today(), "heap_percent": 100},
    )
    if form.is_valid():
        on, percent = form.cleaned_data["on"], form.cleaned_data["heap_percent"]
        form.carry(share_carried(state.account, percent), is_composted=state.is_composted(on))
        _save(
            request,
            garden,
            form.save,
            _("{heap}: {percent} % to {bed}").format(
                heap=heap, percent=local_mark(f"{percent:g}"), bed=form.instance.bed
            ),
        )
        return redirect("heap", garden_id=garden.pk, heap_id=heap_id)
    return form_page(
        request,
        "garden/heap_form.html",
        form,
        heading=_("Carry to a bed"),
        heap=heap,
        is_raw=not state.is_composted(garden.today()),
    )


LINES = {"input": HeapInput, "reading": HeapReading, "carried": Spread}


@require_POST
def line_remove(
    request: HttpRequest, garden_id: int, heap_id: int, line: str, **ids: int
) -> HttpResponse:
    """Take a line off a heap's books."""
    garden, heap = _heap(request, garden_id, heap_id)
    row = get_object_or_404(LINES[line], pk=ids[f"{line}_id"], heap=heap)
    with undoable(
        garden,
        request.user,
        _("{heap}: a line of {day} removed").format(heap=heap, day=date_words(row.on)),
    ) as step:
        step.removing(row)
        row.delete()
    return redirect("heap", garden_id=garden.pk, heap_id=heap_id)


def _heap(request: HttpRequest, garden_id: int, heap_id: int) -> tuple[Garden, Heap]:
    garden = writable_garden_for(request, garden_id)
    return garden, get_object_or_404(garden.heaps, pk=heap_id)


def _save(
    request: HttpRequest, garden: Garden, save: Callable[[], models.Model], said: str
) -> models.Model:
    with undoable(garden, request.user, said) as step:
        row = save()
        step.made(row)
    return row
