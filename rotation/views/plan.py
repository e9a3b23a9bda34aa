"""The plan: what clashes, the board, the moves by date, what they cost, and planning again."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from garden.access import garden_for, writable_garden_for
from garden.models import Garden
from garden.words import gettext as _
from rotation.bed_map import bed_marks
from rotation.bed_records import GardenRecords, known_stays, records_of, visit
from rotation.board import BOARD_DAYS, Board, board
from rotation.board_page import board_context
from rotation.facts import facts_of
from rotation.middleware import MENDED_ALREADY
from rotation.models import Plan
from rotation.moves import Move, moves_of, plan_cost
from rotation.plan_keeping import plan_renew
from rotation.plan_state import plan_state
from rotation.planning import current_plan
from rotation.told import faults_of

FURTHEST_DAYS = 3 * 366
"""How far from today the board can be turned: three years either way. Our choice."""
SOON_DAYS = 7
"""Days of moves listed at once; the rest of the board's are unfolded. Our choice."""
CHANGES_SAID = 3
"""Changes told at once after planning again; the page lists them all. Our choice."""


@require_GET
def plan(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show the newest plan from a day on, four weeks at a time."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    newest = current_plan(garden)
    may_change = request.membership.may_log
    context: dict[str, Any] = {
        "today": today,
        "plan": newest,
        "plan_state": plan_state(garden),
        "planning_place": "plan",
    }
    if newest:
        first_day = first_day_asked(request.GET.get("from", ""), today)
        context |= _plan_page(garden, newest, today, first_day, may_change=may_change)
    return render(request, "rotation/plan.html", context)


@require_POST
def again(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Have a new plan worked out; say what changed, or show how it goes on."""
    garden = writable_garden_for(request, garden_id)
    made = plan_renew(garden=garden, asked_by=request.user)
    setattr(request, MENDED_ALREADY, True)
    if made is not None:
        messages.success(request, what_changed(made))
    return redirect("plan", garden_id=garden.pk)


def first_day_asked(typed: str, today: date) -> date:
    """Return the board's first day: the one asked for, or today where it is none or far away."""
    try:
        asked = date.fromisoformat(typed)
    except ValueError:
        return today
    return asked if abs((asked - today).days) <= FURTHEST_DAYS else today


def _plan_page(
    garden: Garden, newest: Plan, today: date, first_day: date, *, may_change: bool
) -> dict[str, Any]:
    facts = facts_of(garden, today)
    faults = faults_of(newest, facts)
    records = records_of(
        garden,
        today,
        beds=facts.beds.values(),
        stays=tuple(known_stays(garden, today)),
        planned=tuple(stay for stay in newest.stays.all() if stay.end_day > today),
        pins=facts.pins,
    )
    moves = moves_of(garden, records.planned, records.standing)
    drawn = _board(records, first_day)
    shown = [move for move in moves if _shows(drawn, move, today)]
    soon_ends = max(first_day, today) + timedelta(days=SOON_DAYS)
    return {
        "faults": faults,
        "fault_count": len(faults),
        "board": drawn,
        "earlier": first_day - timedelta(days=BOARD_DAYS),
        "later": drawn.end_day,
        "soon": [move for move in shown if move.stay.first_day < soon_ends],
        "after": [move for move in shown if move.stay.first_day >= soon_ends],
        "cost": plan_cost(newest, moves),
        **board_context(facts, newest, may_change=may_change),
    }


def _board(records: GardenRecords, first_day: date) -> Board:
    garden, today = records.garden, records.on
    off_bed = [stay for stay in (*records.stays, *records.planned) if stay.bed_id is None]
    marks = bed_marks([record.bed.name for record in records.beds])
    return board(
        [
            replace(record.ground, mark="" if mark in record.bed.name else mark)
            for mark, record in zip(marks, records.beds, strict=True)
        ],
        [visit(stay, today) for stay in off_bed],
        first_day=first_day,
        today=today,
        rule=garden.bird_day_rule(),
        rest_days=garden.rest_days,
    )


def _shows(drawn: Board, move: Move, today: date) -> bool:
    """Say whether a move is still to be made on a day of the board; a late one is, today."""
    return drawn.first_day <= max(move.stay.first_day, today) < drawn.end_day and not move.goes_on


def what_changed(made: Plan) -> str:
    """Return the message after planning again."""
    if not made.changes:
        return _("Planned again. Nothing has changed.")
    told, rest = made.changes[:CHANGES_SAID], len(made.changes) - CHANGES_SAID
    said = (
        _("Planned again. {changes}. And {n} more, below.")
        if rest > 0
        else _("Planned again. {changes}.")
    )
    return said.format(changes=". ".join(told), n=rest)
