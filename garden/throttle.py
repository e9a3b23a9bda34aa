"""How often an address with a secret in it may be asked: counted in the cache, a window at a time.

Sign-in, sign-up, forgotten passwords and second steps are held back by allauth, in the same cache.
"""

import hashlib
from collections.abc import Callable

from allauth.account.adapter import get_adapter
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

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


def refusal(request: HttpRequest) -> HttpResponse:
    """Return 429 with when to come back."""
    answer = render(request, "429.html", status=429)
    answer["Retry-After"] = str(WINDOW_SECONDS)
    return answer


def throttled(
    request: HttpRequest, what: str, key: str, *, most: int, answer: Callable[[], HttpResponse]
) -> HttpResponse:
    """Answer unless the same key was asked for too often; keys that are none count for who asks."""
    if is_too_often(what, key, most=most):
        return refusal(request)
    found = answer()
    asker = get_adapter().get_client_ip(request)
    if found.status_code == 404 and is_too_often(f"{what}-none", asker, most=most):
        return refusal(request)
    return found
