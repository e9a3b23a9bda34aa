"""Changing the plan by hand: a stay, two pens, a lock. Every change is judged by the rules first."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import writable_garden_for
from garden.models import Garden
from garden.views.form_page import UNPROCESSABLE, posted
from garden.words import gettext as _
from garden.words import mark
from rotation.board_forms import StayForm, SwapForm
from rotation.board_hand import Hand, pin_in_hand, stay_in_hand, swapped
from rotation.edits import Fault, Wanted, span_words
from rotation.facts import facts_of
from rotation.judging import Verdict
from rotation.middleware import MENDED_ALREADY
from rotation.models import PinnedStay, Plan, PlannedStay
from rotation.plan_keeping import plan_renew
from rotation.planning import current_plan
from rotation.views.plan import first_day_asked, what_changed
from rotation.wishes import PlanMovedError, pin_release, stays_ask, stays_fix

TEMPLATE = "rotation/board_stay.html"
MOVED = mark("The plan has changed meanwhile. Here it is as it stands now.")
A_STAY_WAS_LOCKED = mark("a stay was locked")


@require_http_methods(["GET", "POST"])
def stay(request: HttpRequest, garden_id: int, planned_id: int) -> HttpResponse:
    """Change where and when a pen stands, or lock it as it is."""
    garden = writable_garden_for(request, garden_id)
    hand = _stay(garden, planned_id)
    return _change(request, hand) if hand else _as_it_stands(request, garden)


@require_http_methods(["GET", "POST"])
def pin(request: HttpRequest, garden_id: int, pin_id: int) -> HttpResponse:
    """Change what was locked, above all where the plan could not keep it."""
    garden = writable_garden_for(request, garden_id)
    locked = get_object_or_404(PinnedStay.objects.of(garden), pk=pin_id)
    hand = pin_in_hand(garden, garden.today(), locked)
    return _change(request, hand) if hand else _as_it_stands(request, garden)


@require_POST
def unlock(request: HttpRequest, garden_id: int, pin_id: int) -> HttpResponse:
    """Let the planner choose again where the pen stands then."""
    garden = writable_garden_for(request, garden_id)
    locked = get_object_or_404(PinnedStay.objects.of(garden).select_related("pen"), pk=pin_id)
    facts, told = facts_of(garden, garden.today()), current_plan(garden)
    pin_release(garden=garden, user=request.user, facts=facts, told=told, pin=locked)
    return redirect(_back(request, garden))


@require_GET
def judge(request: HttpRequest, garden_id: int, planned_id: int) -> HttpResponse:
    """Say what a change would make of the plan, without making it; for the board's script."""
    garden = writable_garden_for(request, garden_id)
    hand = _stay(garden, planned_id)
    if hand is None:
        return JsonResponse({"holds": False, "said": _(MOVED), "gone": True})
    swap = SwapForm(request.GET, hand=hand)
    form = StayForm(request.GET, hand=hand)
    asks = swap if "swap" in request.GET else form
    if not asks.is_valid():
        said = " ".join(error for errors in asks.errors.values() for error in errors)
        return JsonResponse({"holds": False, "said": said})
    verdict, wanted = _swap_verdict(hand, swap) if asks is swap else _verdict(hand, form)
    return JsonResponse(
        {
            "holds": verdict.holds,
            "where": _said(hand, wanted),
            "said": verdict.words,
            "changes": verdict.changes,
            "fits": verdict.can_fit,
        }
    )


@require_POST
def swap(request: HttpRequest, garden_id: int, planned_id: int) -> HttpResponse:
    """Let two pens change places, each on its own days."""
    garden = writable_garden_for(request, garden_id)
    hand = _stay(garden, planned_id)
    if hand is None:
        return _as_it_stands(request, garden)
    form, verdict = SwapForm(request.POST, hand=hand), None
    if form.is_valid():
        verdict, wanted = _swap_verdict(hand, form)
        if verdict.holds:
            return _keep(request, hand, wanted, verdict)
        if verdict.can_fit and "fit" in request.POST:
            return _fit(request, hand, wanted)
        for fault in verdict.faults:
            form.add_error("swap", fault.words)
    return _page(request, hand, StayForm(hand=hand), swap=form, verdict=verdict)


def _stay(garden: Garden, planned_id: int) -> Hand | None:
    """Take a planned stay in hand; 404 where the garden has had none by that id lately."""
    if not PlannedStay.objects.filter(plan__garden=garden, pk=planned_id).exists():
        raise Http404("No such stay")
    return stay_in_hand(garden, garden.today(), planned_id)


def _change(request: HttpRequest, hand: Hand) -> HttpResponse:
    form = StayForm(posted(request), hand=hand)
    if not form.is_valid():
        return _page(request, hand, form)
    verdict, wanted = _verdict(hand, form)
    if verdict.can_fit and "fit" in request.POST:
        return _fit(request, hand, wanted)
    form.add_faults(verdict.faults)
    if not verdict.holds or "try" in request.POST:
        setattr(request, MENDED_ALREADY, True)
        return _page(request, hand, form, verdict=verdict)
    return _keep(request, hand, wanted, verdict)


def _verdict(hand: Hand, form: StayForm) -> tuple[Verdict, tuple[Wanted, ...]]:
    return hand.judged(form.wanted), (form.wanted,)


def _swap_verdict(hand: Hand, form: SwapForm) -> tuple[Verdict, tuple[Wanted, ...]]:
    wanted = swapped(hand, form.partner)
    if isinstance(wanted, Fault):
        return Verdict((wanted,)), ()
    return hand.judged(*wanted), wanted


def _said(hand: Hand, wanted: tuple[Wanted, ...]) -> str:
    """Name pens, beds and days in one line."""
    beds = hand.facts.beds
    return "; ".join(
        _("{pen} on {bed}, {days}").format(
            pen=wish.run.pen.name,
            bed=beds[wish.place.bed_id].bed.name,
            days=span_words(wish.first_day, wish.end_day),
        )
        for wish in wanted
    )


def _keep(
    request: HttpRequest, hand: Hand, wanted: tuple[Wanted, ...], verdict: Verdict
) -> HttpResponse:
    """Save a change that keeps the rules, and show it on the board."""
    setattr(request, MENDED_ALREADY, True)
    try:
        made = stays_fix(
            garden=hand.garden,
            user=request.user,
            facts=hand.facts,
            told=hand.plan,
            wanted=wanted,
            verdict=verdict,
            said=_("Locked: {what}").format(what=_said(hand, wanted)),
        )
    except PlanMovedError:
        return _as_it_stands(request, hand.garden)
    messages.success(request, _told(verdict))
    return redirect(f"{_back(request, hand.garden)}#stay-{_now(made, wanted[0])}")


def _fit(request: HttpRequest, hand: Hand, wanted: tuple[Wanted, ...]) -> HttpResponse:
    """Lock what the plan has no room for, and have the rest planned round it."""
    setattr(request, MENDED_ALREADY, True)
    try:
        stays_ask(
            garden=hand.garden,
            user=request.user,
            facts=hand.facts,
            told=hand.plan,
            wanted=wanted,
            said=_("Locked: {what}").format(what=_said(hand, wanted)),
        )
    except PlanMovedError:
        return _as_it_stands(request, hand.garden)
    made = plan_renew(garden=hand.garden, because=A_STAY_WAS_LOCKED, asked_by=request.user)
    if made is not None:
        messages.success(request, what_changed(made))
    return redirect(_back(request, hand.garden))


def _now(made: Plan, wish: Wanted) -> int | None:
    rows = made.stays.filter(pen=wish.run.pen, batch=wish.run.batch, first_day=wish.first_day)
    return rows.values_list("pk", flat=True).first()


def _told(verdict: Verdict) -> str:
    changes = ". ".join(verdict.changes) or _("Locked as it was planned")
    return _("Every rule holds. {changes}.").format(changes=changes)


def _back(request: HttpRequest, garden: Garden) -> str:
    """Return the board's address, turned to the days that were in view."""
    place, typed = reverse("plan", args=[garden.pk]), request.POST.get("from", "")
    first_day = first_day_asked(typed, garden.today())
    return f"{place}?from={first_day.isoformat()}" if typed else place


def _as_it_stands(request: HttpRequest, garden: Garden) -> HttpResponse:
    messages.warning(request, _(MOVED))
    return redirect("plan", garden_id=garden.pk)


def _page(
    request: HttpRequest,
    hand: Hand,
    form: StayForm,
    *,
    swap: SwapForm | None = None,
    verdict: Verdict | None = None,
) -> HttpResponse:
    swap = swap or SwapForm(hand=hand)
    context: dict[str, Any] = {
        "hand": hand,
        "form": form,
        "swap": swap if swap.partners else None,
        "verdict": verdict,
    }
    wrong = any(one.is_bound and one.errors for one in (form, swap))
    return render(request, TEMPLATE, context, status=UNPROCESSABLE if wrong else 200)
