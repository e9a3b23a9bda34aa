"""The processing days of a batch: planned, printed, split and taken off."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST

from flocks.loading import batch_for
from flocks.models import Batch, ProcessingDay
from flocks.processing_actions import (
    SPLIT_DAYS,
    processing_day_remove,
    processing_day_save,
    processing_day_split,
)
from flocks.processing_forms import ProcessingDayForm
from flocks.processing_page import clock_on, cuts_of, plan_of, tape_of, usual_day
from flocks.stock import rules_of
from flocks.withdrawal_guard import InsideWithdrawalError
from flocks.withdrawal_words import wait_cautions
from garden.access import garden_for, writable_garden_for
from garden.day_words import day_words
from garden.views.form_page import form_page, posted
from garden.words import gettext as _


@require_http_methods(["GET", "POST"])
def day(
    request: HttpRequest, garden_id: int, batch_id: int, day_id: int | None = None
) -> HttpResponse:
    """Show and save the plan of a day; without an id, of one that nobody has planned yet."""
    find = garden_for if request.method == "GET" else writable_garden_for
    garden = find(request, garden_id)
    batch = batch_for(garden, batch_id)
    planned = _day(batch, day_id) if day_id else usual_day(batch, garden.today())
    shown = ProcessingDay(**_values(planned))
    form = ProcessingDayForm(posted(request), instance=planned, batch=batch)
    if form.is_valid():
        saved = form.save(commit=False)
        said = _("Processing planned: {birds} birds on {day}, {batch}").format(
            birds=saved.birds, day=day_words(saved.on), batch=batch
        )
        processing_day_save(day=saved, user=request.user, said=said)
        return redirect(
            "processing_day_edit", garden_id=garden.pk, batch_id=batch.pk, day_id=saved.pk
        )
    return form_page(request, "flocks/processing_day.html", form, **_context(batch, shown))


def _values(day: ProcessingDay) -> dict[str, Any]:
    names = (field.attname for field in ProcessingDay._meta.concrete_fields)
    return {name: getattr(day, name) for name in names}


def _context(batch: Batch, shown: ProcessingDay) -> dict[str, Any]:
    garden = batch.garden
    shown.batch, on = batch, garden.today()
    others = [row for row in batch.processingday_set.all() if row.pk != shown.pk]
    context: dict[str, Any] = {
        "batch": batch,
        "day": shown,
        "others": others,
        "cautions": wait_cautions(batch, on),
        "split_days": SPLIT_DAYS,
    }
    if batch.finished_on or on < batch.hatch_on:
        return context
    plan = plan_of(shown, rules_of(garden), on)
    return context | {
        "plan": plan,
        "tape": tape_of(plan, shown.on),
        "cuts": cuts_of(plan),
        "feed_off": [(clock_on(shown.on, row.off_min), row) for row in plan.withdrawals],
        "cold_by": clock_on(shown.on, plan.cold_by_min),
        "last_in": clock_on(shown.on, plan.inputs.start_min + round(60 * plan.hours)),
    }


@require_POST
def remove(request: HttpRequest, garden_id: int, batch_id: int, day_id: int) -> HttpResponse:
    """Take a planned day off."""
    garden = writable_garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    planned = _day(batch, day_id)
    said = _("Removed: the plan for {day}, {batch}").format(day=day_words(planned.on), batch=batch)
    processing_day_remove(day=planned, user=request.user, said=said)
    return redirect("processing_day", garden_id=garden.pk, batch_id=batch.pk)


@require_POST
def split(request: HttpRequest, garden_id: int, batch_id: int, day_id: int) -> HttpResponse:
    """Leave as many birds on a day as it holds, and plan the rest for a week later."""
    garden = writable_garden_for(request, garden_id)
    batch = batch_for(garden, batch_id)
    planned = _day(batch, day_id)
    address = {"garden_id": garden.pk, "batch_id": batch.pk, "day_id": planned.pk}
    if planned.birds < 2:
        messages.error(request, _("One bird cannot be split over two dates."))
        return redirect("processing_day_edit", **address)
    plan = plan_of(planned, rules_of(garden), garden.today())
    first = min(plan.birds_of_a_day, -(-planned.birds // 2))
    said = _("Split over two dates: {first} birds on {day}, {batch}").format(
        first=first, day=day_words(planned.on), batch=batch
    )
    try:
        processing_day_split(day=planned, first=first, user=request.user, said=said)
    except InsideWithdrawalError as refusal:
        messages.error(request, " ".join(refusal.messages))
    return redirect("processing_day_edit", **address)


def _day(batch: Batch, day_id: int) -> ProcessingDay:
    day = get_object_or_404(ProcessingDay, pk=day_id, batch=batch)
    day.batch, day.garden = batch, batch.garden
    return day
