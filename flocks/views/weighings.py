"""Weighing made easy: how many birds and when, and weights read in from a table."""

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from flocks.actions import weighing_key, weighings_import
from flocks.forecasting import paths_of
from flocks.headcount import birds_alive
from flocks.import_forms import WeightsImportForm
from flocks.loading import batch_for
from flocks.models import Batch, Weighing
from flocks.weighing_advice import birds_enough, error_share, narrowings, next_weighing
from flocks.weights_import import WeightTable
from garden.access import garden_for, writable_garden_for
from garden.views.form_page import form_page
from garden.words import gettext as _

DAYS_AHEAD = 21
"""How far ahead a weighing is suggested [day]. A choice."""
REST_DAYS = 3
"""Days between two weighings at least [day]. A choice: catching birds costs them growth."""


@require_GET
def advice(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Say how many birds are enough, and which day's weighing tells most."""
    garden = garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    if batch.finished_on:
        return redirect("batch", garden_id=garden.pk, batch_id=batch.pk)
    on = garden.today()
    paths, alive = paths_of(batch, on), birds_alive(batch, on)
    bird_cv = paths.posterior.bird_cv
    enough = birds_enough(bird_cv, alive) if alive else None
    count = enough or alive
    ages = _ages(batch)
    told = narrowings(paths, batch.target_g, ages, count) if alive else ()
    best = next_weighing(told)
    context = {
        "batch": batch,
        "alive": alive,
        "bird_cv_percent": 100 * bird_cv,
        "enough": enough,
        "errors": [
            (birds, 100 * error_share(bird_cv, alive, birds))
            for birds in sorted({1, 3, 5, 10, 20, count})
            if 1 <= birds <= alive
        ],
        "best": best,
        "best_on": best and batch.hatch_on + timedelta(days=best.age_days),
        "told": [(batch.hatch_on + timedelta(days=each.age_days), each) for each in told],
        "add": alive and on >= batch.hatch_on,
    }
    return render(request, "flocks/weighing_advice.html", context)


def _ages(batch: Batch) -> range:
    """Return the ages at which one could weigh next, up to processing."""
    today = max(1, batch.age_days(batch.garden.today()))
    last = max((batch.age_days(row.on) for row in batch.weighing_set.all()), default=-REST_DAYS)
    first = max(today, last + REST_DAYS)
    end = max(batch.age_days(batch.processing_on), first + 1)
    return range(first, min(first + DAYS_AHEAD, end, 150))


@require_http_methods(["GET", "POST"])
def read_in(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Read a table of weights: first a look at every row, then, confirmed, all of them as one step."""
    garden = writable_garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = WeightsImportForm(*sent, batch=batch)
    if not form.is_valid():
        return form_page(request, "flocks/weights_import.html", form, batch=batch)
    there = {weighing_key(row) for row in batch.weighing_set.all()}
    rows = [(row, _weighing(row)) for row in form.table.rows]
    new = [weighing for _, weighing in rows if weighing_key(weighing) not in there]
    if "confirm" in request.POST and new:
        weighings_import(batch=batch, user=request.user, weighings=new)
        _tell_left_out(request, form.table)
        return redirect("batch", garden_id=garden.pk, batch_id=batch.pk)
    preview = [(row, weighing_key(weighing) in there) for row, weighing in rows]
    context = {"form": form, "batch": batch, "table": form.table, "preview": preview}
    context |= {"new": len(new), "text": form.cleaned_data["text"]}
    return render(request, "flocks/weights_import.html", context)


def _weighing(row: object) -> Weighing:
    return Weighing(on=row.on, count=row.count, mean_g=row.mean_g, weights_g=list(row.weights_g))


def _tell_left_out(request: HttpRequest, table: WeightTable) -> None:
    if table.faults:
        lines = ", ".join(str(fault.line) for fault in table.faults[:10])
        messages.warning(
            request, _("Left out, as they could not be read: row {lines}.").format(lines=lines)
        )
