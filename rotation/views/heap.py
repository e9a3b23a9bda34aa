"""A compost heap's page, and putting on it what birds dropped off the beds or on one."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import garden_for, writable_garden_for
from garden.compost import NITROGEN_LOST, materials
from garden.heap_state import heap_state
from garden.models import HeapInput
from garden.undo import undoable
from garden.views.form_page import form_page, posted
from garden.words import gettext as _
from rotation.heap_forms import LiftForm
from rotation.lifting import off_bed_droppings


@require_GET
def heap(request: HttpRequest, garden_id: int, heap_id: int) -> HttpResponse:
    """Show a heap: is it composted, what it still takes, what it holds, its log."""
    garden = garden_for(request, garden_id)
    shown = get_object_or_404(garden.heaps, pk=heap_id)
    state, on = heap_state(shown), garden.today()
    is_open = shown.closed_on is None or shown.closed_on >= on
    known = materials()
    context = {
        "heap": shown,
        "state": state,
        "is_open": is_open,
        "is_composted": state.is_composted(on),
        "inputs": [(row, known[row.material]) for row in state.inputs if row.material in known],
        "off_bed": off_bed_droppings(garden, on) if is_open else None,
        "loss": NITROGEN_LOST,
        "today": on,
    }
    return render(request, "rotation/heap.html", context)


@require_POST
def off_bed_put_on(request: HttpRequest, garden_id: int, heap_id: int) -> HttpResponse:
    """Put on a heap what was dropped off the beds since the last time."""
    garden = writable_garden_for(request, garden_id)
    shown = get_object_or_404(garden.heaps, pk=heap_id)
    on = garden.today()
    lifted = off_bed_droppings(garden, on)
    if lifted.pen_days:
        row = HeapInput(
            heap=shown,
            on=on,
            logged_by=request.user,
            material="droppings",
            mass_kg=lifted.mass_kg,
            carbon_g=lifted.carbon_g,
            nitrogen_g=lifted.nutrients.nitrogen_g,
            phosphorus_g=lifted.nutrients.phosphorus_g,
            potassium_g=lifted.nutrients.potassium_g,
            days_until=on,
        )
        with undoable(
            garden, request.user, _("{shown}: droppings put on").format(shown=shown)
        ) as step:
            row.save()
            step.made(row)
    return redirect("heap", garden_id=garden_id, heap_id=heap_id)


@require_http_methods(["GET", "POST"])
def lift(request: HttpRequest, garden_id: int, heap_id: int) -> HttpResponse:
    """Put on a heap what was lifted from a bed."""
    garden = writable_garden_for(request, garden_id)
    shown = get_object_or_404(garden.heaps, pk=heap_id)
    form = LiftForm(
        posted(request),
        instance=HeapInput(heap=shown, logged_by=request.user),
        garden=garden,
        initial={"on": garden.today(), "bed": request.GET.get("bed")},
    )
    if form.is_valid():
        with undoable(
            garden,
            request.user,
            _("{shown}: lifted from {bed}").format(shown=shown, bed=form.instance.bed),
        ) as step:
            step.made(form.save())
        return redirect("heap", garden_id=garden_id, heap_id=heap_id)
    heading = _("Lift from a bed")
    return form_page(request, "garden/heap_form.html", form, heading=heading, heap=shown)
