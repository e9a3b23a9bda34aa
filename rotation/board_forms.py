"""Forms by which a plan is changed by hand: a stay, two pens' places, days on which a bed is not to be had."""

from datetime import timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from garden.forms import DayField, GardenForm
from garden.models import Bed
from garden.words import gettext as _
from rotation.board_hand import Hand, partners, place_words
from rotation.edits import Fault, Wanted, span_words
from rotation.ground_days import Closed
from rotation.models import Closure, PlannedStay

MOST_DAYS = 366
"""As far as a plan reaches. [day]"""
FIELD_OF = {
    "first_day": "first_day",
    "days": "days",
    "nitrogen": "days",
    "stay": "place",
    "rest": "place",
}
"""Beside which field a broken rule is said."""


class StayForm(GardenForm, forms.Form):
    """Where a pen is to stand, from which day and for how many."""

    place = forms.ChoiceField(label=gettext_lazy("Place"))
    first_day = DayField(label=gettext_lazy("First day"))
    days = forms.IntegerField(label=gettext_lazy("Days"), min_value=1, max_value=MOST_DAYS)

    def __init__(self, *args: Any, hand: Hand, **kwargs: Any) -> None:
        super().__init__(
            *args,
            garden=hand.garden,
            initial={"place": hand.key, "first_day": hand.first_day, "days": hand.days},
            **kwargs,
        )
        self.hand = hand
        self.places = hand.places
        self.fields["place"].choices = [
            ("", _("Choose a place")),
            *((key, place_words(hand, place)) for key, place in self.places.items()),
        ]
        self.fields["first_day"].widget.attrs |= {
            "min": max(hand.facts.on, hand.run.first_day).isoformat(),
            "max": (hand.run.end_day - timedelta(days=1)).isoformat(),
        }

    def clean_first_day(self) -> Any:
        """Refuse a day so far off that days cannot be counted from it."""
        day = self.cleaned_data["first_day"]
        if abs((day - self.hand.facts.on).days) > MOST_DAYS:
            raise ValidationError(_("That day is too far from today."))
        return day

    @property
    def wanted(self) -> Wanted:
        """The stay that a valid form asks for."""
        asked = self.cleaned_data
        place = self.places[asked["place"]].stretch
        return self.hand.wanted(place, asked["first_day"], asked["days"])

    def add_faults(self, faults: tuple[Fault, ...]) -> None:
        """Say broken rules beside the fields that they speak of."""
        for fault in faults:
            self.add_error(FIELD_OF.get(fault.rule), fault.words)


class SwapForm(GardenForm, forms.Form):
    """With which other pen the one in hand changes places."""

    swap = forms.ChoiceField(label=gettext_lazy("Change places with"))

    def __init__(self, *args: Any, hand: Hand, **kwargs: Any) -> None:
        super().__init__(*args, garden=hand.garden, **kwargs)
        self.partners = {str(stay.pk): stay for stay in partners(hand)}
        self.fields["swap"].choices = [
            (
                key,
                _("{pen} on {bed}, {days}").format(
                    pen=stay.pen.name, bed=stay.bed.name, days=_days(hand, stay)
                ),
            )
            for key, stay in self.partners.items()
        ]

    @property
    def partner(self) -> PlannedStay:
        """The stay that a valid form names."""
        return self.partners[self.cleaned_data["swap"]]


def _days(hand: Hand, stay: PlannedStay) -> str:
    return span_words(max(stay.first_day, hand.facts.on), stay.end_day)


class ClosureForm(GardenForm, forms.ModelForm):
    """Days, the last included, on which a bed takes no pen."""

    first_day = DayField(label=gettext_lazy("First day"))
    last_day = DayField(
        label=gettext_lazy("Last day"),
        help_text=gettext_lazy("The bed takes pens again the day after."),
    )

    class Meta:
        model = Closure
        fields = ["bed", "first_day", "why"]
        labels = {"bed": gettext_lazy("Bed"), "why": gettext_lazy("Why")}
        help_texts = {"why": gettext_lazy("As it should stand on the board, such as: hose broken.")}

    field_order = ["bed", "first_day", "last_day", "why"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = self.garden.today()
        self.fields["bed"].queryset = Bed.objects.filter(garden=self.garden).in_use()
        self.fields["why"].required = False
        if self.instance.pk:
            self.initial["last_day"] = self.instance.end_day - timedelta(days=1)

    def clean(self) -> dict[str, Any]:
        """Refuse days the wrong way round, in the past, or so many that a slip is likelier."""
        asked = super().clean()
        first_day, last_day = asked.get("first_day"), asked.get("last_day")
        if first_day and last_day:
            if last_day < first_day:
                self.add_error("last_day", _("That is before the first day."))
            elif last_day < self.today:
                self.add_error("last_day", _("Those days have passed."))
            elif (last_day - first_day).days >= 3 * MOST_DAYS:
                self.add_error("last_day", _("That is years away. Give the bed up instead."))
            else:
                self.instance.end_day = last_day + timedelta(days=1)
        return asked

    @property
    def closed(self) -> Closed:
        """The days of a valid form."""
        return self.instance.dates
