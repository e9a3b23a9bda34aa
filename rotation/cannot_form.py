"""Why a task of the day could not be done."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from garden.models import Garden
from garden.words import gettext as _
from garden.words import mark
from rotation.chore_form import day_tapped
from rotation.models import ChoreMark

OTHER = "other"
REASONS = (
    mark("Too wet or too windy"),
    mark("The place is not free"),
    mark("The pen or a tool is broken"),
    mark("Not enough hands"),
    mark("The birds are not well"),
)
"""The usual ones, so that one tap says it. Common practice, no source."""


class CannotForm(forms.Form):
    """A reason by one tap, or in one's own words; `on` is the day it was tapped, today where it is not told."""

    reason = forms.ChoiceField(
        label=gettext_lazy("Why not?"),
        choices=[
            *((reason, gettext_lazy(reason)) for reason in REASONS),
            (OTHER, gettext_lazy("Something else")),
        ],
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Say why, so that the others know.")},
    )
    words = forms.CharField(
        label=gettext_lazy("In your own words"),
        required=False,
        max_length=ChoreMark._meta.get_field("reason").max_length,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    on = forms.DateField(
        required=False, widget=forms.HiddenInput(attrs={"data-on-today": "", "id": None})
    )

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.garden = garden
        self.fields["on"].initial = garden.today()

    def clean_on(self) -> date:
        """Take today for nothing, and refuse a day to come or long past."""
        return day_tapped(self.cleaned_data["on"], self.garden)

    def clean(self) -> dict[str, Any]:
        """Ask for words where none of the usual reasons is meant."""
        cleaned = super().clean()
        if cleaned.get("reason") == OTHER and not cleaned.get("words"):
            self.add_error("words", _("Say in a few words what it is."))
        return cleaned

    @property
    def told(self) -> str:
        """Return the reason of a valid form as it is kept: own words win."""
        return self.cleaned_data["words"] or self.cleaned_data["reason"]
