"""Which boards to buy and how to cut them. Nothing is saved: the address is the sheet."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from garden.access import garden_for
from garden.forms import MOST_DIGITS
from garden.models import Garden
from garden.views.form_page import UNPROCESSABLE
from garden.words import gettext as _
from pens.cut_forms import CutSheetForm
from pens.cut_sheet import CutSheet, cut_sheet
from pens.cutting.problem import NotEnoughStockError
from pens.cutting.search import cut_boards
from pens.frame import plain_frame

CUT_SECONDS = 3.0
"""Time the search may take while somebody waits [s]; ordinary pens take a few hundredths. Our choice."""

SAW_CUT_MM = {"metric": 3.0, "us": 3.175}
"""Width of a usual saw cut [mm]: 3 mm, or 1/8 in. From memory."""

BOARD_LENGTHS_MM = {"metric": (2400.0, 3000.0, 3600.0), "us": (2438.4, 3048.0, 3657.6)}
"""Board lengths that the form starts from [mm]; even feet from 8 to 12 in the US. From memory."""

FRAME_PROFILE = "2x2"


@require_GET
def cut(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show the form, or the sheet that answers it."""
    garden = garden_for(request, garden_id)
    if "more" in request.GET:
        return _page(request, CutSheetForm.widened(garden, request.GET))
    if "pieces" not in request.GET:
        return _page(request, _first_form(garden, request.GET.get("pen", "")))
    form = CutSheetForm.asked(garden, request.GET)
    sheet = _answer(form) if form.is_valid() else None
    return _page(request, form, sheet, status=200 if sheet else UNPROCESSABLE)


def _first_form(garden: Garden, pen_id: str) -> CutSheetForm:
    """Start empty, or with the plain frame of a pen."""
    saw = {"kerf_mm": SAW_CUT_MM[garden.unit_system], "trim_mm": 0.0}
    if not pen_id:
        return CutSheetForm.started(garden, saw=saw)
    pens = garden.pens.in_use()
    pen = get_object_or_404(pens, pk=int(pen_id) if _is_id(pen_id) else 0)
    pieces = [
        {"name": _(piece.name), "profile": FRAME_PROFILE} | _size(piece.length_mm, piece.count)
        for piece in plain_frame(pen.length_mm, pen.width_mm)
    ]
    lengths = BOARD_LENGTHS_MM[garden.unit_system]
    stock = [{"profile": FRAME_PROFILE, "length_mm": length_mm} for length_mm in lengths]
    return CutSheetForm.started(garden, pieces, stock, saw)


def _is_id(typed: str) -> bool:
    # More digits than a row's id has are no number that a database would take.
    return typed.isdecimal() and len(typed) <= MOST_DIGITS


def _size(length_mm: float, count: int) -> dict[str, float]:
    return {"length_mm": length_mm, "count": count}


def _answer(form: CutSheetForm) -> CutSheet | None:
    """Return the sheet; None, with the fault told on the form, where the boards do not suffice."""
    problem = form.problem()
    try:
        return cut_sheet(problem, cut_boards(problem, CUT_SECONDS))
    except NotEnoughStockError as error:
        told = (
            _("The boards of {wood} on hand are not enough for all pieces.")
            if error.proven
            else _("No way was found to get all pieces from the boards of {wood} on hand.")
        )
        form.fault = told.format(wood=error.profile)
        return None


def _page(
    request: HttpRequest, form: CutSheetForm, sheet: CutSheet | None = None, status: int = 200
) -> HttpResponse:
    return render(request, "pens/cut.html", {"form": form, "sheet": sheet}, status=status)
