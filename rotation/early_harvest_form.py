"""What is taken from a bed too soon: the day, and what becomes of it."""

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from garden.day_words import day_year_words
from garden.forms import DayField, GardenForm
from garden.models import EarlyHarvest
from garden.words import gettext as _
from rotation.harvest_answers import HarvestAnswer


class EarlyHarvestForm(GardenForm, forms.ModelForm):
    """One early harvest of one planting, which `answer` says is not safe yet."""

    on = DayField(label=gettext_lazy("Day"))
    why = forms.ChoiceField(
        label=gettext_lazy("What becomes of it?"),
        choices=EarlyHarvest.Why.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Say what becomes of it: it is not safe to eat raw.")
        },
    )

    class Meta:
        model = EarlyHarvest
        fields = ("on", "why", "note")

    def __init__(self, *args: Any, answer: HarvestAnswer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["on"] = self.initial["on"] or self.garden.today()
        self.answer = answer
        self.fields["note"].help_text = gettext_lazy("If you like: how much, or for whom.")

    def clean_on(self) -> date:
        """Refuse a day to come, one before the crop was there, and one on which it is safe."""
        day, planting = self.cleaned_data["on"], self.answer.planting
        if day > self.garden.today():
            raise ValidationError(_("That day is still to come. Log it when it has happened."))
        if not planting.starts_on <= day < planting.ends_on:
            raise ValidationError(
                _("{crop} was not in the bed that day: it stands from {day}.").format(
                    crop=planting.crop, day=day_year_words(planting.starts_on)
                )
            )
        if self.answer.safe_from is None or day >= self.answer.safe_from:
            raise ValidationError(_("The wait was over by then: there is nothing to note."))
        return day
