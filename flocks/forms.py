"""The form of a batch: shared by the page that makes one and the page that changes one."""

from datetime import timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from flocks.forecasting import draft_forecast
from flocks.headcount import departures
from flocks.models import Batch
from flocks.own_birds import own_strain_choices
from flocks.strains import built_in_strains
from flocks.withdrawal_forms import WHY, AsksWithdrawal
from garden.day_words import day_words
from garden.forms import DayField, GardenForm, RowsField, quantity
from garden.units import BIRD_MASS
from garden.words import gettext as _
from pens.models import Pen

USUAL_BROODER_DAYS = 24
"""Days in the brooder that are suggested [day].

A choice within 3 (warm) to 5 weeks: Maine extension's range trial, its weeks from memory.
"""
MOST_DAYS_AWAY = 2 * 365
"""How far from today a date of a batch may lie [day]. A choice."""


WAYS_TO_WRITE_WEIGHT = {
    "metric": gettext_lazy("Write 2300, or 2.3 kg."),
    "us": gettext_lazy("Write 5.3, or 5 lb 5 oz."),
}


def strain_choices() -> list[tuple[str, str]]:
    """Return the built-in strains as choices with their plain names."""
    return [(key, _(strain.name)) for key, strain in built_in_strains().items()]


class BatchForm(AsksWithdrawal, GardenForm, forms.ModelForm):
    """A batch with the pens its birds move to; blank days are filled with what is usual."""

    strain = forms.ChoiceField(
        label=gettext_lazy("Kind of bird"),
        choices=strain_choices,
        initial="fast",
        help_text=gettext_lazy("Sets the growth expected until you weigh some birds."),
    )
    hatch_on = DayField(
        label=gettext_lazy("Hatched on"),
        help_text=gettext_lazy("For chicks by post: a day or two before they came."),
    )
    target_g = quantity(Batch._meta.get_field("target_g"), BIRD_MASS)
    pens = RowsField(
        Pen.objects.none(),
        label=gettext_lazy("Pens they move to"),
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("The chicks are shared out by the floor of the pens."),
    )
    leaves_brooder_on = DayField(
        label=gettext_lazy("Leave the brooder on"),
        required=False,
    )
    processing_on = DayField(
        label=gettext_lazy("Processing on"),
        required=False,
        help_text=gettext_lazy("Left blank: the day they should reach the weight wanted."),
    )

    day_name = "processing_on"

    class Meta:
        model = Batch
        fields = [
            "name",
            "hatch_on",
            "chicks",
            "males",
            "strain",
            "target_g",
            "pens",
            "leaves_brooder_on",
            "processing_on",
        ]
        labels = {"name": gettext_lazy("Name"), "chicks": gettext_lazy("Chicks")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        own = self.instance.pens.all() if self.instance.pk else Pen.objects.none()
        self.fields["pens"].queryset = (self.garden.pens.in_use() | own).distinct()
        # By batch and garden, because the choices grow with what the garden has learnt.
        self.fields["strain"].choices = [*own_strain_choices(self.garden), *strain_choices()]
        for name in ("chicks", "males"):
            self.fields[name].widget.attrs["inputmode"] = "numeric"
        self.fields["leaves_brooder_on"].help_text = _(
            "Left blank: {days} days after hatching."
        ).format(days=USUAL_BROODER_DAYS)
        self.fields["males"].help_text = _("Where known. They grow heavier than females.")
        self.offer_reason(self.instance.pk)
        self.fields["target_g"].help_text = WAYS_TO_WRITE_WEIGHT[self.garden.unit_system]

    def clean_name(self) -> str:
        """Refuse a name that another batch of the garden has."""
        name = self.cleaned_data["name"]
        if self.garden.batches.exclude(pk=self.instance.pk).filter(name=name).exists():
            raise ValidationError(_("This garden already has a batch of that name."))
        return name

    def clean(self) -> dict[str, Any]:
        """Fill blank days, then hold days, chicks and pens against each other."""
        values = super().clean()
        # Far days go first: the calendar itself ends a few thousand years on.
        self._refuse_far_days(values)
        self._fill_days(values)
        self._refuse_far_days(values)
        self._check_days(values)
        self._check_chicks(values)
        if not self.errors:
            self._check_pens_free(values)
        if not self.errors and "processing_on" in self.changed_data:
            why = self.check_withdrawal(self.instance.pk, values.get("processing_on"))
            values |= {WHY: why} if WHY in self.fields else {}
        return values

    def _fill_days(self, values: dict[str, Any]) -> None:
        hatch_on, target_g = values.get("hatch_on"), values.get("target_g")
        if hatch_on is None:
            return
        if values.get("leaves_brooder_on") is None and "leaves_brooder_on" not in self.errors:
            values["leaves_brooder_on"] = hatch_on + timedelta(days=USUAL_BROODER_DAYS)
        out_on = values.get("leaves_brooder_on")
        wanted = values.get("processing_on") is None and "processing_on" not in self.errors
        if wanted and out_on and target_g is not None and values.get("strain"):
            ready_on = draft_forecast(values["strain"], hatch_on, target_g=target_g).ready_on.median
            if ready_on is None:
                self.add_error("target_g", _("Such birds do not reach this weight in 150 days."))
            else:
                values["processing_on"] = max(ready_on, out_on + timedelta(days=1))

    def _refuse_far_days(self, values: dict[str, Any]) -> None:
        for name in ("hatch_on", "leaves_brooder_on", "processing_on"):
            day = values.get(name)
            if day and abs((day - self.garden.today()).days) > MOST_DAYS_AWAY:
                self.add_error(name, _("Give a day within two years of today."))

    def _check_days(self, values: dict[str, Any]) -> None:
        hatch_on = values.get("hatch_on")
        out_on, processing_on = values.get("leaves_brooder_on"), values.get("processing_on")
        if hatch_on and out_on and out_on <= hatch_on:
            self.add_error("leaves_brooder_on", _("Chicks leave the brooder after they hatch."))
        if out_on and processing_on and processing_on <= out_on:
            self.add_error(
                "processing_on", _("Processing comes after the birds have left the brooder.")
            )
        if hatch_on and self.instance.pk:
            first_on = min((row.on for row in self._rows()), default=hatch_on)
            if first_on < hatch_on:
                self.add_error(
                    "hatch_on", _("Something was logged on {day}.").format(day=day_words(first_on))
                )

    def _rows(self) -> list[Any]:
        batch = self.instance
        return [*departures(batch), *batch.weighing_set.all(), *batch.feedrecord_set.all()]

    def _check_chicks(self, values: dict[str, Any]) -> None:
        chicks, pens = values.get("chicks"), values.get("pens")
        if chicks is None:
            return
        if (values.get("males") or 0) > chicks:
            self.add_error("males", _("There are fewer chicks than that."))
        if pens is not None and chicks < len(pens):
            self.add_error("pens", _("There are fewer chicks than pens."))
        gone = sum(row.count for row in departures(self.instance)) if self.instance.pk else 0
        if chicks < gone:
            self.add_error(
                "chicks",
                _("At least {gone}: so many are logged as lost or processed.").format(gone=gone),
            )

    def _check_pens_free(self, values: dict[str, Any]) -> None:
        stays = values["leaves_brooder_on"], values["processing_on"]
        others = self.garden.batches.unfinished().exclude(pk=self.instance.pk)
        for other in others.in_pens(values["pens"]).prefetch_related("pens"):
            if other.needs_pens_during(*stays, today=self.garden.today()):
                shared = [pen.name for pen in other.pens.all() if pen in values["pens"]]
                self.add_error(
                    "pens",
                    _("{pens}: used by {batch} from {first} to {last}.").format(
                        pens=_(" and ").join(shared),
                        batch=other.name,
                        first=day_words(other.leaves_brooder_on),
                        last=day_words(other.processing_on),
                    ),
                )
