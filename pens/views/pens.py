"""The garden's pens: how they fit the beds, and adding, changing and giving up one."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import garden_for, ruled_garden_for
from garden.models import Garden, Planting
from garden.planting_forms import PlantedNowForm
from garden.undo import undoable
from garden.views.form_page import form_page, posted
from garden.views.plantings import tell_neighbours
from garden.words import gettext as _
from pens.actions import pen_retire
from pens.forms import PenForm
from pens.models import Pen
from pens.sheets import pen_sheets, suggestion_for
from pens.suggestion import next_pen_name


@require_GET
def build(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show each pen to scale, with the beds it fits."""
    garden = garden_for(request, garden_id)
    beds = list(garden.beds.in_use())
    sheets = pen_sheets(garden, garden.pens.in_use(), beds)
    context = {"sheets": sheets, "has_beds": bool(beds), "designs": list(garden.designs.all())}
    return render(request, "pens/build.html", context)


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Add a pen; the form suggests one that fits the beds."""
    garden = ruled_garden_for(request, garden_id)
    form = _new_pen_form(garden, posted(request))
    if form.is_valid():
        _add_pen(request, garden, form)
        return redirect("build", garden_id=garden.pk)
    return form_page(request, "pens/pen_new.html", form)


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, pen_id: int) -> HttpResponse:
    """Change a pen's name or size."""
    garden = ruled_garden_for(request, garden_id)
    pen = get_object_or_404(garden.pens.in_use(), pk=pen_id)
    form = PenForm(posted(request), instance=pen, garden=garden)
    if form.is_valid():
        with undoable(garden, request.user, _("{pen} changed").format(pen=pen)) as step:
            step.changing(pen)
            form.save()
        return redirect("build", garden_id=garden.pk)
    return form_page(request, "pens/pen_edit.html", form, pen_id=pen.pk)


@require_POST
def retire(request: HttpRequest, garden_id: int, pen_id: int) -> HttpResponse:
    """Give a pen up; it keeps its past and takes no more birds."""
    garden = ruled_garden_for(request, garden_id)
    pen = get_object_or_404(garden.pens.in_use(), pk=pen_id)
    try:
        pen_retire(pen=pen, user=request.user, on=garden.today())
    except ValidationError as refusal:
        for reason in refusal.messages:
            messages.error(request, reason)
        return redirect("pen_edit", garden_id=garden.pk, pen_id=pen.pk)
    return redirect("build", garden_id=garden.pk)


@require_http_methods(["GET", "POST"])
def guide_pens(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Screen 2 of the first run: the pens, and what stands in the beds already."""
    garden = ruled_garden_for(request, garden_id)
    adding = request.POST.get("add")
    pen_form = _new_pen_form(garden, posted(request) if adding == "pen" else None)
    planted_form = PlantedNowForm(
        posted(request) if adding == "planting" else None,
        instance=Planting(),
        garden=garden,
        prefix="planted",
    )
    form = planted_form if adding == "planting" else pen_form
    if form.is_valid():
        add = _add_planting if form is planted_form else _add_pen
        add(request, garden, form)
        return redirect("guide_pens", garden_id=garden.pk)
    context = {
        "pen_form": pen_form,
        "planted_form": planted_form,
        "pens": garden.pens.in_use(),
        "plantings": Planting.objects.of(garden).select_related("bed", "crop"),
        "beds": garden.beds.in_use(),
    }
    return form_page(request, "pens/guide_pens.html", form, **context)


def _new_pen_form(garden: Garden, data: object) -> PenForm:
    names = [pen.name for pen in garden.pens.all()]
    suggestion = {"name": next_pen_name(names)} | suggestion_for(garden, garden.beds.in_use())
    return PenForm(data, instance=Pen(garden=garden), garden=garden, initial=suggestion)


def _add_pen(request: HttpRequest, garden: Garden, form: PenForm) -> None:
    said = _("{pen} added").format(pen=form.instance)
    with undoable(garden, request.user, said) as step:
        step.made(form.save())


def _add_planting(request: HttpRequest, garden: Garden, form: PlantedNowForm) -> None:
    planting = form.instance
    said = _("{crop} in {bed} added").format(crop=planting.crop, bed=planting.bed)
    with undoable(garden, request.user, said) as step:
        step.made(form.save())
    tell_neighbours(request, planting)
