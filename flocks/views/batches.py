"""The batches of a garden, the page of one, changing it, and its records as a file."""

import csv
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from flocks.actions import batch_update
from flocks.batch_charts import feed_chart, page_chart, weight_chart
from flocks.brooding import brooder_needs
from flocks.exporting import HEADINGS, export_rows
from flocks.flock_alarms import flock_alarms, survivors_of
from flocks.forecasting import BatchForecast, birds_alive, forecast_of
from flocks.forms import BatchForm
from flocks.loading import batch_for, load_water_and_notes
from flocks.models import Batch
from flocks.outlook import (
    feed_outlook,
    first_crowded,
    pen_outlooks,
    readiness,
    standing,
    totals,
)
from flocks.own_birds import sources_of
from flocks.record_lines import newest_logs
from flocks.weight_workings import weight_workings
from flocks.withdrawal_words import wait_cautions
from garden.access import garden_for, writable_garden_for
from garden.units import TEMPERATURE
from garden.views.form_page import form_page, posted
from garden.words import gettext as _
from garden.words import mark

STAGE_HEADINGS = {
    "garden": mark("In the garden"),
    "brooder": mark("In the brooder"),
    "planned": mark("Planned"),
    "finished": mark("Finished"),
}


@require_GET
def batches(request: HttpRequest, garden_id: int) -> HttpResponse:
    """List the batches by where their birds are, each with the sentence that matters."""
    garden = garden_for(request, garden_id)
    on = garden.today()
    by_stage: dict[str, list[dict[str, Any]]] = {stage: [] for stage in STAGE_HEADINGS}
    for batch in garden.batches.with_records():
        batch.garden = garden  # spares a query for each batch
        by_stage[batch.stage(on)].append(_card(batch, on))
    groups = [(_(STAGE_HEADINGS[stage]), cards) for stage, cards in by_stage.items() if cards]
    return render(request, "flocks/batches.html", {"groups": groups, "on": on})


def _card(batch: Batch, on: date) -> dict[str, Any]:
    card: dict[str, Any] = {"batch": batch, "stage": batch.stage(on), "age": batch.age_days(on)}
    if card["stage"] == "finished":
        return card | {"totals": totals(batch)}
    forecast = forecast_of(batch, on)
    return card | {
        "alive": birds_alive(batch, on),
        "weight": forecast.weight_g(on),
        "ready_on": forecast.ready_on,
    }


@require_GET
def batch(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Show one batch: how it does, when it is ready, what it needs, what was logged."""
    garden = garden_for(request, garden_id)
    shown = batch_for(garden, batch_id)
    load_water_and_notes(shown)
    on = min(garden.today(), shown.finished_on or garden.today())
    forecast = forecast_of(shown, on)
    context = {
        "batch": shown,
        "on": on,
        "age": shown.age_days(on),
        "stage": shown.stage(on),
        "forecast": forecast,
        "logs": newest_logs(shown),
        "waits": wait_cautions(shown, on),
        "sources": sources_of(shown),
        **_charts(shown, forecast, on),
        **(_finished(shown) if shown.finished_on else _running(shown, forecast, on)),
    }
    return render(request, "flocks/batch.html", context)


def _charts(shown: Batch, forecast: BatchForecast, on: date) -> dict[str, Any]:
    says = _("What they weighed.") if shown.finished_on else readiness(shown, forecast, on)
    return {
        "weight_chart": page_chart(weight_chart(shown, forecast, on, says)),
        "feed_chart": page_chart(feed_chart(shown, forecast, on)),
    }


def _finished(shown: Batch) -> dict[str, Any]:
    return {"totals": totals(shown)}


def _running(shown: Batch, forecast: BatchForecast, on: date) -> dict[str, Any]:
    outlooks = pen_outlooks(shown, forecast, on)
    context = {
        "facts": standing(shown, forecast, on) if on >= shown.hatch_on else None,
        "why_weight": weight_workings(shown, on),
        "readiness": readiness(shown, forecast, on),
        "feed": feed_outlook(shown, forecast, on),
        "pens": outlooks,
        "crowded": first_crowded(outlooks),
        "is_overdue": shown.processing_on < on,
        "alarms": flock_alarms(shown, on),
        "survivors": survivors_of(shown, on),
    }
    if shown.stage(on) == "brooder":
        context["brooder"] = _brooder(shown, on)
    return context


def _brooder(shown: Batch, on: date) -> dict[str, Any]:
    needs, system = brooder_needs(shown.age_days(on)), shown.garden.unit_system
    return {
        "low": TEMPERATURE.show(needs.low_c, system),
        "high": TEMPERATURE.show(needs.high_c, system),
        "floor_m2": needs.floor_m2 * birds_alive(shown, on),
        "source": needs.source,
    }


@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Change a batch's name, birds, weight wanted, days or pens; `?processing_on=` proposes a day."""
    garden = writable_garden_for(request, garden_id)
    changed = batch_for(garden, batch_id)
    proposed = {name: request.GET[name] for name in ("processing_on",) if name in request.GET}
    form = BatchForm(posted(request), instance=changed, garden=garden, initial=proposed)
    if form.is_valid():
        batch_update(batch=changed, user=request.user, **form.cleaned_data)
        return redirect("batch", garden_id=garden.pk, batch_id=batch_id)
    return form_page(request, "flocks/batch_edit.html", form, batch_id=batch_id)


@require_GET
def records_csv(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Send all that was logged about a batch as a CSV file, in SI units."""
    exported = batch_for(garden_for(request, garden_id), batch_id)
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    name = slugify(exported.name) or f"batch-{batch_id}"
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    writer = csv.writer(response)
    writer.writerow(HEADINGS)
    writer.writerows(export_rows(exported))
    return response
