"""The first run: make a garden, then add its beds. Pens and birds follow on the floors above."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from garden.access import ruled_garden_for
from garden.actions import beds_create_alike, garden_create
from garden.bed_forms import FirstBedsForm
from garden.garden_forms import NewGardenForm
from garden.views.form_page import form_page, posted
from garden.words import gettext as _

USUAL_BED = {
    "metric": {"length_mm": 2400.0, "width_mm": 1200.0, "height_mm": 300.0},
    "us": {"length_mm": 2438.4, "width_mm": 1219.2, "height_mm": 279.4},
}
"""What the first form suggests [mm]: 4 ft by 8 ft, 11 in high, or near it. Common practice, no source."""


@require_http_methods(["GET", "POST"])
def start(request: HttpRequest) -> HttpResponse:
    """Make a garden for the user."""
    form = NewGardenForm(posted(request))
    if form.is_valid():
        garden = garden_create(user=request.user, **form.cleaned_data)
        return redirect("guide_beds", garden_id=garden.pk)
    return form_page(request, "garden/garden_new.html", form)


@require_http_methods(["GET", "POST"])
def guide_beds(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Screen 1: add beds until all are there."""
    garden = ruled_garden_for(request, garden_id)
    suggestion = {"name": _("Bed"), "count": 4, **USUAL_BED[garden.unit_system]}
    form = FirstBedsForm(posted(request), garden=garden, initial=suggestion)
    if form.is_valid():
        beds_create_alike(
            garden=garden,
            user=request.user,
            pattern=form.pattern(),
            count=form.cleaned_data["count"],
        )
        return redirect("guide_beds", garden_id=garden.pk)
    beds = garden.beds.in_use()
    return form_page(request, "garden/guide_beds.html", form, beds=beds)
