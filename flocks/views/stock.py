"""The freezer: what is in it, taking packs out, and labels to print."""

from datetime import date, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from flocks.book_actions import line_log, line_remove
from flocks.models import Pack, PackOut
from flocks.models.stock import Cut
from flocks.stock import freezer_of, left_of, use_by_days
from flocks.stock_forms import PackOutForm
from flocks.stock_words import out_in_words
from flocks.withdrawal_words import meat_cautions
from garden.access import garden_for, writable_garden_for
from garden.models import Garden
from garden.views.form_page import form_page, posted
from garden.words import gettext as _

NEWEST_OUTS = 12
"""Lines of what came out that the page lists. A choice."""
MOST_LABELS = 120
"""Labels of one print. A choice."""


@require_GET
def stock(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show what is in the freezer, what came out, and how long it lasts."""
    garden = garden_for(request, garden_id)
    outs = PackOut.objects.filter(pack__garden=garden).select_related("pack__batch", "logged_by")
    newest = list(outs.order_by("-on", "-pk")[:NEWEST_OUTS])
    freezer = freezer_of(garden, garden.today())
    context = {
        "freezer": freezer,
        "cautions": meat_cautions(freezer.batches),
        "outs": [(row, out_in_words(row, garden.unit_system)) for row in newest],
    }
    return render(request, "flocks/stock.html", context)


@require_http_methods(["GET", "POST"])
def out(request: HttpRequest, garden_id: int, pack_id: int) -> HttpResponse:
    """Take packs out of the freezer."""
    garden = writable_garden_for(request, garden_id)
    pack = get_object_or_404(
        Pack.objects.select_related("batch").prefetch_related("outs"), pk=pack_id, garden=garden
    )
    pack.garden = garden
    form = PackOutForm(posted(request), pack=pack)
    if form.is_valid():
        line = form.save(commit=False)
        said = _("Taken out: {packs}, {batch}").format(
            packs=out_in_words(line, garden.unit_system), batch=pack.batch
        )
        line_log(garden=garden, line=line, user=request.user, said=said)
        return redirect("stock", garden_id=garden.pk)
    return form_page(request, "flocks/pack_out.html", form, pack=pack, left=left_of(pack))


@require_POST
def out_remove(request: HttpRequest, garden_id: int, out_id: int) -> HttpResponse:
    """Put packs back that were not taken out after all."""
    garden = writable_garden_for(request, garden_id)
    lines = PackOut.objects.select_related("pack__batch")
    line = get_object_or_404(lines, pk=out_id, pack__garden=garden)
    said = _("Removed: {packs}, {batch}").format(
        packs=out_in_words(line, garden.unit_system), batch=line.pack.batch
    )
    line_remove(garden=garden, line=line, user=request.user, said=said)
    return redirect("stock", garden_id=garden.pk)


@require_GET
def labels(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show labels to print: of packs in the freezer, or with `?batch=` blank ones for the day."""
    garden = garden_for(request, garden_id)
    made = _blank(request, garden) if "batch" in request.GET else _of_packs(request, garden)
    context = {"labels": made[:MOST_LABELS], "is_cut_off": len(made) > MOST_LABELS}
    return render(request, "flocks/pack_labels.html", context)


def _of_packs(request: HttpRequest, garden: Garden) -> list[dict[str, Any]]:
    packs = Pack.objects.filter(garden=garden).select_related("batch").prefetch_related("outs")
    if (asked := request.GET.get("pack", "")).isdecimal():
        packs = packs.filter(pk=int(asked[:18]))
    return [
        {"batch": pack.batch, "cut": pack.get_cut_display(), "on": pack.on, "use_by": pack.use_by,
         "mass_kg": pack.mass_kg if pack.count == 1 else None}
        for pack in packs.order_by("-on", "-pk")
        for _ in range(min(left_of(pack).count, MOST_LABELS))
    ]  # fmt: skip


def _blank(request: HttpRequest, garden: Garden) -> list[dict[str, Any]]:
    asked = request.GET["batch"]
    batch = get_object_or_404(garden.batches, pk=int(asked[:18]) if asked.isdecimal() else 0)
    count = request.GET.get("count", "")
    on = _day(request.GET.get("on", "")) or batch.processing_on
    use_by = on + timedelta(days=use_by_days(Cut.WHOLE))
    label = {"batch": batch, "cut": Cut.WHOLE.label, "on": on, "use_by": use_by, "mass_kg": None}
    number = int(count[:6]) if count.isdecimal() else batch.chicks
    return [label] * min(number, MOST_LABELS + 1)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
