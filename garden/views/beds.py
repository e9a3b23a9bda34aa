"""Adding, changing and giving up beds."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST

from garden.access import ruled_garden_for
from garden.actions import bed_retire, beds_create_alike
from garden.bed_forms import BedForm, NewBedsForm
from garden.undo import undoable
from garden.views.form_page import form_page, posted
from garden.words import gettext as _


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Add a bed, or several alike."""
    garden = ruled_garden_for(request, garden_id)
    form = NewBedsForm(posted(request), garden=garden)
    if form.is_valid():
        beds_create_alike(
            garden=garden,
            user=request.user,
            pattern=form.pattern(),
            count=form.cleaned_data["count"],
        )
        return redirect("beds", garden_id=garden.pk)
    return form_page(request, "garden/bed_new.html", form)


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, bed_id: int) -> HttpResponse:
    """Change a bed's name, size or place."""
    garden = ruled_garden_for(request, garden_id)
    bed = get_object_or_404(garden.beds.in_use(), pk=bed_id)
    form = BedForm(posted(request), instance=bed, garden=garden)
    if form.is_valid():
        with undoable(garden, request.user, _("{bed} changed").format(bed=bed)) as step:
            step.changing(bed)
            form.save()
        return redirect("bed", garden_id=garden.pk, bed_id=bed.pk)
    return form_page(request, "garden/bed_edit.html", form, bed_id=bed.pk)


@require_POST
def retire(request: HttpRequest, garden_id: int, bed_id: int) -> HttpResponse:
    """Give a bed up; it keeps its past and takes no more birds."""
    garden = ruled_garden_for(request, garden_id)
    bed = get_object_or_404(garden.beds.in_use(), pk=bed_id)
    try:
        bed_retire(bed=bed, user=request.user, on=garden.today())
    except ValidationError as refusal:
        for reason in refusal.messages:
            messages.error(request, reason)
        return redirect("bed_edit", garden_id=garden.pk, bed_id=bed.pk)
    return redirect("beds", garden_id=garden.pk)
