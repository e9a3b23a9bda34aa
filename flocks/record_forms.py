"""Forms that log something about a batch: a weighing, feed, water, a note."""

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from flocks.engine_rows import names_a_sex
from flocks.models import Batch, FeedRecord, Note, WaterRecord, Weighing
from flocks.weight_list import weights_entry, weights_read
from garden.day_words import day_words
from garden.forms import DayField, GardenForm, QuantityField, quantity
from garden.units import BIRD_MASS, FEED_MASS
from garden.volumes import VOLUME
from garden.words import gettext as _
from pens.models import Pen

LEAST_G, MOST_G = 15.0, 12_000.0
"""What a bird can weigh [g]: half a small chick to well above any rooster. A choice."""
NUMERIC = {"inputmode": "numeric"}


class RecordForm(GardenForm, forms.ModelForm):
    """A line about a batch on a day; the pen is asked only where the batch has several."""

    needs_birds = True
    """Whether the day must not come before hatching."""

    on = DayField(label=gettext_lazy("Day"))
    pen = forms.ModelChoiceField(
        Pen.objects.none(),
        label=gettext_lazy("Pen"),
        required=False,
        empty_label=gettext_lazy("All of the batch"),
    )

    def __init__(self, *args: Any, batch: Batch, **kwargs: Any) -> None:
        super().__init__(*args, garden=batch.garden, **kwargs)
        self.batch = self.instance.batch = batch
        self.fields["on"].initial = batch.garden.today()
        self.fields["on"].widget.attrs["max"] = batch.garden.today().isoformat()
        self._offer_pens()

    def _offer_pens(self) -> None:
        shares = self.batch.shares.all()
        if "pen" in self.fields and len(shares) < 2:
            del self.fields["pen"]
        elif "pen" in self.fields:
            self.fields["pen"].queryset = Pen.objects.filter(shares__in=shares)

    def clean_on(self) -> date:
        """Refuse days that have not come, and days before the birds were there."""
        on = self.cleaned_data["on"]
        if on > self.garden.today():
            raise ValidationError(_("This day has not come yet."))
        if self.needs_birds and on < self.batch.hatch_on:
            raise ValidationError(
                _("These birds hatch on {day}.").format(day=day_words(self.batch.hatch_on))
            )
        return on


class WeighingForm(RecordForm):
    """Single weights, or how many were weighed and their mean."""

    weights = forms.CharField(
        label=gettext_lazy("Each bird’s weight"),
        required=False,
        help_text=gettext_lazy("One after the other with spaces between, such as 1340 1290 1405."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    count = forms.IntegerField(
        label=gettext_lazy("Or: birds weighed together"),
        required=False,
        min_value=1,
        widget=forms.NumberInput(attrs=NUMERIC),
    )
    mean_g = QuantityField(BIRD_MASS, label=gettext_lazy("Their mean weight"), required=False)
    together_g = QuantityField(
        BIRD_MASS,
        label=gettext_lazy("Or: all on the scale at once"),
        required=False,
        help_text=gettext_lazy("With the crate they sit in."),
    )
    crate_g = QuantityField(
        BIRD_MASS, label=gettext_lazy("The empty crate"), required=False, least=0
    )

    class Meta:
        model = Weighing
        fields = ["on", "pen", "sex", "count", "mean_g"]

    field_order = ["on", "pen", "sex", "weights", "count", "mean_g", "together_g", "crate_g"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if names_a_sex(self.batch.strain):
            del self.fields["sex"]
        system = self.garden.unit_system
        unit = BIRD_MASS.unit(system)
        self.fields["weights"].label += f" ({unit})"
        if system == "us":
            self.fields["weights"].help_text = _("Such as 3 lb 2 oz, 2 lb 15 oz or 3.1 2.9 3.4.")
        if self.instance.weights_g:
            self.initial["weights"] = weights_entry(self.instance.weights_g, system)
            self.initial["count"] = self.initial["mean_g"] = None

    def clean_weights(self) -> list[float]:
        """Read the list and refuse what no bird weighs."""
        try:
            weights = weights_read(self.cleaned_data["weights"], self.garden.unit_system)
        except ValueError as error:
            raise ValidationError(str(error)) from None
        for weight in weights:
            self._check_weight(weight)
        return weights

    def clean_mean_g(self) -> float | None:
        """Refuse what no flock weighs."""
        mean_g = self.cleaned_data["mean_g"]
        if mean_g is not None:
            self._check_weight(mean_g)
        return mean_g

    def _check_weight(self, weight_g: float) -> None:
        told = BIRD_MASS.show(weight_g, self.garden.unit_system)
        if weight_g < LEAST_G:
            chick = BIRD_MASS.show(40, self.garden.unit_system)
            raise ValidationError(
                _("{told} is too light: a chick that hatches weighs about {chick}.").format(
                    told=told, chick=chick
                )
            )
        if weight_g > MOST_G:
            most = BIRD_MASS.show(MOST_G, self.garden.unit_system)
            raise ValidationError(
                _("{told} is too heavy: no meat chicken passes {most}.").format(
                    told=told, most=most
                )
            )

    def clean(self) -> dict[str, Any]:
        """Take the count and mean from the single weights, or the mean from the crate, where given."""
        values = super().clean()
        if self.errors:
            return values
        self._take_from_crate(values)
        if self.errors:
            return values
        weights, together = values["weights"], (values["count"], values["mean_g"])
        if weights and any(together):
            self.add_error(
                "weights", _("Give each bird’s weight, or the count and mean, not both.")
            )
        elif weights:
            values |= {"count": len(weights), "mean_g": sum(weights) / len(weights)}
        elif together == (None, None):
            self.add_error("weights", _("Give the weight of at least one bird."))
        elif None in together:
            missing = "count" if values["count"] is None else "mean_g"
            self.add_error(missing, _("Give both: how many birds, and their mean weight."))
        self.instance.weights_g = weights
        return values

    def _take_from_crate(self, values: dict[str, Any]) -> None:
        """Turn birds in a crate into their mean."""
        together_g, crate_g = values["together_g"], values["crate_g"] or 0.0
        if together_g is None:
            if values["crate_g"]:
                self.add_error("together_g", _("Give what crate and birds weigh together."))
            return
        if values["mean_g"] is not None:
            self.add_error("together_g", _("Give the mean, or all at once, not both."))
        elif values["count"] is None:
            self.add_error("count", _("Say how many birds are in the crate."))
        elif together_g <= crate_g:
            self.add_error("crate_g", _("The empty crate must be lighter than crate and birds."))
        else:
            mean_g = (together_g - crate_g) / values["count"]
            try:
                self._check_weight(mean_g)
            except ValidationError as error:
                self.add_error("together_g", error)
            values["mean_g"] = mean_g


class FeedForm(RecordForm):
    """Feed put into the feeders."""

    mass_kg = quantity(FeedRecord._meta.get_field("mass_kg"), FEED_MASS)

    class Meta:
        model = FeedRecord
        fields = ["on", "pen", "mass_kg", "product"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        bag = FEED_MASS.show(self.garden.feed_bag_kg, self.garden.unit_system)
        self.fields["mass_kg"].help_text = _("A full bag here holds {bag}.").format(bag=bag)
        feeds = self.garden.feeds.in_use() | self.garden.feeds.filter(pk=self.instance.product_id)
        self.fields["product"].queryset = feeds
        self.fields["product"].empty_label = _("Whichever is for their age")
        if not feeds.exists():
            del self.fields["product"]


class WaterForm(RecordForm):
    """Water put into the drinkers."""

    litres = quantity(WaterRecord._meta.get_field("litres"), VOLUME)

    class Meta:
        model = WaterRecord
        fields = ["on", "pen", "litres"]


class NoteForm(RecordForm):
    """A few words about the batch."""

    needs_birds = False
    pen = None

    class Meta:
        model = Note
        fields = ["on", "text"]
        widgets = {"text": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.garden = self.garden
