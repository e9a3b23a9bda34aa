"""What every page's frame needs beside the page's own context."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.utils.translation import get_language

from garden.models import UndoStep

MODE_COOKIE = "mode"
MODES = ("day", "dark", "sun")


def page(request: HttpRequest) -> dict[str, Any]:
    """Return mode and languages, the garden and role in view, and what can be undone (lazily, one query)."""
    mode = request.COOKIES.get(MODE_COOKIE, "")
    garden = getattr(request, "garden", None)
    return {
        "mode": mode if mode in MODES else "",
        "other_languages": [known for known in settings.LANGUAGES if known[0] != get_language()],
        "garden": garden,
        "membership": getattr(request, "membership", None),
        "undo_step": (lambda: _newest_step(request)) if garden else None,
        "demo_password": _demo_password() if settings.DEMO and garden is None else "",
    }


def _newest_step(request: HttpRequest) -> UndoStep | None:
    return UndoStep.objects.open_for(request.garden, request.user).first()


def _demo_password() -> str:
    try:
        return settings.DEMO_PASSWORD_FILE.read_text().strip()
    except OSError:
        return ""
