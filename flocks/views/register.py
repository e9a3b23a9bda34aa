"""The register, what was changed by whom, and both as a file."""

import csv
from dataclasses import asdict

from django.contrib.auth.models import AbstractBaseUser
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from flocks.register import (
    HEADINGS,
    ChangesForm,
    DayRange,
    RangeForm,
    changes_between,
    export_lines,
    flocks_of,
    overrides_between,
    range_of,
    register_of,
)
from garden.access import garden_for
from garden.changes_told import rows_changed
from garden.models import Garden

CHANGES_A_PAGE = 50


@require_GET
def register(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show flocks, medicines, feed lots, cleaning and visitors between two days."""
    garden = garden_for(request, garden_id)
    form = RangeForm(request.GET or None)
    days = range_of(form, garden.today())
    context = {
        "form": form if form.errors else RangeForm(initial=asdict(days)),
        "days": days,
        "flocks": flocks_of(garden, days),
        "kinds": register_of(garden, days),
        "overrides": overrides_between(garden, days),
        "today": garden.today(),
    }
    return render(request, "flocks/register.html", context)


@require_GET
def changes(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show what was changed and by whom; an owner sees each value too."""
    garden = garden_for(request, garden_id)
    form = ChangesForm(request.GET or None, garden=garden)
    days = range_of(form, garden.today())
    person = form.cleaned_data.get("person") if form.is_valid() else None
    pages = Paginator(changes_between(garden, days, person), CHANGES_A_PAGE)
    steps = pages.get_page(request.GET.get("page"))
    query = request.GET.copy()
    query.pop("page", None)
    told = [(step, rows_changed(step) if request.membership.may_rule else []) for step in steps]
    shown = form if form.errors else _filled_in(garden, days, person)
    context = {
        "form": shown,
        "days": days,
        "steps": steps,
        "told": told,
        "query": query.urlencode(),
    }
    return render(request, "flocks/changes.html", context)


def _filled_in(garden: Garden, days: DayRange, person: AbstractBaseUser | None) -> ChangesForm:
    name = person.get_username() if person else None
    return ChangesForm(initial=asdict(days) | {"person": name}, garden=garden)


@require_GET
def register_csv(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Send the register between two days as a CSV file, in SI units."""
    garden = garden_for(request, garden_id)
    days = range_of(RangeForm(request.GET or None), garden.today())
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    name = f"register-{days.since:%Y-%m-%d}-{days.until:%Y-%m-%d}.csv"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    writer = csv.writer(response)
    writer.writerow(HEADINGS)
    writer.writerows(export_lines(garden, days))
    return response
