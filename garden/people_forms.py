"""Forms about who belongs to a garden."""

from django import forms
from django.utils.translation import gettext_lazy

from garden.models import Invitation, Membership, Role
from garden.models.roles import role_word


def short_roles() -> list[tuple[str, str]]:
    """Return the roles in one word, for a narrow select; the page says beside it what each may do."""
    return [(role.value, role_word(role).capitalize()) for role in Role]


class InviteForm(forms.ModelForm):
    """What the next person will be."""

    role = forms.ChoiceField(
        choices=short_roles, label=gettext_lazy("What they may do"), initial=Role.HELPER
    )

    class Meta:
        model = Invitation
        fields = ("role",)


class RoleForm(forms.ModelForm):
    """Another role for a member; ids carry the member's own, for there are several on one page."""

    role = forms.ChoiceField(choices=short_roles, label=gettext_lazy("Role"))

    class Meta:
        model = Membership
        fields = ("role",)
