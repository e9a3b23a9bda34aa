"""Lifting bedding and droppings from a bed for compost."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from garden.forms import DayField, NumberField, QuantityField
from garden.heap_forms import HeapLineForm, put_on
from garden.models import Bed, HeapInput
from garden.units import FEED_MASS
from garden.words import gettext as _
from rotation.lifting import Lifted, bed_droppings

USUAL_LIFTED_PERCENT = 50
"""How much of what lies on a bed comes up with the bedding [%], where nobody says. Our choice."""


class LiftForm(HeapLineForm, forms.ModelForm):
    """Which bed, how much of the droppings, and how much straw came with them."""

    bed = forms.ModelChoiceField(queryset=Bed.objects.none(), label=gettext_lazy("From which bed"))
    on = DayField(label=gettext_lazy("Day"))
    percent = NumberField(
        label=gettext_lazy("How much of the droppings came up (%)"),
        min_value=1,
        max_value=100,
        initial=USUAL_LIFTED_PERCENT,
        help_text=gettext_lazy(
            "All of the birds’ droppings since something was last lifted there are 100 %."
        ),
    )
    straw_kg = QuantityField(
        FEED_MASS,
        label=gettext_lazy("Straw that came with them"),
        required=False,
        least=0,
        most=2000,
    )

    class Meta:
        model = HeapInput
        fields = ("bed", "on")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bed"].queryset = self.garden.beds.in_use()

    def clean(self) -> dict[str, Any]:
        """Work out what was lifted; a bed without birds has nothing to lift."""
        cleaned = super().clean()
        bed, on = cleaned.get("bed"), cleaned.get("on")
        if bed and on and "percent" not in self.errors:
            lying = bed_droppings(bed, self.garden, on)
            if lying.pen_days:
                self._lift(lying, cleaned["percent"] / 100, cleaned.get("straw_kg") or 0.0)
            else:
                self.add_error(
                    "bed", _("No birds have stood there since something was last lifted.")
                )
        return cleaned

    def _lift(self, lying: Lifted, share: float, straw_kg: float) -> None:
        """What is lifted has lost to the air by then what the rest of it has."""
        row = self.instance
        put_on(row, "straw", straw_kg)
        kept = self.garden.nitrogen_rules().kept_share
        row.material = "bedding"
        row.mass_kg = lying.mass_kg * share + straw_kg
        row.carbon_g += lying.carbon_g * share
        row.nitrogen_g += lying.nutrients.nitrogen_g * share * kept
        row.phosphorus_g += lying.nutrients.phosphorus_g * share
        row.potassium_g += lying.nutrients.potassium_g * share
