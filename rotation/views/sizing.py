"""Sizing a season: what is wanted, how the search goes, what it found, and making its batches."""

import secrets

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_htmx.http import HttpResponseClientRefresh

from flocks.stock import rules_of
from garden.access import garden_for, writable_garden_for
from garden.models import Garden
from garden.views.form_page import form_page
from garden.words import gettext as _
from rotation.middleware import MENDED_ALREADY
from rotation.models import Sizing
from rotation.plan_runs import worker_lives
from rotation.season_limits import Wish
from rotation.sizing_actions import CannotMakeError, sizing_make
from rotation.sizing_form import SizingForm, as_typed, usual
from rotation.sizing_page import Answer, answer_of
from rotation.sizing_rows import bird_of, wish_of
from rotation.sizing_runs import sizing_ask, sizing_claim, sizing_stop
from rotation.sizing_work import sizing_work

PAGE, LINE = "rotation/sizing.html", "rotation/sizing_progress.html"


@require_http_methods(["GET", "POST"])
def sizing(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show the newest answer and the form; ask for a season to be sized."""
    if request.method == "GET":
        garden = garden_for(request, garden_id)
        newest = _newest(garden)
        wish = wish_of(newest.wish) if newest else None
        initial = as_typed(wish, garden) if wish else usual(garden)
        form = SizingForm(garden=garden, initial=initial)
        return form_page(request, PAGE, form, **_context(garden, newest))
    garden = writable_garden_for(request, garden_id)
    setattr(request, MENDED_ALREADY, True)
    form = SizingForm(request.POST, garden=garden)
    if not form.is_valid():
        return form_page(request, PAGE, form, **_context(garden, _newest(garden)))
    _asked(request, garden, form.wish())
    return redirect("sizing", garden_id=garden.pk)


def _asked(request: HttpRequest, garden: Garden, wish: Wish) -> None:
    """Ask for a season; where no worker lives it is worked out here and now."""
    sizing_ask(garden=garden, wish=wish, asked_by=request.user)
    if not worker_lives():
        page = f"page:{secrets.token_hex(4)}"
        claimed = sizing_claim(worker=page, garden=garden)
        if claimed:
            sizing_work(claimed, worker=page)


def _newest(garden: Garden) -> Sizing | None:
    return Sizing.objects.filter(garden=garden).first()


def _context(garden: Garden, newest: Sizing | None) -> dict[str, object]:
    return {
        "sizing": newest,
        "pens": garden.pens.in_use().exists(),
        "answer": _answer(newest, garden),
        "currency": rules_of(garden).currency,
    }


def _answer(newest: Sizing | None, garden: Garden) -> Answer | None:
    return answer_of(newest, garden) if newest and newest.result else None


@require_GET
def progress(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Draw the line that says how far the search is; the page is told to load again when it has ended."""
    garden = garden_for(request, garden_id)
    newest = _newest(garden)
    if not request.htmx:
        return redirect("sizing", garden_id=garden.pk)
    if newest is None or newest.finished_at:
        return HttpResponseClientRefresh()
    return render(request, LINE, {"sizing": newest})


@require_POST
def enough(request: HttpRequest, garden_id: int) -> HttpResponse:
    """End the search: what was found so far is good enough."""
    garden = writable_garden_for(request, garden_id)
    setattr(request, MENDED_ALREADY, True)
    sizing_stop(garden=garden)
    return redirect("sizing", garden_id=garden.pk)


@require_POST
def make(request: HttpRequest, garden_id: int, sizing_id: int) -> HttpResponse:
    """Make the batches of one of the proposals."""
    garden = writable_garden_for(request, garden_id)
    found = get_object_or_404(Sizing, garden=garden, pk=sizing_id)
    answer = _answer(found, garden)
    offer = answer and answer.offer(request.POST.get("offer", ""))
    if offer is None:
        setattr(request, MENDED_ALREADY, True)
        messages.error(request, _("There is no such proposal any more. Size the season again."))
        return redirect("sizing", garden_id=garden.pk)
    try:
        made = sizing_make(
            garden=garden,
            user=request.user,
            offer=offer,
            bird=bird_of(found.result),
            wish=wish_of(found.wish),
            sized_on=found.sized_on,
        )
    except CannotMakeError as refusal:
        messages.error(request, str(refusal))
        setattr(request, MENDED_ALREADY, True)
        return redirect("sizing", garden_id=garden.pk)
    names = ", ".join(batch.name for batch in made)
    messages.success(request, _("Added: {names}. They are being planned.").format(names=names))
    return redirect("plan", garden_id=garden.pk)
