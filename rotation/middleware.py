"""Mends the plan after every change to a garden, so that no page can forget to.

Floors below rotation log weighings, move crops and change rules without knowing of plans. After each such
request the plan is held against the garden as it is now, and worked out anew where it no longer holds.
"""

import logging
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from rotation.planning import plan_mend

logger = logging.getLogger(__name__)

MENDED_ALREADY = "plan_is_fresh"
"""Request attribute by which a view says that it has planned itself."""
SAFE_METHODS = {"GET", "HEAD", "OPTIONS", "TRACE"}


class MendPlan:
    """Call `plan_mend` once a request that may have changed a garden has been answered."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, then mend."""
        response = self.get_response(request)
        garden = getattr(request, "garden", None)
        changed = request.method not in SAFE_METHODS and response.status_code < 400
        if garden is not None and changed and not getattr(request, MENDED_ALREADY, False):
            self._mend(request)
        return response

    def _mend(self, request: HttpRequest) -> None:
        garden = type(request.garden).objects.filter(pk=request.garden.pk).first()
        if garden is None:
            return
        try:
            plan_mend(garden=garden, on=garden.today(), because=_reason(request))
        except Exception:
            # What was logged is saved and must not look lost because planning failed; the Plan page
            # shows what no longer holds, and the fault is in the log.
            logger.exception("could not mend the plan of garden %s", garden.pk)


def _reason(request: HttpRequest) -> str:
    name = request.resolver_match.url_name if request.resolver_match else ""
    return f"after {name.replace('_', ' ')}" if name else "after a change"
