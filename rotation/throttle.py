"""How often an address that needs no sign-in may be asked: counted in the cache, a window at a time."""

import hashlib
from collections.abc import Callable

from django.core.cache import cache
from django.http import HttpRequest, HttpResponse

WINDOW_SECONDS = 600
"""How long one count goes on [s]. Our choice."""


def is_too_often(what: str, who: str, *, most: int) -> bool:
    """Count one more and say whether that is more than `most` in ten minutes."""
    # Hashed, because what somebody sends may be long or no key for a cache.
    key = f"{what}:{hashlib.sha256(who.encode()).hexdigest()}"
    if cache.add(key, 1, WINDOW_SECONDS):
        return most < 1
    try:
        return cache.incr(key) > most
    except ValueError:  # it ran out between both
        return False


def refusal() -> HttpResponse:
    """Return 429 with when to come back."""
    answer = HttpResponse(
        "That was too often. Come back in ten minutes.\n", status=429, content_type="text/plain"
    )
    answer["Retry-After"] = str(WINDOW_SECONDS)
    return answer


def throttled(
    request: HttpRequest, what: str, key: str, *, most: int, answer: Callable[[], HttpResponse]
) -> HttpResponse:
    """Answer unless the same key was asked for too often; keys that are none count for who asks."""
    if is_too_often(what, key, most=most):
        return refusal()
    found = answer()
    asker = request.META.get("REMOTE_ADDR", "")
    if found.status_code == 404 and is_too_often(f"{what}-none", asker, most=most):
        return refusal()
    return found
