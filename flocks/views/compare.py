"""Batch against batch."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from flocks.batch_charts import page_chart
from flocks.comparing import MOST_BATCHES, compared, comparison_charts
from flocks.own_birds import own_birds
from garden.access import garden_for


@require_GET
def compare(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Hold up to four batches against each other; the newest that hatched, unless others are chosen."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    hatched = [batch for batch in garden.batches.with_records() if batch.hatch_on <= today]
    asked = set(request.GET.getlist("batch"))
    chosen = [batch for batch in hatched if str(batch.pk) in asked] or hatched
    for batch in hatched:
        batch.garden = garden  # spares a query for each batch
    finished = [batch for batch in reversed(hatched) if batch.finished_on]
    garden.__dict__["finished_batches"] = finished  # spares the same rows loaded twice
    held = compared(chosen[:MOST_BATCHES], today)
    context = {
        "hatched": hatched,
        "own": own_birds(garden, today),
        "held": held,
        "chosen": {one.batch.pk for one in held},
        "too_many": len(asked) > MOST_BATCHES,
        "most": MOST_BATCHES,
        "charts": [page_chart(chart) for chart in comparison_charts(held, garden.unit_system)]
        if held
        else [],
    }
    return render(request, "flocks/compare.html", context)
