"""Looking back: the report of a batch, and a year."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from flocks.batch_charts import feed_chart, page_chart, weight_chart
from flocks.forecasting import forecast_of
from flocks.stock import freezer_of
from flocks.withdrawal_words import wait_cautions
from garden.access import garden_for
from garden.words import gettext as _
from rotation.batch_report import BatchFigures, garden_figures
from rotation.next_time import remarks
from rotation.side_by_side import held_together

FIRST_YEAR = 2000
MOST_PHOTOS = 12
"""Photos that a report shows, the first ones of the batch. A choice: two pages of paper."""


@require_GET
def batch_report(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Show a batch from hatching to the freezer, and what differed from the others."""
    garden = garden_for(request, garden_id)
    all_figures = garden_figures(garden)
    shown = next((each for each in all_figures if each.batch.pk == batch_id), None)
    if shown is None:
        raise Http404("No such batch")
    batch, on = shown.batch, min(garden.today(), shown.batch.finished_on or garden.today())
    forecast = forecast_of(batch, on)
    others = [one for one in all_figures if one.batch.finished_on and one is not shown]
    [held] = held_together([shown], on)
    context = {
        "figures": shown,
        "held": held,
        "batch": batch,
        "on": on,
        "others": others,
        "remarks": remarks(shown, others) if batch.finished_on else None,
        "notes": batch.notes.order_by("on", "pk"),
        "photos": batch.photos.order_by("on", "pk")[:MOST_PHOTOS],
        "waits": wait_cautions(batch, on),
        "charts": [
            page_chart(
                weight_chart(batch, forecast, on, _("Weighed, and as the records tell it."))
            ),
            page_chart(feed_chart(batch, forecast, on)),
        ],
    }
    return render(request, "rotation/batch_report.html", context)


@require_GET
def year_summary(request: HttpRequest, garden_id: int, year: int) -> HttpResponse:
    """Show what the batches hatched in a year came to."""
    garden = garden_for(request, garden_id)
    this_year = garden.today().year
    if not FIRST_YEAR <= year <= this_year + 1:
        raise Http404("No such year")
    figures = garden_figures(garden)
    shown = [one for one in figures if one.batch.hatch_on.year == year]
    context = {
        "year": year,
        "rows": shown,
        "sums": _sums(shown),
        "years": sorted({one.batch.hatch_on.year for one in figures} | {this_year}, reverse=True),
        "freezer": freezer_of(garden, garden.today()),
        "is_over": date(year, 12, 31) < garden.today(),
        "remarks": [
            (one, found)
            for one in shown
            if one.batch.finished_on
            and (
                found := remarks(
                    one, [each for each in figures if each.batch.finished_on and each is not one]
                )
            )
        ],
    }
    return render(request, "rotation/year_summary.html", context)


def _sums(shown: list[BatchFigures]) -> dict[str, Any]:
    dressed = [one.totals.dressed_kg for one in shown if one.totals.dressed_kg]
    accounts = [one.account for one in shown if one.account]
    return {
        "chicks": sum(one.batch.chicks for one in shown),
        "lost": sum(one.totals.lost for one in shown),
        "processed": sum(one.totals.processed for one in shown),
        "dressed_kg": sum(dressed) if dressed else None,
        "feed_kg": sum(one.totals.feed_kg or 0 for one in shown),
        "off_bed_days": sum(one.off_bed_days for one in shown),
        "nitrogen_g": sum(one.nitrogen_g for one in shown),
        "cost": sum((account.total for account in accounts), Decimal(0)),
        "sold": sum((account.sold for account in accounts), Decimal(0)),
        "hours": sum((account.hours for account in accounts), Decimal(0)),
    }
