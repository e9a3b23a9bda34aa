"""One line and one count for every request: its route's name, never its address."""

import logging
import re
import secrets
from collections.abc import Callable
from time import perf_counter

from django.http import HttpRequest, HttpResponse

from garden.metrics import request_counted

logger = logging.getLogger(__name__)

HEADER = "X-Request-ID"
A_REQUEST_ID = re.compile(r"[0-9a-f-]{16,36}")
"""What a proxy may hand on: hexadecimal only, so that nobody can write into the log."""
NOT_LOGGED = {"healthz", "readyz", "metrics"}
"""Asked every few seconds, by machines."""


class RequestLog:
    """Log and count each request, and give it an id that its answer carries."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, then tell."""
        began = perf_counter()
        given = request.headers.get(HEADER, "")
        request.request_id = given if A_REQUEST_ID.fullmatch(given) else secrets.token_hex(8)
        response = self.get_response(request)
        response[HEADER] = request.request_id
        seconds, match = perf_counter() - began, request.resolver_match
        route = (match and match.url_name) or "none"
        request_counted(request.method, route, response.status_code, seconds)
        if route not in NOT_LOGGED:
            told = {
                "request_id": request.request_id,
                "method": request.method if request.method in METHODS else "other",
                "route": route,
                "status": response.status_code,
                "ms": round(1000 * seconds),
            }
            garden = match and match.kwargs.get("garden_id")
            logger.info("request", extra=told | ({"garden": garden} if garden else {}))
        return response


METHODS = {"GET", "HEAD", "POST", "OPTIONS", "PUT", "PATCH", "DELETE"}
