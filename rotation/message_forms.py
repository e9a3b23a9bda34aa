"""Forms about what leaves the garden for one of its people: the calendar, and the letter about tomorrow."""

from typing import Any

from django import forms
from django.contrib.auth.models import AbstractBaseUser
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from garden.words import gettext as _
from rotation.models.messages import EVENING_HOUR, MORNING_HOUR

HOURS = [(hour, f"{hour:02d}:00") for hour in range(24)]


class _HourForm(forms.Form):
    hour = forms.TypedChoiceField(label=gettext_lazy("At"), choices=HOURS, coerce=int)


class CalendarForm(_HourForm):
    """When the morning's work stands in the calendar."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["hour"].label = gettext_lazy("Moves and feed stand at")
        self.fields["hour"].initial = MORNING_HOUR
        self.fields["hour"].help_text = gettext_lazy(
            "By the garden’s own clock, summer and winter."
        )


class ReminderForm(_HourForm):
    """When tomorrow's letter is sent, if at all."""

    is_on = forms.BooleanField(label=gettext_lazy("Send me the letter"), required=False)

    field_order = ["is_on", "hour"]

    def __init__(self, *args: Any, user: AbstractBaseUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._user = user
        self.fields["hour"].label = gettext_lazy("Every day at")
        self.fields["hour"].initial = EVENING_HOUR
        self.fields["hour"].help_text = gettext_lazy(
            "By the garden’s own clock. It tells of the day after."
        )

    def clean_is_on(self) -> bool:
        """Refuse a letter to nowhere."""
        is_on = self.cleaned_data["is_on"]
        if is_on and not self._user.email:
            raise ValidationError(
                _("Your account has no e-mail address, so there is nowhere to send it.")
            )
        return is_on
