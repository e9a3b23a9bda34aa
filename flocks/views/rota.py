"""Who does the chores, and notes for whoever comes next."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from flocks.models import HandOver, Turn
from garden.access import garden_for

DAYS_SHOWN, DAYS_BEHIND = 14, 3
"""Days ahead and behind that the page shows [day]. A choice."""


@require_GET
def rota(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show who comes in the next two weeks, and what they should know."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    turns = Turn.objects.filter(
        garden=garden, on__gte=today, on__lt=today + timedelta(days=DAYS_SHOWN)
    )
    notes = HandOver.objects.filter(garden=garden, on__gte=today - timedelta(days=DAYS_BEHIND))
    turns_by_day: dict = {}
    for turn in turns.select_related("person").order_by("on", "-part", "pk"):
        turns_by_day.setdefault(turn.on, []).append(turn)
    context = {
        "days": [
            (today + timedelta(days=n), turns_by_day.get(today + timedelta(days=n), []))
            for n in range(DAYS_SHOWN)
        ],
        "today": today,
        "notes": list(notes.select_related("logged_by").order_by("on", "pk")),
        "has_turns": bool(turns_by_day),
    }
    return render(request, "flocks/rota.html", context)
