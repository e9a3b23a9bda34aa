"""A name that a garden uses once: the clash is told beside the field."""

from typing import Any

from django import forms

from garden.row_words import row_word
from garden.words import gettext as _


class NameOnce:
    """Mixed into a garden's model form with a `name`.

    The row's garden is not a field of the form, so the model's own unique constraint is not checked
    by it. Two names that differ in capitals only would be mixed up in the garden and clash too.
    """

    def clean_name(self: Any) -> str:
        """Return the name, or refuse it where another row of this garden has it."""
        name = self.cleaned_data["name"]
        model = self._meta.model
        others = model.objects.filter(garden=self.garden, name__iexact=name)
        clash = others.exclude(pk=self.instance.pk).first()
        if clash is not None:
            raise forms.ValidationError(_told(clash))
        return name


def _told(clash: Any) -> str:
    noun = row_word(type(clash))
    given_up = getattr(clash, "retired_on", None)
    if given_up:
        return _("“{name}” is the name of a {noun} that was given up. Take another name.").format(
            name=clash, noun=noun
        )
    return _("This garden already has a {noun} called “{name}”.").format(noun=noun, name=clash)
