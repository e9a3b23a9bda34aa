"""The only way a view finds a garden: what you may not see does not exist, what you may not do is refused.

A stranger gets 404, so that ids tell nothing; a member whose role is too small gets 403 with a page that says
which role it takes.
"""

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest

from garden.models import Garden, Membership
from garden.words import gettext as _


def garden_for(request: HttpRequest, garden_id: int) -> Garden:
    """Return the garden for any of its members, one query.

    The membership is kept on `request.membership` for the page and its templates.

    Raises
    ------
    Http404
        Where there is no such garden or the user does not belong to it.
    """
    membership = (
        Membership.objects.select_related("garden")
        .filter(garden_id=garden_id, user=request.user)
        .first()
    )
    if membership is None:
        raise Http404("No such garden")
    request.membership = membership
    request.garden = membership.garden
    return membership.garden


def writable_garden_for(request: HttpRequest, garden_id: int) -> Garden:
    """Return the garden for an owner or a helper, who may log work.

    Raises
    ------
    Http404
        As `garden_for`.
    PermissionDenied
        For a viewer.
    """
    garden = garden_for(request, garden_id)
    if not request.membership.may_log:
        raise PermissionDenied(
            _("You can look at this garden. Logging work takes a helper or an owner.")
        )
    return garden


def ruled_garden_for(request: HttpRequest, garden_id: int) -> Garden:
    """Return the garden for an owner, who may change rules, beds and people.

    Raises
    ------
    Http404
        As `garden_for`.
    PermissionDenied
        For a helper or a viewer.
    """
    garden = garden_for(request, garden_id)
    if not request.membership.may_rule:
        raise PermissionDenied(_("Changing this takes an owner of the garden."))
    return garden
