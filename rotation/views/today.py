"""Today: the one thing to do now, the rest of the day, and the taps that log it."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django.views.decorators.vary import vary_on_headers

from flocks.models import BatchPen, Loss, Weighing
from garden.access import garden_for, writable_garden_for
from garden.clock import now_in
from garden.models import Garden
from garden.views.form_page import UNPROCESSABLE, form_page, posted
from garden.words import gettext as _
from garden.words import mark
from rotation.actions import (
    AlreadyThereError,
    MoveError,
    chore_mark,
    chore_reopen,
    feed_give,
    stay_move,
)
from rotation.cannot_form import REASONS, CannotForm
from rotation.chore_form import ChoreForm
from rotation.chore_keys import done_in_words
from rotation.middleware import MENDED_ALREADY
from rotation.models import ChoreMark
from rotation.move_form import MoveForm
from rotation.plan_state import plan_state
from rotation.today import day_sheet

TEMPLATE = "rotation/today.html"
NO_SUCH_CHORE = mark("That is not among today’s chores. Here they are as they stand.")


@require_GET
def today(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show what to do on this day."""
    garden = garden_for(request, garden_id)
    return render(request, TEMPLATE, _page(garden))


def _page(garden: Garden) -> dict[str, Any]:
    at = now_in(garden.time_zone)
    sheet = day_sheet(garden, at.date(), at.time())
    context = {
        "sheet": sheet,
        "today": sheet.on,
        "plan_state": plan_state(garden),
        "planning_place": "today",
        "loss_causes": Loss.Cause.choices,
        "sexes": Weighing.Sex.choices,
        "reasons_why_not": REASONS,
    }
    if not sheet.batches:
        context |= {
            "has_beds": garden.beds.in_use().exists(),
            "has_pens": garden.pens.in_use().exists(),
        }
    return context


@require_POST
@vary_on_headers("HX-Request")
def chore(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Tick a chore, put it off or take the tick back; a feeding that is done is logged as feed."""
    garden = writable_garden_for(request, garden_id)
    form = ChoreForm(request.POST, garden=garden)
    if not form.is_valid():
        messages.error(request, _(NO_SUCH_CHORE))
        return _day(request, garden, status=UNPROCESSABLE)
    said = _mark(request, garden, form)
    if not request.htmx:
        return redirect("today", garden_id=garden.pk)
    return _day(request, garden, said=said, then=form.cleaned_data["then"])


def _day(request: HttpRequest, garden: Garden, *, status: int = 200, **more: Any) -> HttpResponse:
    """Draw the page, or for htmx the part of it that a tap changes."""
    template = f"{TEMPLATE}#swap" if request.htmx else TEMPLATE
    return render(request, template, _page(garden) | more, status=status)


def _mark(request: HttpRequest, garden: Garden, form: ChoreForm) -> str:
    """Do what a valid form asks and return what is said of it."""
    key, mark, on = form.cleaned_data["chore"], form.cleaned_data["mark"], form.cleaned_data["on"]
    words = done_in_words(key)
    if form.gives_feed:
        given = feed_give(
            garden=garden,
            user=request.user,
            batch=form.batch,
            pen=form.pen,
            mass_kg=form.cleaned_data["feed_kg"],
            on=on,
        )
        return _("Feed logged") if given else _("Fed already")
    # A tick feeds no engine, so the plan needs no look.
    setattr(request, MENDED_ALREADY, True)
    if mark == "open":
        said = _("{task}: open again").format(task=words)
        chore_reopen(garden=garden, user=request.user, chore=key, said=said, on=on)
        return said
    said = words if mark == "done" else _("{task}: later today").format(task=words)
    chore_mark(garden=garden, user=request.user, chore=key, mark=mark, said=said, on=on)
    return said


@require_POST
def moved(request: HttpRequest, garden_id: int, batch_id: int, pen_id: int) -> HttpResponse:
    """Log the move that the page told, once however often it is sent."""
    garden = writable_garden_for(request, garden_id)
    share = _share(garden, batch_id, pen_id)
    form = MoveForm(request.POST, garden=garden, pen=share.pen)
    if not form.is_valid():
        return _elsewhere_page(request, form, share)
    try:
        _log_move(request, garden, form, share)
    except AlreadyThereError as told:
        messages.success(request, str(told))
    except MoveError as refusal:
        messages.error(request, str(refusal))
    return redirect("today", garden_id=garden.pk)


@require_http_methods(["GET", "POST"])
def elsewhere(request: HttpRequest, garden_id: int, batch_id: int, pen_id: int) -> HttpResponse:
    """Log that a pen was put somewhere else than planned, or on another day."""
    garden = writable_garden_for(request, garden_id)
    share = _share(garden, batch_id, pen_id)
    form = MoveForm(posted(request), garden=garden, pen=share.pen)
    if form.is_valid():
        try:
            _log_move(request, garden, form, share)
        except MoveError as refusal:
            form.add_error("place", str(refusal))
        else:
            return redirect("today", garden_id=garden.pk)
    return _elsewhere_page(request, form, share)


def _share(garden: Garden, batch_id: int, pen_id: int) -> BatchPen:
    """Return the birds of an unfinished batch in one of its pens, or 404."""
    batch = get_object_or_404(garden.batches.unfinished(), pk=batch_id)
    return get_object_or_404(batch.shares.select_related("batch", "pen"), pen=pen_id)


def _log_move(request: HttpRequest, garden: Garden, form: MoveForm, share: BatchPen) -> None:
    stay_move(
        garden=garden,
        user=request.user,
        pen=share.pen,
        batch=share.batch,
        to=form.stretch,
        on=form.cleaned_data["on"],
        seen=form.cleaned_data["seen"],
    )
    if form.crop_there:
        said = _(
            "{crop} is standing there. Raw manure and food do not mix: see below when it may be harvested."
        )
        messages.warning(request, said.format(crop=form.crop_there))


def _elsewhere_page(request: HttpRequest, form: MoveForm, share: BatchPen) -> HttpResponse:
    return form_page(request, "rotation/elsewhere.html", form, pen=share.pen, batch=share.batch)


@require_http_methods(["GET", "POST"])
def cannot(request: HttpRequest, garden_id: int, chore: str) -> HttpResponse:
    """Take a task off today's list that cannot be done, with the reason."""
    garden = writable_garden_for(request, garden_id)
    words = done_in_words(chore)
    if words is None:
        raise Http404("No such chore")
    form = CannotForm(posted(request), garden=garden)
    if form.is_valid():
        # What was not done changes nothing that the plan is made of.
        setattr(request, MENDED_ALREADY, True)
        chore_mark(
            garden=garden,
            user=request.user,
            chore=chore,
            mark=ChoreMark.Mark.CANNOT,
            said=_("{task}: not possible today").format(task=words),
            reason=form.told,
            on=form.cleaned_data["on"],
        )
        return redirect("today", garden_id=garden.pk)
    is_move = chore.startswith("move:")
    return form_page(request, "rotation/today/cannot.html", form, title=words, is_move=is_move)
