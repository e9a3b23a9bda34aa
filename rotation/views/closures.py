"""Days on which a bed is not to be had: added, changed, taken off."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST

from garden.access import writable_garden_for
from garden.models import Garden
from garden.views.form_page import form_page, posted
from rotation.board_forms import ClosureForm
from rotation.models import Closure
from rotation.wishes import closure_remove, closure_save


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Take a bed out of use for some days; the plan goes round it."""
    garden = writable_garden_for(request, garden_id)
    initial = {"bed": request.GET.get("bed"), "first_day": garden.today()}
    form = ClosureForm(posted(request), garden=garden, initial=initial)
    if form.is_valid():
        closure_save(garden=garden, user=request.user, closure=form.save(commit=False))
        return redirect("plan", garden_id=garden.pk)
    return form_page(request, "rotation/board_closure.html", form)


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, closure_id: int) -> HttpResponse:
    """Change for which days a bed is out of use."""
    garden = writable_garden_for(request, garden_id)
    form = ClosureForm(posted(request), garden=garden, instance=_closure(garden, closure_id))
    if form.is_valid():
        closure_save(garden=garden, user=request.user, closure=form.save(commit=False))
        return redirect("plan", garden_id=garden.pk)
    return form_page(request, "rotation/board_closure.html", form, closure_id=closure_id)


@require_POST
def remove(request: HttpRequest, garden_id: int, closure_id: int) -> HttpResponse:
    """Give a bed back."""
    garden = writable_garden_for(request, garden_id)
    closure = _closure(garden, closure_id)
    closure_remove(garden=garden, user=request.user, closure=closure)
    return redirect("bed", garden_id=garden.pk, bed_id=closure.bed_id)


def _closure(garden: Garden, closure_id: int) -> Closure:
    return get_object_or_404(Closure.objects.of(garden).select_related("bed"), pk=closure_id)
