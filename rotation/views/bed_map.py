"""Beds moved and turned on the map, by drag or by typing."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from garden.access import ruled_garden_for
from garden.views.form_page import form_page, posted
from rotation.garden_map import plain_map
from rotation.map_form import MapForm, beds_place


@require_http_methods(["GET", "POST"])
def bed_map(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show every bed with its place, and take new places."""
    garden = ruled_garden_for(request, garden_id)
    beds = list(garden.beds.in_use())
    drawing = plain_map(garden, beds)
    form = MapForm(posted(request), garden=garden, beds=beds)
    if form.is_valid():
        if moved := form.moved():
            beds_place(garden=garden, user=request.user, beds=moved)
        return redirect("beds", garden_id=garden.pk)
    return form_page(request, "rotation/bed_map.html", form, map=drawing)
