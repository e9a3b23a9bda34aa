"""Will the plan hold? What is told, tried on many seasons of growth."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from garden.access import garden_for
from rotation.facts import facts_of
from rotation.planning import current_plan
from rotation.robustness import plan_tried

BEDS_TOLD = 3
"""Beds told at once; the others are unfolded. Our choice."""


@require_GET
@vary_on_headers("HX-Request")
def plan_holds(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Say in how many seasons the birds keep to every bed's nitrogen, and which bed breaks first."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    plan = current_plan(garden)
    stays = list(plan.stays.all()) if plan else []
    is_over = not any(stay.bed_id and stay.end_day > today for stay in stays)
    tried = None if is_over else plan_tried(facts_of(garden, today), stays)
    page = "rotation/plan_holds.html"
    context = {"tried": tried, "beds_told": f":{BEDS_TOLD}", "beds_more": f"{BEDS_TOLD}:"}
    return render(request, f"{page}#holds" if request.htmx else page, context)
