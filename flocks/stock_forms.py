"""Forms of the freezer: packs that go in, packs that come out."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from flocks.book_forms import NUMERIC, BookForm
from flocks.feed_forms import MoneyField
from flocks.models import Pack, PackOut
from flocks.stock import left_of, use_by_days
from garden.forms import DayField, GardenForm, quantity
from garden.units import FEED_MASS
from garden.words import gettext as _

LONGEST_USE_BY_DAYS = 3 * 365
"""How long after packing a use-by day may lie [day]. A choice."""
WEIGHT_SLACK = 0.02
"""How far what comes out may pass what is left [1]: scales differ. A choice."""


class PackForm(BookForm):
    """Packs put into the freezer; nothing of a batch goes in before something of it was processed."""

    on = DayField(label=gettext_lazy("Packed on"))
    mass_kg = quantity(Pack._meta.get_field("mass_kg"), FEED_MASS)
    use_by = DayField(
        label=gettext_lazy("Use by"),
        required=False,
        help_text=gettext_lazy(
            "Left blank: a year for whole birds, 9 months for cuts, 3 for giblets and mince, at −18 °C."
        ),
    )

    class Meta:
        model = Pack
        fields = ["batch", "on", "cut", "count", "mass_kg", "use_by"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["count"].widget.attrs |= NUMERIC

    def clean(self) -> dict[str, Any]:
        """Fill in the use-by day; hold day and packs against the batch and what came out already."""
        values = super().clean()
        batch, on, cut = values.get("batch"), values.get("on"), values.get("cut")
        if batch and on and not batch.processing_set.filter(on__lte=on).exists():
            self.add_error(
                "on", _("Nothing of this batch is logged as processed by then. Log that first.")
            )
        if on and cut and values.get("use_by") is None and "use_by" not in self.errors:
            values["use_by"] = on + timedelta(days=use_by_days(cut))
        self._check_use_by(values)
        if self.instance.pk and not self.errors:
            self._check_outs(values)
        return values

    def _check_use_by(self, values: dict[str, Any]) -> None:
        on, use_by = values.get("on"), values.get("use_by")
        if on and use_by and use_by <= on:
            self.add_error("use_by", _("It comes after the day of packing."))
        elif on and use_by and use_by > on + timedelta(days=LONGEST_USE_BY_DAYS):
            self.add_error("use_by", _("Give a day within three years of packing."))

    def _check_outs(self, values: dict[str, Any]) -> None:
        outs = list(self.instance.outs.all())
        if (gone := sum(row.count for row in outs)) > values["count"]:
            self.add_error(
                "count", _("{gone} of them have been taken out already.").format(gone=gone)
            )
        if any(row.on < values["on"] for row in outs):
            self.add_error("on", _("Some were taken out before that day."))


class PackOutForm(GardenForm, forms.ModelForm):
    """Packs taken out of the freezer; the weight is filled in where it is left blank."""

    on = DayField(label=gettext_lazy("Day"))
    mass_kg = quantity(
        PackOut._meta.get_field("mass_kg"),
        FEED_MASS,
        required=False,
        help_text=gettext_lazy("Left blank: what a pack of these weighs on average."),
    )
    price = MoneyField(
        label=gettext_lazy("Paid for all"),
        required=False,
        max_digits=9,
        help_text=gettext_lazy("Where sold."),
    )

    class Meta:
        model = PackOut
        fields = ["on", "why", "count", "mass_kg", "price", "to_whom"]
        labels = {"to_whom": gettext_lazy("To whom")}

    def __init__(self, *args: Any, pack: Pack, **kwargs: Any) -> None:
        super().__init__(*args, garden=pack.garden, **kwargs)
        self.pack = self.instance.pack = pack
        self.left = left_of(pack)
        self.fields["on"].initial = self.garden.today()
        self.fields["on"].widget.attrs["max"] = self.garden.today().isoformat()
        self.fields["count"].widget.attrs |= NUMERIC

    def clean_on(self) -> date:
        """Refuse days to come and days before it was packed."""
        on = self.cleaned_data["on"]
        if on > self.garden.today():
            raise ValidationError(_("This day has not come yet."))
        if on < self.pack.on:
            raise ValidationError(_("It was packed after that day."))
        return on

    def clean(self) -> dict[str, Any]:
        """Refuse more than is left, and money for what was not sold."""
        values = super().clean()
        count, mass = values.get("count"), values.get("mass_kg")
        if count and count > self.left.count:
            self.add_error("count", _("Only {count} left.").format(count=self.left.count))
        elif count and mass is None and "mass_kg" not in self.errors:
            values["mass_kg"] = self.left.mass_kg * count / self.left.count
        elif mass and mass > self.left.mass_kg + WEIGHT_SLACK * self.pack.mass_kg:
            told = FEED_MASS.show(self.left.mass_kg, self.garden.unit_system)
            self.add_error("mass_kg", _("Only {told} left.").format(told=told))
        if values.get("price") and values.get("why") != PackOut.Why.SOLD:
            self.add_error("price", _("Choose “Sold” where money was paid."))
        return values
