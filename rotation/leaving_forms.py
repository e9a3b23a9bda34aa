"""Forms for what cannot be taken back: a name is typed, because a tap is too easily made."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from garden.words import gettext as _


class TypedNameForm(forms.Form):
    """A name that must be typed as it is."""

    typed = forms.CharField(
        required=True, max_length=200, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )

    def __init__(self, *args: Any, name: str, label: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._name = name
        self.fields["typed"].label = label

    def clean_typed(self) -> str:
        """Refuse any other name."""
        typed = self.cleaned_data["typed"]
        # As forms and phones do: spaces round a name are not seen.
        if typed.strip() != self._name.strip():
            raise ValidationError(_("Type “{name}”, exactly so.").format(name=self._name))
        return typed
