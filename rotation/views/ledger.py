"""The ledger of a bed, and what a batch's birds leave a day by both methods."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from flocks.batch_charts import page_chart
from flocks.excretion_methods import HANDBOOK, HANDBOOK_WEIGHT_G, compared, excretion_of
from flocks.forecasting import diet_of, forecast_of
from flocks.loading import batch_for
from garden.access import garden_for
from garden.bed_soil_rows import with_soil
from garden.harvest_interval import Contact, first_safe_harvest
from garden.ledger import EntryKind, usable_nitrogen_g
from garden.models import Garden
from garden.npk import Element, NpkBand, total
from garden.phosphorus import soil_phosphorus
from rotation.bed_ledger import BedLedger, bed_ledger
from rotation.ledger_chart import balance_chart
from rotation.ledger_room import ledger_room

FIRST_YEAR, YEARS_AHEAD = 1990, 1
"""Years that a ledger can be asked for. Our choice."""


@dataclass(frozen=True)
class RawManure:
    """Manure that was not composted, and from when crops may be picked after it."""

    on: date
    safe_touches: date
    safe_clear: date


@require_GET
def bed(request: HttpRequest, garden_id: int, bed_id: int) -> HttpResponse:
    """Show a bed's ledger for a year: balance, chart, lines, what crops can use, what may still come."""
    garden = garden_for(request, garden_id)
    on = garden.today()
    beds = with_soil(garden.beds, on).prefetch_related("plantings__crop")
    shown = get_object_or_404(beds, pk=bed_id)
    year = _year(request, on.year)
    element = _element(request)
    book = bed_ledger(garden, shown, on, year)
    happened = [entry for entry in book.entries if not entry.is_planned]
    context = {
        "bed": shown,
        "book": book,
        "year": str(year),
        "is_this_year": year == on.year,
        "years": [str(each) for each in (year - 1, year + 1) if each <= on.year + YEARS_AHEAD],
        "element": element,
        "elements": list(Element),
        "chart": page_chart(balance_chart(book, element)),
        "now": _now(book),
        "kinds": _by_kind(book),
        "to_air_g": sum(line.to_air_g for line in book.shown),
        "usable": usable_nitrogen_g(happened, on, garden.nitrogen_rules()),
        "raw": _raw_manure(book, on),
        "tests": list(reversed(book.tests)),
        "tested": soil_phosphorus(shown.tested_mg_kg, shown.tested_by or ""),
        "room": ledger_room(book) if year == on.year else None,
    }
    return render(request, "rotation/ledger.html", context)


def _year(request: HttpRequest, this_year: int) -> int:
    asked = request.GET.get("year", "")
    if asked.isascii() and asked.isdigit() and len(asked) == 4:
        return min(max(int(asked), FIRST_YEAR), this_year + YEARS_AHEAD)
    return this_year


def _element(request: HttpRequest) -> Element:
    asked = request.GET.get("of", Element.NITROGEN)
    return Element(asked) if asked in set(Element) else Element.NITROGEN


def _now(book: BedLedger) -> NpkBand | None:
    """Return the balance today, or at the end of a year that is not this one; None without a line."""
    is_ahead = book.first_day > book.on
    lines = [line for line in book.lines if is_ahead or not line.entry.is_planned]
    return lines[-1].balance if lines else None


def _raw_manure(book: BedLedger, on: date) -> RawManure | None:
    """Return the last manure spread that was not composted, while a harvest must still wait for it."""
    rule = book.garden.harvest_rule()
    days = [entry.day for entry in book.entries if entry.kind is EntryKind.MANURE]
    if not days:
        return None
    last = max(days)
    found = RawManure(
        last,
        first_safe_harvest(last, Contact.TOUCHES, rule),
        first_safe_harvest(last, Contact.CLEAR, rule),
    )
    return found if found.safe_touches > on else None


def _by_kind(book: BedLedger) -> list[tuple[EntryKind, Any]]:
    """Return what each kind of entry changed in the year shown, likely, in the order of the kinds."""
    found = defaultdict(list)
    for line in book.shown:
        found[line.entry.kind].append(line.change.likely)
    return [(kind, total(found[kind])) for kind in EntryKind if kind in found]


@require_GET
def droppings(request: HttpRequest, garden_id: int, batch_id: int) -> HttpResponse:
    """Show what a bird of a batch leaves a day, week by week, and the handbook's totals beside it."""
    garden: Garden = garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    forecast, diet = forecast_of(batch, garden.today()), diet_of(batch.strain)
    daily = excretion_of(forecast, diet)
    weeks = min(len(daily.nitrogen_g), max(batch.age_days(batch.processing_on), 7)) // 7
    if not weeks:
        raise Http404("Nothing to show")
    names = list(HANDBOOK)
    rows = [
        (week + 1, [float(getattr(daily, name)[7 * week : 7 * week + 7].mean()) for name in names])
        for week in range(weeks)
    ]
    told = compared(
        forecast.feed_g.median, forecast.flock_g.median, diet, forecast.nitrogen_g.median
    )
    context = {
        "batch": batch,
        "rows": rows,
        "told": told,
        "balance": [told.balance[name] for name in names],
        "handbook": list(HANDBOOK.values()),
        "handbook_weight_g": HANDBOOK_WEIGHT_G,
        "kept_percent": 100 * told.kept_share,
    }
    return render(request, "rotation/droppings.html", context)
