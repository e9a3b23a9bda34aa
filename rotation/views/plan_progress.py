"""How planning goes on, and ending it early."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST
from django_htmx.http import HttpResponseClientRefresh

from garden.access import garden_for, writable_garden_for
from garden.models import Garden
from garden.words import gettext as _
from rotation.middleware import MENDED_ALREADY
from rotation.plan_runs import plan_run_stop
from rotation.plan_state import newest_state

TEMPLATE = "rotation/plan_progress.html"


@require_GET
def progress(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Draw the line that says how planning goes; a Plan page that shows an older plan is told to load again."""
    garden = garden_for(request, garden_id)
    if not request.htmx:
        return redirect("plan", garden_id=garden.pk)
    return _line(request, garden)


@require_POST
def enough(request: HttpRequest, garden_id: int) -> HttpResponse:
    """End the search: the plan found so far is good enough."""
    garden = writable_garden_for(request, garden_id)
    setattr(request, MENDED_ALREADY, True)
    stopped = plan_run_stop(garden=garden)
    if request.htmx:
        return _line(request, garden)
    if not stopped:
        messages.success(request, _("Planning had ended already."))
    return redirect("plan", garden_id=garden.pk)


def _line(request: HttpRequest, garden: Garden) -> HttpResponse:
    state = newest_state(garden)
    place, seen = request.GET.get("place", ""), request.GET.get("seen", "")
    if place == "plan" and seen and state and state.mark != seen:
        return HttpResponseClientRefresh()
    context = {"plan_state": state, "planning_place": place, "is_news": bool(seen)}
    return render(request, TEMPLATE, context)
