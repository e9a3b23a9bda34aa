"""What grows in the beds, and the garden's own figures of each crop."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import garden_for, ruled_garden_for, writable_garden_for
from garden.day_words import day_words
from garden.models import Crop, Planting
from garden.planting_forms import CropForm, PlantingForm
from garden.undo import undoable
from garden.views.form_page import form_page, posted
from garden.words import gettext as _


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int, bed_id: int) -> HttpResponse:
    """Log or plan a crop in a bed."""
    garden = writable_garden_for(request, garden_id)
    bed = get_object_or_404(garden.beds.in_use().with_crops(), pk=bed_id)
    form = PlantingForm(
        posted(request),
        instance=Planting(bed=bed),
        garden=garden,
        initial={"starts_on": garden.today()} | _asked(request),
    )
    if form.is_valid():
        with undoable(
            garden,
            request.user,
            _("{crop} in {bed} added").format(crop=form.instance.crop, bed=bed),
        ) as step:
            step.made(form.save())
        tell_neighbours(request, form.instance)
        return redirect("bed", garden_id=garden.pk, bed_id=bed.pk)
    return form_page(request, "garden/planting_new.html", form, bed=bed)


def _asked(request: HttpRequest) -> dict[str, str]:
    """Return the fields that a link to the form has filled in, such as a suggested crop with its days."""
    return {name: request.GET[name] for name in PlantingForm.Meta.fields if name in request.GET}


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, planting_id: int) -> HttpResponse:
    """Change a crop's days, or the crop."""
    garden = writable_garden_for(request, garden_id)
    planting = get_object_or_404(
        Planting.objects.of(garden).select_related("bed", "crop"), pk=planting_id
    )
    form = PlantingForm(posted(request), instance=planting, garden=garden)
    if form.is_valid():
        with undoable(
            garden,
            request.user,
            _("{crop} in {bed} changed").format(crop=planting.crop, bed=planting.bed),
        ) as step:
            step.changing(planting)
            form.save()
        tell_neighbours(request, planting)
        return redirect("bed", garden_id=garden.pk, bed_id=planting.bed_id)
    return form_page(
        request, "garden/planting_edit.html", form, planting_id=planting.pk, bed=planting.bed
    )


@require_POST
def remove(request: HttpRequest, garden_id: int, planting_id: int) -> HttpResponse:
    """Take a planting off the books, as if it had not been."""
    garden = writable_garden_for(request, garden_id)
    planting = get_object_or_404(
        Planting.objects.of(garden).select_related("bed", "crop"), pk=planting_id
    )
    with undoable(
        garden,
        request.user,
        _("{crop} in {bed} removed").format(crop=planting.crop, bed=planting.bed),
    ) as step:
        step.removing(planting)
        planting.delete()
    return redirect("bed", garden_id=garden.pk, bed_id=planting.bed_id)


def tell_neighbours(request: HttpRequest, planting: Planting) -> None:
    """Say which other crops share the bed; that is allowed, and sometimes a slip."""
    for other in Planting.objects.beside(planting).select_related("crop"):
        first_day = max(other.starts_on, planting.starts_on)
        last_day = min(other.ends_on, planting.ends_on)
        told = _(
            "{crop} shares the bed from {first_day} to {last_day}. Two crops in one place are allowed."
        )
        messages.info(
            request,
            told.format(
                crop=other.crop, first_day=day_words(first_day), last_day=day_words(last_day)
            ),
        )


@require_GET
def crops(request: HttpRequest, garden_id: int) -> HttpResponse:
    """List the garden's crops with their figures."""
    garden = garden_for(request, garden_id)
    return render(request, "garden/crops.html", {"crops": garden.crops.all()})


@require_http_methods(["GET", "POST"])
def crop_new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Add a crop of the garden's own."""
    garden = ruled_garden_for(request, garden_id)
    form = CropForm(posted(request), instance=Crop(garden=garden), garden=garden)
    if form.is_valid():
        with undoable(garden, request.user, _("{crop} added").format(crop=form.instance)) as step:
            step.made(form.save())
        return redirect("crops", garden_id=garden.pk)
    return form_page(request, "garden/crop_new.html", form)


@require_http_methods(["GET", "POST"])
def crop_edit(request: HttpRequest, garden_id: int, crop_id: int) -> HttpResponse:
    """Change a crop's figures to what this garden has learnt."""
    garden = ruled_garden_for(request, garden_id)
    crop = get_object_or_404(garden.crops, pk=crop_id)
    source = crop.source
    form = CropForm(posted(request), instance=crop, garden=garden)
    if form.is_valid():
        with undoable(garden, request.user, _("{crop} changed").format(crop=crop)) as step:
            step.changing(crop)
            form.save()
        return redirect("crops", garden_id=garden.pk)
    return form_page(request, "garden/crop_edit.html", form, source=source)
