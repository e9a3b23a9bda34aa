"""Batch against batch."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from flocks.batch_charts import page_chart
from flocks.comparing import MOST_BATCHES, comparison_charts
from flocks.own_birds import own_birds
from garden.access import garden_for
from rotation.batch_report import garden_figures
from rotation.side_by_side import held_together


@require_GET
def compare(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Hold up to four batches against each other; the newest that hatched, unless others are chosen."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    hatched = garden_figures(garden)
    asked = set(request.GET.getlist("batch"))
    chosen = [one for one in hatched if str(one.batch.pk) in asked] or hatched
    held = held_together(chosen[:MOST_BATCHES], today)
    charts = comparison_charts([one.growth for one in held], garden.unit_system) if held else []
    context = {
        "hatched": [one.batch for one in hatched],
        "own": own_birds(garden, today),
        "held": held,
        "chosen": {one.batch.pk for one in held},
        "too_many": len(asked) > MOST_BATCHES,
        "most": MOST_BATCHES,
        "charts": [page_chart(chart) for chart in charts],
    }
    return render(request, "rotation/batch_compare.html", context)
