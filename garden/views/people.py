"""Who belongs to a garden, and the links that let more in."""

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from garden.access import garden_for, ruled_garden_for
from garden.actions import invitation_accept, membership_change_role, membership_remove
from garden.clock import now
from garden.models import Garden, Invitation, Membership
from garden.people_forms import InviteForm, RoleForm
from garden.throttle import throttled
from garden.undo import noted
from garden.views.form_page import UNPROCESSABLE, posted
from garden.words import gettext as _

MOST_OPENED = 30
"""How often one link may be opened, and one reader may try links that are none, in ten minutes. Our choice."""


@require_GET
def people(request: HttpRequest, garden_id: int) -> HttpResponse:
    """List the members, and for an owner the open links."""
    return _people_page(request, garden_for(request, garden_id))


@require_POST
def invite(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Make a link for one more person."""
    garden = ruled_garden_for(request, garden_id)
    form = InviteForm(posted(request), instance=Invitation(garden=garden, made_by=request.user))
    if not form.is_valid():
        return _people_page(request, garden, invite_form=form)
    invitation = form.save()
    noted(garden, request.user, _("Link made for a {role}").format(role=invitation.role_word))
    messages.success(request, _("The link is ready. Send it to one person; it works once."))
    return redirect(f"{reverse('people', args=[garden.pk])}#link-{invitation.pk}")


@require_POST
def withdraw(request: HttpRequest, garden_id: int, invitation_id: int) -> HttpResponse:
    """Close a link that nobody has used."""
    garden = ruled_garden_for(request, garden_id)
    invitation = get_object_or_404(garden.invitations.unused(), pk=invitation_id)
    invitation.withdrawn_at = now()
    invitation.save()
    noted(garden, request.user, _("Link for a {role} closed").format(role=invitation.role_word))
    messages.success(request, _("The link is closed. It lets nobody in any more."))
    return redirect("people", garden_id=garden.pk)


@require_POST
def role(request: HttpRequest, garden_id: int, membership_id: int) -> HttpResponse:
    """Give a member another role."""
    garden = ruled_garden_for(request, garden_id)
    member = get_object_or_404(garden.memberships.named(), pk=membership_id)
    form = _role_form(member, posted(request))
    if form.is_valid():
        try:
            membership_change_role(
                membership=member, role=form.cleaned_data["role"], user=request.user
            )
        except ValidationError as refusal:
            form.add_error("role", refusal)
        else:
            messages.success(
                request,
                _("{member} is now {role}.").format(member=member.user, role=member.role_word),
            )
            return redirect("people", garden_id=garden.pk)
    return _people_page(request, garden, wrong_form=form)


@require_POST
def remove(request: HttpRequest, garden_id: int, membership_id: int) -> HttpResponse:
    """Take a member out of the garden; anybody may take out themselves."""
    garden = garden_for(request, garden_id)
    leaving = request.membership.pk == membership_id
    if not leaving:
        ruled_garden_for(request, garden_id)
    member = get_object_or_404(garden.memberships.named(), pk=membership_id)
    try:
        membership_remove(membership=member, user=request.user)
    except ValidationError as refusal:
        return _people_page(request, garden, cannot_leave=refusal.messages[0])
    if leaving:
        messages.success(request, _("You have left {garden}.").format(garden=garden.name))
        return redirect("gardens")
    return redirect("people", garden_id=garden.pk)


@require_http_methods(["GET", "POST"])
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Show whose garden a link opens, and let its reader in; whoever tries many links is held back."""
    return throttled(request, "join", token, most=MOST_OPENED, answer=lambda: _join(request, token))


def _join(request: HttpRequest, token: str) -> HttpResponse:
    invitation = Invitation.of_token(token)
    if invitation is None:
        return render(request, "garden/join_closed.html", status=404)
    member = invitation.garden.memberships.of_user(request.user).first()
    if member is None and request.method == "POST":
        member = invitation_accept(invitation=invitation, user=request.user)
        if member is None:
            return render(request, "garden/join_closed.html", status=404)
        messages.success(request, _("Welcome to {garden}.").format(garden=invitation.garden))
        return redirect("today", garden_id=invitation.garden_id)
    return render(request, "garden/join.html", {"invitation": invitation, "member": member})


def _role_form(member: Membership, data: object = None) -> RoleForm:
    return RoleForm(data, instance=member, auto_id=f"id_{member.pk}_%s")


def _people_page(
    request: HttpRequest,
    garden: Garden,
    *,
    invite_form: InviteForm | None = None,
    wrong_form: RoleForm | None = None,
    cannot_leave: str = "",
) -> HttpResponse:
    members = list(garden.memberships.named())
    # A refused form has an address that only takes posts; the frame's buttons must not lead back there.
    back = reverse("people", args=[garden.pk])
    context = {"members": members, "cannot_leave": cannot_leave, "undo_next": back}
    if request.membership.may_rule:
        context |= {
            "members": [_with_form(member, wrong_form) for member in members],
            "invite_form": invite_form or InviteForm(),
            "links": [_link(request, row) for row in garden.invitations.unused()],
        }
    wrong = wrong_form or cannot_leave or (invite_form and invite_form.errors)
    return render(request, "garden/people.html", context, status=UNPROCESSABLE if wrong else 200)


def _with_form(member: Membership, wrong_form: RoleForm | None) -> Membership:
    """Hang the role form on a member, the one that was refused in its place."""
    refused = wrong_form is not None and wrong_form.instance.pk == member.pk
    member.role_form: forms.ModelForm = wrong_form if refused else _role_form(member)
    return member


def _link(request: HttpRequest, invitation: Invitation) -> dict[str, object]:
    address = request.build_absolute_uri(reverse("join", args=[invitation.token]))
    return {"invitation": invitation, "address": address}
