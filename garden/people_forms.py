"""Forms about who belongs to a garden."""

from django import forms

from garden.models import Invitation, Membership, Role

SHORT_ROLES = [(role.value, role.value.capitalize()) for role in Role]
"""The roles in one word, for a narrow select; the page says beside it what each may do."""


class InviteForm(forms.ModelForm):
    """What the next person will be."""

    role = forms.ChoiceField(choices=SHORT_ROLES, label="What they may do", initial=Role.HELPER)

    class Meta:
        model = Invitation
        fields = ("role",)


class RoleForm(forms.ModelForm):
    """Another role for a member; ids carry the member's own, for there are several on one page."""

    role = forms.ChoiceField(choices=SHORT_ROLES, label="Role")

    class Meta:
        model = Membership
        fields = ("role",)
