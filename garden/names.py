"""A name that a garden uses once: the clash is told beside the field."""

from typing import Any

from django import forms


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
    noun = clash._meta.verbose_name
    given_up = getattr(clash, "retired_on", None)
    if given_up:
        return f"“{clash}” is the name of a {noun} that was given up. Take another name."
    return f"This garden already has a {noun} called “{clash}”."
