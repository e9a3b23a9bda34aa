"""The form of a batch that is over, as a row of a table fills it in."""

from datetime import timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from flocks.forms import USUAL_BROODER_DAYS, strain_choices
from flocks.models import Batch, Processing
from flocks.models.batches import MOST_CHICKS
from garden.forms import DayField, GardenForm, quantity
from garden.units import BIRD_MASS, FEED_MASS
from garden.words import gettext as _

OLDEST_YEARS = 30
"""How far back a past batch may lie [year]. A choice."""
USUAL_TARGET_G = 2300.0
"""Weight wanted where a table tells neither that nor what the birds weighed [g]. A choice."""


class PastBatchForm(GardenForm, forms.Form):
    """A finished batch: who they were, when they went, and what they came to."""

    name = forms.CharField(label=gettext_lazy("Name"), max_length=40)
    hatch_on = DayField(label=gettext_lazy("Hatched"))
    chicks = forms.IntegerField(label=gettext_lazy("Chicks"), min_value=1, max_value=MOST_CHICKS)
    strain = forms.ChoiceField(label=gettext_lazy("Kind of bird"), choices=strain_choices)
    leaves_brooder_on = DayField(label=gettext_lazy("Left the brooder"), required=False)
    processing_on = DayField(label=gettext_lazy("Processed"))
    processed = forms.IntegerField(
        label=gettext_lazy("Birds processed"), min_value=0, required=False
    )
    target_g = quantity(Batch._meta.get_field("target_g"), BIRD_MASS, required=False)
    live_mean_g = quantity(Processing._meta.get_field("live_mean_g"), BIRD_MASS)
    dressed_kg = quantity(Processing._meta.get_field("dressed_kg"), FEED_MASS)

    def clean_name(self) -> str:
        """Refuse a name that the garden has."""
        name = self.cleaned_data["name"]
        if self.garden.batches.filter(name__iexact=name).exists():
            raise ValidationError(_("This garden already has a batch of that name."))
        return name

    def clean(self) -> dict[str, Any]:
        """Fill what was left blank, and hold the days, the birds and the weights against each other."""
        values = super().clean()
        if self.errors:
            return values
        self._check_days(values)
        if values["processed"] is None:
            values["processed"] = values["chicks"]
        if values["processed"] > values["chicks"]:
            self.add_error("processed", _("More than the chicks there were."))
        live, dressed = values["live_mean_g"], values["dressed_kg"]
        if live and dressed and 1000 * dressed > values["processed"] * live:
            self.add_error("dressed_kg", _("That is more than the birds weighed alive."))
        values["target_g"] = values["target_g"] or live or USUAL_TARGET_G
        return values

    def _check_days(self, values: dict[str, Any]) -> None:
        hatch_on, today = values["hatch_on"], self.garden.today()
        if (today - hatch_on).days > 366 * OLDEST_YEARS:
            self.add_error(
                "hatch_on",
                _("Give a day of the last {years} years.").format(years=OLDEST_YEARS),
            )
            return
        usual_on = hatch_on + timedelta(days=USUAL_BROODER_DAYS)
        last_on = values["processing_on"] - timedelta(days=1)
        values["leaves_brooder_on"] = values["leaves_brooder_on"] or min(usual_on, last_on)
        if values["processing_on"] > today:
            self.add_error("processing_on", _("This day has not come yet: the batch is not over."))
        elif not hatch_on < values["leaves_brooder_on"] < values["processing_on"]:
            self.add_error(
                "processing_on", _("Hatched, out of the brooder, processed: in this order.")
            )

    def batch_fields(self) -> dict[str, Any]:
        """Return the fields of the batch that a valid form describes."""
        names = ("name", "hatch_on", "chicks", "strain", "leaves_brooder_on", "processing_on")
        values = {name: self.cleaned_data[name] for name in names}
        target_g = min(max(self.cleaned_data["target_g"], 300.0), 8000.0)
        return values | {"target_g": target_g, "finished_on": values["processing_on"]}
