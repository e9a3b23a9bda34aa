"""Why a pen stands where the plan has it, or off the beds: a page of its own, or folded out under the move."""

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from garden.access import garden_for
from rotation.facts import GardenFacts, PenRun, facts_of
from rotation.models import Plan, PlannedStay
from rotation.planning import current_plan
from rotation.told import place_words
from rotation.why.cure_search import CureSearch
from rotation.why.here import why_here
from rotation.why.shut import shut_groups, shut_places

STEP_SECONDS, PAGE_SECONDS = 0.2, 1.0
"""How long an answer may look for cures: one of many behind the page, and the page itself. Our choice."""


@require_GET
@vary_on_headers("HX-Request")
def why(request: HttpRequest, garden_id: int, planned_id: int) -> HttpResponse:
    """Explain one stay of the newest plan, or the days off the beds that it belongs to."""
    garden = garden_for(request, garden_id)
    asked = get_object_or_404(PlannedStay, pk=planned_id, plan__garden=garden)
    today = garden.today()
    newest = current_plan(garden)
    facts = facts_of(garden, today)
    stay = next((stay for stay in newest.stays.all() if stay.pk == asked.pk), None)
    run = _run_of(facts, stay) if stay else None
    if run is None or stay.end_day <= today:
        # Another plan has taken this one's place meanwhile.
        if request.htmx:
            return render(request, "rotation/why_gone.html")
        return redirect("plan", garden_id=garden.pk)
    context = {"stay": stay, "today": today}
    context |= (
        _off_beds(facts, newest, run, stay)
        if stay.bed_id is None
        else _on_bed(facts, newest, run, stay)
    )
    template = "rotation/why_fold.html" if request.htmx else "rotation/why.html"
    return render(request, template, context)


def _run_of(facts: GardenFacts, stay: PlannedStay) -> PenRun | None:
    return next(
        (
            run
            for run in facts.runs
            if (run.batch.pk, run.pen.pk) == (stay.batch_id, stay.pen_id)
            and run.first_day < stay.end_day
            and stay.first_day < run.end_day
        ),
        None,
    )


def _on_bed(facts: GardenFacts, plan: Plan, run: PenRun, stay: PlannedStay) -> dict[str, Any]:
    return {
        "why": why_here(facts, list(plan.stays.all()), run, stay),
        "place": place_words(stay, facts),
        "first_day": stay.first_day,
        "end_day": stay.end_day,
    }


def _off_beds(facts: GardenFacts, plan: Plan, run: PenRun, stay: PlannedStay) -> dict[str, Any]:
    first_day, end_day = _whole_gap(plan, stay)
    first_day, end_day = max(first_day, facts.on, run.first_day), min(end_day, run.end_day)
    places = shut_places(facts, list(plan.stays.all()), run, first_day, end_day)
    return {
        "groups": shut_groups(places),
        "fitting": sum(_places_by_bed(places).values()),
        "beds": sum(1 for count in _places_by_bed(places).values() if count),
        "first_day": first_day,
        "end_day": end_day,
    }


def _places_by_bed(places: list) -> dict[int, int]:
    """Return how many places each bed has for the pen."""
    by_bed: dict[int, dict[str, int]] = {}
    for place in places:
        by_bed.setdefault(place.bed.pk, {})[place.place] = place.places
    return {bed: sum(counts.values()) for bed, counts in by_bed.items()}


def _whole_gap(plan: Plan, stay: PlannedStay) -> tuple[date, date]:
    """Return the days off the beds that a row belongs to: rows with other reasons may lie beside it."""
    rows = sorted(
        (
            row
            for row in plan.stays.all()
            if row.bed_id is None and (row.pen_id, row.batch_id) == (stay.pen_id, stay.batch_id)
        ),
        key=lambda row: row.first_day,
    )
    first_day, end_day = stay.first_day, stay.end_day
    for row in rows:
        if first_day <= row.first_day <= end_day:
            end_day = max(end_day, row.end_day)
    for row in reversed(rows):
        if first_day <= row.end_day <= end_day:
            first_day = min(first_day, row.first_day)
    return first_day, end_day


@require_GET
@vary_on_headers("HX-Request")
def cures(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show what would save days off the beds; htmx asks again until the search has ended."""
    garden = garden_for(request, garden_id)
    newest = current_plan(garden)
    if newest is None:
        return redirect("plan", garden_id=garden.pk)
    search = CureSearch(facts_of(garden, garden.today()), newest)
    search.go_on(STEP_SECONDS if request.htmx else PAGE_SECONDS)
    done, kinds = search.progress
    context = {"search": search, "cures": search.cures(), "done": done, "kinds": kinds}
    template = "rotation/why_cures_found.html" if request.htmx else "rotation/why_cures.html"
    return render(request, template, context)
