"""What a design is built from: steps, sheets to print, tables to take elsewhere."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.safestring import mark_safe
from django.utils.translation import get_language
from django.views.decorators.http import require_GET

from garden.access import garden_for
from garden.models import Garden
from garden.units import System
from pens.built import pen_of
from pens.cut_sheet import cut_sheet
from pens.design import Buying, DesignError, Pen, PenDesign
from pens.design.lumber import profiles
from pens.design_forms import choices_of
from pens.design_page import design_page, drawings_of, standing_of
from pens.drawings.rolls import roll_sheet
from pens.drawings.shapes import Sheet
from pens.drawings.svg import svg_for_page
from pens.exports import CUT_HEADINGS, csv_text, cut_rows, holes_words
from pens.models import Design
from pens.shopping import buying_for, shop_list
from pens.steps import building_steps
from pens.views.cannot import or_tell_why

BUYING_HEADINGS = ("what", "how many", "in the shed", "price of one", "cost")


@require_GET
@or_tell_why
def steps(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Show how to put the pen together, a drawing for each step."""
    garden = garden_for(request, garden_id)
    design = get_object_or_404(garden.designs, pk=design_id)
    pen = pen_of(choices_of(design))
    context = {"design": design, "steps": _steps(pen, garden)}
    return render(request, "pens/design_steps.html", context)


@require_GET
@or_tell_why
def print_all(request: HttpRequest, garden_id: int, design_id: int) -> HttpResponse:
    """Show everything for the shed wall: cut list, board layouts, wire, drawings, steps."""
    garden = garden_for(request, garden_id)
    design = get_object_or_404(garden.designs.prefetch_related("beds"), pk=design_id)
    beds = list(garden.beds.in_use())
    page = design_page(garden, design, beds)
    pen, system = page.pen, garden.unit_system
    buying, fault = _buying(design)
    sheets = drawings_of(pen.design, system, standing_of(design, page, beds))
    context = {
        "design": design,
        "pen": pen,
        "cut_lines": _cut_lines(pen),
        "sheet": cut_sheet(buying.problem, buying.plan) if buying else None,
        "list": shop_list(buying, system, set()) if buying else None,
        "fault": fault,
        "drawings": [_drawn(sheet) for sheet in sheets.values()],
        "rolls": wire_rolls(pen, garden),
        "steps": _steps(pen, garden),
    }
    return render(request, "pens/design_print.html", context)


@require_GET
@or_tell_why
def table(request: HttpRequest, garden_id: int, design_id: int, which: str) -> HttpResponse:
    """Send the cut list or the buying list as comma-separated text."""
    garden = garden_for(request, garden_id)
    design = get_object_or_404(garden.designs, pk=design_id)
    if which == "cuts":
        woods = {key: wood.words for key, wood in profiles().items()}
        rows = cut_rows(pen_of(choices_of(design)).cut_list, woods)
        text = csv_text(CUT_HEADINGS, rows)
    elif which == "buying":
        buying, fault = _buying(design)
        text = csv_text(BUYING_HEADINGS, _buying_rows(buying, garden) if buying else [[fault]])
    else:
        raise Http404("No such table")
    answer = HttpResponse(text, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="design-{design.pk}-{which}.csv"'
    return answer


def _buying(design: Design) -> tuple[Buying | None, str]:
    """Return the buying list, or what stands against it."""
    try:
        return buying_for(design, choices_of(design)), ""
    except DesignError as error:
        return None, str(error)


def _buying_rows(buying: Buying, garden: Garden) -> list[list[object]]:
    listed = shop_list(buying, garden.unit_system, set())
    lines = [line for group in listed.groups for line in group.lines]
    return [
        [line.words, line.count, line.on_hand, line.price, line.cost]
        for line in [*lines, *listed.in_shed]
    ]


def _steps(pen: Pen, garden: Garden) -> Sequence[dict[str, Any]]:
    return _steps_kept(pen.design, garden.unit_system, get_language())


@lru_cache(maxsize=32)
def _steps_kept(choices: PenDesign, system: System, language: str) -> Sequence[dict[str, Any]]:
    return tuple(
        {"step": step, "svg": _svg(step.sheet) if step.sheet else ""}
        for step in building_steps(pen_of(choices), system)
    )


def _cut_lines(pen: Pen) -> list[dict[str, Any]]:
    woods = profiles()
    return [
        {"line": line, "wood": woods[line.profile].words, "holes": holes_words(line.holes)}
        for line in pen.cut_list
    ]


def wire_rolls(pen: Pen, garden: Garden) -> list[dict[str, Any]]:
    """Return each roll's drawing with the panels that are cut from it, numbered on."""
    rolls, first = [], 1
    for layout in pen.rolls:
        panels = [
            {"number": number, "panel": placed.panel}
            for number, placed in enumerate(layout.panels, start=first)
        ]
        drawn = _drawn(roll_sheet(layout, first, garden.unit_system))
        rolls.append(drawn | {"layout": layout, "panels": panels})
        first += len(layout.panels)
    return rolls


def _drawn(sheet: Sheet) -> dict[str, Any]:
    return {"sheet": sheet, "svg": _svg(sheet)}


def _svg(sheet: Sheet) -> str:
    # Our own writer escapes every text that goes in.
    return mark_safe(svg_for_page(sheet))  # noqa: S308
