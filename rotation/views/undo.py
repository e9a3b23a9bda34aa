"""Taking back the last action; it sits on the top floor because the plan is mended afterwards."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from garden.access import writable_garden_for
from garden.models import UndoStep
from garden.undo import CannotUndoError, undo_step_take_back
from garden.views.front import next_address
from garden.words import gettext as _


@require_POST
def undo(request: HttpRequest, garden_id: int, step_id: int) -> HttpResponse:
    """Take back one of the user's own recent actions."""
    garden = writable_garden_for(request, garden_id)
    step = get_object_or_404(UndoStep, pk=step_id, garden=garden, user=request.user)
    if step.takes_owner and not request.membership.may_rule:
        raise PermissionDenied(_("Taking this back takes an owner of the garden."))
    try:
        undo_step_take_back(step=step)
    except CannotUndoError as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, _("Undone: {said}").format(said=step.said))
    return redirect(next_address(request, f"/g/{garden.pk}/"))
