"""A garden's settings: everybody may read them, an owner may change them."""

from copy import copy

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from garden.access import garden_for, ruled_garden_for
from garden.actions import garden_change_rules
from garden.garden_forms import SettingsForm
from garden.views.form_page import form_page, posted


@require_http_methods(["GET", "POST"])
def settings(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show the settings and what each rests on; save an owner's changes."""
    load = ruled_garden_for if request.method == "POST" else garden_for
    garden = load(request, garden_id)
    # A copy, so that a refused form does not leave its values on the garden in the page's frame.
    form = SettingsForm(posted(request), instance=copy(garden), garden=garden)
    if form.is_valid():
        if form.has_changed():
            garden_change_rules(garden=form.instance, user=request.user)
        return redirect("garden_settings", garden_id=garden.pk)
    return form_page(request, "garden/settings.html", form)
