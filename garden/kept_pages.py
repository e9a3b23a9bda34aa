"""Tells a phone's service worker whose page an answer is, and whether it is kept for a time without signal."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils.translation import get_language

KEPT = frozenset({"today", "beds", "bed", "batches", "batch", "design_shop"})
"""Names of the addresses that open without signal."""


class KeptPages:
    """Mark whole pages that were drawn for somebody who is signed in."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, and mark the answer."""
        response = self.get_response(request)
        is_page = response.get("Content-Type", "").startswith("text/html")
        if not is_page or response.status_code != 200 or request.method != "GET":
            return response
        if request.user.is_authenticated and not request.htmx:
            # In another language it is another reader's page: kept ones would stay in the old one.
            response["Page-Of"] = f"{request.user.pk} {get_language()}"
            if request.resolver_match and request.resolver_match.url_name in KEPT:
                response["Page-Kept"] = "yes"
        return response
