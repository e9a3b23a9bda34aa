"""What a batch eats: phases with their days, water, and charts by the day, in all and for each kilogram."""

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from flocks.batch_charts import page_chart
from flocks.feed import water_in_words, water_litres
from flocks.feed_charts import FlockFeed, conversion_chart, cumulative_chart, daily_chart
from flocks.feed_phases import phase_spans
from flocks.forecasting import diet_of, forecast_of, paths_of
from flocks.headcount import birds_alive
from flocks.loading import batch_for
from flocks.models import Batch
from garden.access import garden_for
from garden.units import TEMPERATURE

TEMPERATURES_C = (15, 20, 25, 30, 35)
"""Days for which the water guide is given [°C]. A choice."""


@require_GET
def feeding(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Show what a batch eats and drinks, day by day and phase by phase."""
    garden = garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    on = min(garden.today(), batch.finished_on or garden.today())
    end_day = batch.finished_on or batch.processing_on
    flock = FlockFeed(batch, paths_of(batch, on), on, end_day)
    forecast = forecast_of(batch, on)
    context = {
        "batch": batch,
        "on": on,
        "alive": birds_alive(batch, on),
        "phases": phase_spans(diet_of(batch.strain), forecast, end_day),
        "water": [] if batch.finished_on else _water(batch, on),
        "charts": [
            page_chart(chart(flock)) for chart in (daily_chart, cumulative_chart, conversion_chart)
        ],
    }
    return render(request, "flocks/batch_feed.html", context)


def _water(batch: Batch, on: date) -> list[dict[str, Any]]:
    """Return what the birds drink on a day by how warm it is."""
    day = max(on, batch.hatch_on)
    forecast, system = forecast_of(batch, on), batch.garden.unit_system
    feed_g = 1000 * forecast.feed_kg(birds_alive(batch, on), day)
    return [
        {
            "warmth": TEMPERATURE.show(celsius, system),
            "likely": water_in_words(water_litres(feed_g, celsius), system),
            "carry": water_in_words(water_litres(feed_g, celsius, for_drinkers=True), system),
        }
        for celsius in TEMPERATURES_C
    ]
