"""What the page of readiness is asked: a target, prices, and birds to take early."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from flocks.feed_forms import MoneyField
from flocks.growth import LAST_DAY
from flocks.headcount import birds_alive
from flocks.models import Batch
from flocks.ready import Target
from garden.forms import DayField, GardenForm, QuantityField
from garden.units import BIRD_MASS
from garden.words import gettext as _

LEAST_G, MOST_G = 200.0, 8000.0
"""Masses that can be wanted of a bird [g]: from a small game hen's carcass up. A choice."""
USUAL_SHARE = 80
"""Birds in a hundred that are to be over the mass, unless said otherwise [%]. A choice."""


class ReadyForm(GardenForm, forms.Form):
    """A target and what is known of prices; asked by GET, so that an answer has an address."""

    wanted = forms.ChoiceField(
        label=gettext_lazy("Ready when"),
        choices=[
            ("mean", gettext_lazy("the flock’s average has this weight alive")),
            ("share", gettext_lazy("so many birds have this weight alive")),
            ("carcass", gettext_lazy("the average carcass has this weight")),
        ],
        widget=forms.RadioSelect,
    )
    mass_g = QuantityField(BIRD_MASS, label=gettext_lazy("Weight"), least=LEAST_G, most=MOST_G)
    share = forms.IntegerField(
        label=gettext_lazy("Birds in a hundred"),
        min_value=1,
        max_value=99,
        required=False,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        help_text=gettext_lazy("For the second choice only."),
    )
    feed_price = MoneyField(
        label=gettext_lazy("Price of feed"),
        required=False,
        help_text=gettext_lazy("For one kilogram. From your feed list where it has one."),
    )
    meat_price = MoneyField(
        label=gettext_lazy("Worth of meat"),
        required=False,
        help_text=gettext_lazy(
            "For one kilogram dressed. Left blank, days are not held against their worth."
        ),
    )
    take = forms.IntegerField(
        label=gettext_lazy("Process the heaviest early: how many"),
        min_value=0,
        required=False,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    take_on = DayField(label=gettext_lazy("On the day"), required=False)

    def __init__(self, *args: Any, batch: Batch, on: date, **kwargs: Any) -> None:
        super().__init__(*args, garden=batch.garden, **kwargs)
        self.batch, self.on = batch, on
        if batch.garden.unit_system == "us":
            self.fields["feed_price"].help_text = _(
                "For one pound. From your feed list where it has one."
            )
            self.fields["meat_price"].help_text = _(
                "For one pound dressed. Left blank, days are not held against their worth."
            )

    def clean_take(self) -> int:
        """Refuse more birds than there are."""
        take, alive = self.cleaned_data["take"] or 0, birds_alive(self.batch, self.on)
        if take > alive:
            raise ValidationError(_("There are {alive} birds.").format(alive=alive))
        return take

    def clean_take_on(self) -> date:
        """Take today where nothing was typed; refuse days that are not to come."""
        day = self.cleaned_data["take_on"] or max(self.on, self.batch.hatch_on)
        last = self.batch.hatch_on + timedelta(days=LAST_DAY)
        if not max(self.on, self.batch.hatch_on) <= day <= last:
            raise ValidationError(_("Give a day from today on, before the birds are 150 days old."))
        return day

    def target(self) -> Target:
        """Return what is wanted, from valid data."""
        values = self.cleaned_data
        share = (values["share"] or USUAL_SHARE) / 100 if values["wanted"] == "share" else None
        return Target(values["mass_g"], share_of_birds=share, carcass=values["wanted"] == "carcass")
