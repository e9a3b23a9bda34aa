"""What a page says of planning that its reader has just set off."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django_htmx.http import trigger_client_event

from garden.models import Garden
from rotation.plan_state import plan_state

COOKIE = "planning"
COOKIE_SECONDS = 60
"""How long the pages of whoever changed something look for the plan that it set off. Our choice."""


def tell_of_planning(response: HttpResponse, garden: Garden) -> None:
    """Let the pages that follow, and the one that htmx has open, show how planning goes on."""
    response.set_cookie(
        COOKIE, str(garden.pk), max_age=COOKIE_SECONDS, httponly=True, samesite="Lax"
    )
    trigger_client_event(response, COOKIE, after="settle")


def planning(request: HttpRequest) -> dict[str, Any]:
    """Return how planning stands, lazily, for whoever changed something in this garden a moment ago."""
    garden = getattr(request, "garden", None)
    if garden is None or request.COOKIES.get(COOKIE) != str(garden.pk):
        return {}
    return {"plan_state": lambda: plan_state(garden)}
