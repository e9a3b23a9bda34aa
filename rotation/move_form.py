"""The form that says where a pen was put: behind the one big button, and for a pen moved elsewhere."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from garden.forms import DayField, GardenForm
from garden.models import Bed, Garden, Planting
from garden.words import gettext as _
from pens.models import Pen
from rotation.carrying import place_in_words
from rotation.day_sheet import place_key
from rotation.ground import Stretch, stretches
from rotation.models import Stay

LATE_LOG_DAYS = 14
"""How far back a move may be logged [day]. Our choice: after that a wrong date is likelier."""


class MoveForm(GardenForm, forms.Form):
    """Where a pen stands now, and since when; `seen` is the stay that the page showed as the old one."""

    place = forms.ChoiceField(label=gettext_lazy("Where it stands now"))
    on = DayField(label=gettext_lazy("Day of the move"))
    seen = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, garden: Garden, pen: Pen, **kwargs: Any) -> None:
        super().__init__(*args, garden=garden, **kwargs)
        self.today = today = garden.today()
        self.crops = _crops_standing(garden, today)
        self.places = _places(garden, pen)
        self.fields["place"].choices = [
            ("", _("Choose a place")),
            *_choices(self.places, self.crops, _taken(garden, pen)),
            ("off", _("On the standing ground, off the beds")),
        ]
        self.fields["on"].initial = today
        self.fields["on"].widget.attrs |= {
            "max": today.isoformat(),
            "min": (today - timedelta(days=LATE_LOG_DAYS)).isoformat(),
        }

    def clean_on(self) -> date:
        """Refuse a day to come, and one so long ago that it is likely a slip."""
        day = self.cleaned_data["on"]
        if day > self.today:
            raise ValidationError(_("That day is still to come."))
        if day < self.today - timedelta(days=LATE_LOG_DAYS):
            raise ValidationError(
                _("That is more than {late_log_days} days ago.").format(late_log_days=LATE_LOG_DAYS)
            )
        return day

    @property
    def stretch(self) -> Stretch | None:
        """Return the ground of a valid form's place; None for the standing ground."""
        return self.places.get(self.cleaned_data["place"], (None, None))[1]

    @property
    def crop_there(self) -> str:
        """Return the crop that stands where a valid form puts the pen; empty for none."""
        stretch = self.stretch
        return self.crops.get(stretch.bed_id, "") if stretch else ""


def _places(garden: Garden, pen: Pen) -> dict[str, tuple[Bed, Stretch]]:
    return {
        place_key(bed.pk, stretch.offset_mm): (bed, stretch)
        for bed in garden.beds.in_use()
        for stretch in stretches(bed, pen, garden)
    }


def _crops_standing(garden: Garden, on: date) -> dict[int, str]:
    plantings = Planting.objects.of(garden).standing(on).select_related("crop")
    return {planting.bed_id: planting.crop.name for planting in plantings}


def _taken(garden: Garden, pen: Pen) -> list[Stay]:
    return list(
        Stay.objects.of(garden)
        .standing()
        .exclude(pen=pen)
        .exclude(bed=None)
        .filter(batch__finished_on=None)
        .select_related("pen")
    )


def _choices(
    places: dict[str, tuple[Bed, Stretch]], crops: dict[int, str], taken: list[Stay]
) -> list[tuple[str, str]]:
    offsets: dict[int, list[float]] = {}
    for bed, stretch in places.values():
        offsets.setdefault(bed.pk, []).append(stretch.offset_mm)

    def label(bed: Bed, stretch: Stretch) -> str:
        place = place_in_words(stretch.offset_mm, offsets[bed.pk], lies_across=bed.lies_across)
        crop = _("{crops} stands there").format(crops=crops[bed.pk]) if bed.pk in crops else ""
        here = [
            _("{pen} stands there").format(pen=stay.pen)
            for stay in taken
            if stretch.overlaps(Stretch(stay.bed_id, stay.offset_mm, stay.stretch_mm))
        ]
        return ", ".join(part for part in (bed.name, place, crop, *here) if part)

    return [(key, label(*place)) for key, place in places.items()]
