"""The form about a pen."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy

from garden.forms import GardenForm, quantity
from garden.names import NameOnce
from garden.units import AREA, FEED_MASS, PEN_LENGTH
from garden.words import gettext as _
from pens.fit import floor_area_m2
from pens.models import Pen


class PenForm(NameOnce, GardenForm, forms.ModelForm):
    """A pen by its outside; a blank floor is worked out."""

    length_mm = quantity(
        Pen._meta.get_field("length_mm"),
        PEN_LENGTH,
        help_text=gettext_lazy("The longer side, over everything."),
    )
    width_mm = quantity(
        Pen._meta.get_field("width_mm"), PEN_LENGTH, help_text=gettext_lazy("The shorter side.")
    )
    floor_m2 = quantity(
        Pen._meta.get_field("floor_m2"),
        AREA,
        required=False,
        help_text=gettext_lazy(
            "Blank takes the outside less 38 mm (1 1/2 in) of framing on each side."
        ),
    )
    mass_kg = quantity(
        Pen._meta.get_field("mass_kg"),
        FEED_MASS,
        help_text=gettext_lazy("If you know it: whoever carries the pen is told."),
    )

    class Meta:
        model = Pen
        fields = ("name", "length_mm", "width_mm", "floor_m2", "mass_kg")
        labels: ClassVar = {"name": gettext_lazy("Name")}

    def clean(self) -> dict[str, Any]:
        """Work out a blank floor; refuse one larger than the pen."""
        cleaned = super().clean()
        length_mm, width_mm = cleaned.get("length_mm"), cleaned.get("width_mm")
        if length_mm is None or width_mm is None:
            return cleaned
        if width_mm > length_mm:
            self.add_error("length_mm", _("Give the longer side as the length."))
        if "floor_m2" not in self.errors and cleaned.get("floor_m2") is None:
            cleaned["floor_m2"] = floor_area_m2(length_mm, width_mm)
        elif cleaned.get("floor_m2", 0) > length_mm * width_mm / 1e6:
            self.add_error("floor_m2", _("The floor cannot be larger than the pen."))
        return cleaned
