"""What to plant in a bed once its birds have gone."""

from datetime import date, timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET

from garden.access import garden_for
from garden.day_words import day_year_words
from garden.forms import DayField, GardenForm
from garden.frost import month_day_words
from garden.models import Garden
from garden.succession import FAMILY_YEARS, available_g, suggestions
from garden.words import gettext as _
from rotation.bed_records import bed_record
from rotation.succession import candidates, free_bed, rules_of

FURTHEST_YEARS = 2
"""How far ahead a bed may be asked about. Our choice."""


class FreeFromForm(GardenForm, forms.Form):
    """From when the bed is to be planted, and with what."""

    from_day = DayField(label=gettext_lazy("The bed is free from"), required=False)
    grown = forms.BooleanField(
        label=gettext_lazy("Only crops that this garden has planted"), required=False
    )
    instead = forms.BooleanField(
        label=gettext_lazy("Instead of the crops planned there"), required=False
    )

    def clean_from_day(self) -> date | None:
        """Refuse days that have passed or that nobody plans for."""
        day, today = self.cleaned_data["from_day"], self.garden.today()
        latest = today + timedelta(days=365 * FURTHEST_YEARS)
        if day is not None and not today <= day <= latest:
            raise ValidationError(
                _("Give a day from {day} to {latest}.").format(
                    day=day_year_words(today), latest=day_year_words(latest)
                )
            )
        return day


@require_GET
def next_crop(request: HttpRequest, garden_id: int, bed_id: int) -> HttpResponse:
    """Suggest crops for a bed, those first that use most of what the birds leave."""
    garden = garden_for(request, garden_id)
    record = bed_record(garden, bed_id, garden.today())
    if record is None or not record.bed.grows_crops:
        raise Http404("No such bed")
    form = FreeFromForm(request.GET or None, garden=garden)
    asked = form.cleaned_data if form.is_valid() else {}
    instead = asked.get("instead", False)
    bed, rules = free_bed(record, asked.get("from_day"), instead=instead), rules_of(garden)
    if not form.is_bound:
        form.initial["from_day"] = bed.free_from
    crops = candidates(garden, only_planted=asked.get("grown", False))
    fit, unfit = suggestions(crops, bed, rules)
    context = {
        "bed": record.bed,
        "free": bed,
        "birds_left": bed.interval_from,
        "available_g": available_g(bed, rules),
        "form": form,
        "may_ask_instead": bed.free_until is not None and not instead,
        "fit": [found for found in fit if found.need_g > 0],
        "modest": [found for found in fit if not found.need_g > 0],
        "unfit": unfit,
        "frosts": garden.frosts and [month_day_words(day) for day in _days(garden)],
        "family_years": FAMILY_YEARS,
    }
    return render(request, "rotation/next_crop.html", context)


def _days(garden: Garden) -> tuple[str, str]:
    return garden.last_frost, garden.first_frost
