"""Mends the plan after every change to a garden, so that no page can forget to.

Floors below rotation log weighings, move crops and change rules without knowing of plans. After each such
request the plan is held against the garden as it is now. Where it no longer holds, a new one is asked for and
worked out behind the pages, or, where no worker lives, here.
"""

import logging
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from garden.words import gettext as _
from garden.words import mark
from rotation.context import tell_of_planning
from rotation.plan_keeping import plan_keep

logger = logging.getLogger(__name__)

MENDED_ALREADY = "plan_is_fresh"
"""Request attribute by which a view says that it has planned itself."""
ACTS = {
    "new": mark("{thing} was added"),
    "edit": mark("{thing} was changed"),
    "remove": mark("{thing} was removed"),
    "retire": mark("{thing} was given up"),
}
"""What the end of an address's name says was done to the thing that its beginning names."""
THINGS = {
    "batch": mark("a batch"),
    "bed": mark("a bed"),
    "closure": mark("a closure"),
    "crop": mark("a crop"),
    "design": mark("a design"),
    "early_harvest": mark("an early harvest"),
    "feed": mark("a feed record"),
    "feed_product": mark("a feed"),
    "harvest": mark("a harvest"),
    "heap": mark("a heap"),
    "loss": mark("a loss"),
    "note": mark("a note"),
    "pen": mark("a pen"),
    "pin": mark("a locked stay"),
    "planting": mark("a planting"),
    "processing": mark("a processing"),
    "processing_day": mark("a processing day"),
    "soil_test": mark("a soil test"),
    "spread": mark("something spread"),
    "treatment": mark("a treatment"),
    "water": mark("a water record"),
    "weighing": mark("a weighing"),
    "what_if": mark("a what-if"),
}
REASONS = {
    "chore_mark": mark("work was ticked off"),
    "garden_settings": mark("the garden’s rules were changed"),
    "guide_beds": mark("beds were added"),
    "guide_pens": mark("a pen or a crop was added"),
    "move_done": mark("a move was logged"),
    "move_elsewhere": mark("a move was logged"),
    "undo": mark("a step was taken back"),
}
SOMETHING = mark("something was changed")
SAFE_METHODS = {"GET", "HEAD", "OPTIONS", "TRACE"}


class MendPlan:
    """Call `plan_keep` once a request that may have changed a garden has been answered."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, then mend."""
        response = self.get_response(request)
        garden = getattr(request, "garden", None)
        changed = request.method not in SAFE_METHODS and response.status_code < 400
        if garden is not None and changed and not getattr(request, MENDED_ALREADY, False):
            self._mend(request, response)
        return response

    def _mend(self, request: HttpRequest, response: HttpResponse) -> None:
        garden = type(request.garden).objects.filter(pk=request.garden.pk).first()
        if garden is None:
            return
        try:
            run = plan_keep(garden=garden, because=_reason(request), asked_by=request.user)
            if run is not None:
                tell_of_planning(response, garden)
        except Exception:
            # What was logged is saved and must not look lost because planning failed; the Plan page
            # shows what no longer holds, and the fault is in the log.
            logger.exception("could not mend the plan of garden %s", garden.pk)


def reason_of(address_name: str) -> str:
    """Say what was changed, by the name of the address that changed it: ``a weighing was added``."""
    thing, _line, act = address_name.rpartition("_")
    if thing in THINGS and act in ACTS:
        return _(ACTS[act]).format(thing=_(THINGS[thing]))
    return REASONS.get(address_name, SOMETHING)


def _reason(request: HttpRequest) -> str:
    return reason_of((request.resolver_match and request.resolver_match.url_name) or "")
