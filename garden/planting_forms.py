"""Forms about crops and where they stand."""

from datetime import timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from garden.crop_figures import figures_of
from garden.crop_units import CONTENT, CROP_YIELD, LOAD, SPACING
from garden.forms import DayField, GardenForm, QuantityField, quantity
from garden.models import Bed, Crop, Garden, Planting
from garden.names import NameOnce
from garden.npk import Element
from garden.units import Measure
from garden.words import gettext as _

YEARS_BACK, YEARS_AHEAD = 30, 10
"""How far from today a crop's days may lie: asparagus is old, and no plan looks further. Our choice."""

OWN_FIGURE = "this garden's own figure"


FROM_TABLE = (
    *("phosphorus_kg_ha", "potassium_kg_ha", "nitrogen_g_kg", "phosphorus_g_kg", "potassium_g_kg"),
    *("yield_kg_m2", "fixed_kg_ha", "spacing_mm"),
)
"""Figures that a blank takes from the reference table."""


def _figure(name: str, label: str, measure: Measure, help_text: str = "") -> QuantityField:
    return quantity(Crop._meta.get_field(name), measure, label=label, help_text=help_text)


class CropForm(NameOnce, GardenForm, forms.ModelForm):
    """A crop as this garden grows it."""

    nitrogen_kg_ha = _figure(
        "nitrogen_kg_ha",
        gettext_lazy("Nitrogen it needs"),
        LOAD,
        gettext_lazy(
            "100 kg/ha is 10 g on each square metre, or 2 lb on 1,000 sq ft. "
            "0 for one that needs none, as beans do: what birds leave is then of no use to it."
        ),
    )
    phosphorus_kg_ha = _figure("phosphorus_kg_ha", gettext_lazy("Phosphorus it needs"), LOAD)
    potassium_kg_ha = _figure("potassium_kg_ha", gettext_lazy("Potassium it needs"), LOAD)
    nitrogen_g_kg = _figure("nitrogen_g_kg", gettext_lazy("Nitrogen in what is picked"), CONTENT)
    phosphorus_g_kg = _figure(
        "phosphorus_g_kg", gettext_lazy("Phosphorus in what is picked"), CONTENT
    )
    potassium_g_kg = _figure("potassium_g_kg", gettext_lazy("Potassium in what is picked"), CONTENT)
    yield_kg_m2 = _figure("yield_kg_m2", gettext_lazy("Usual harvest"), CROP_YIELD)
    fixed_kg_ha = _figure("fixed_kg_ha", gettext_lazy("Nitrogen a legume leaves in the bed"), LOAD)
    spacing_mm = _figure("spacing_mm", gettext_lazy("From plant to plant"), SPACING)

    class Meta:
        model = Crop
        fields = (
            *("name", "family", "nitrogen_kg_ha", "contact", "days_to_harvest", "harvest_days"),
            *FROM_TABLE,
        )
        labels = {
            "name": gettext_lazy("Name"),
            "family": gettext_lazy("Family"),
            "contact": gettext_lazy("The part you eat"),
            "days_to_harvest": gettext_lazy("Days to the first harvest, at the earliest"),
            "harvest_days": gettext_lazy("Days that picking goes on"),
        }
        help_texts = {
            "contact": gettext_lazy(
                "Says how long birds must be gone before you pick. In doubt, it touches. "
                "What is cooked waits like what touches: the rule makes no exception."
            ),
            "days_to_harvest": gettext_lazy(
                "From sowing, or from planting out where you plant young plants."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        figures = figures_of(self.instance)
        content = {f"{name}_g_kg": figures.content.of(name) for name in Element}
        for name in FROM_TABLE:
            field = self.fields[name]
            known = content[name] if name in content else getattr(figures, name)
            if known:
                shown = field.measure.show(known, field.system)
                field.help_text = _("Blank reckons with {amount}.").format(amount=shown)

    def save(self, commit: bool = True) -> Crop:
        """Save; a crop whose nitrogen was changed has the garden itself for that figure's source."""
        if "nitrogen_kg_ha" in self.changed_data:
            self.instance.source = OWN_FIGURE
        return super().save(commit)


class PlantingForm(GardenForm, forms.ModelForm):
    """A crop in a bed; blank days are worked out from the crop."""

    starts_on = DayField(label=gettext_lazy("Sown or planted"))
    first_harvest_on = DayField(
        label=gettext_lazy("First harvest"),
        required=False,
        help_text=gettext_lazy("Blank takes the crop's days to harvest."),
    )
    ends_on = DayField(
        label=gettext_lazy("Bed is clear again"),
        required=False,
        help_text=gettext_lazy("The day it is empty. Blank takes the crop's days of picking."),
    )

    class Meta:
        model = Planting
        fields = ("crop", "starts_on", "first_harvest_on", "ends_on")
        labels = {"crop": gettext_lazy("Crop")}

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        super().__init__(*args, garden=garden, **kwargs)
        self.fields["crop"].queryset = garden.crops.all()

    def clean(self) -> dict[str, Any]:
        """Work out the days left blank, then see that they come in order."""
        cleaned = super().clean()
        self._check_years(cleaned)
        crop, starts_on = cleaned.get("crop"), cleaned.get("starts_on")
        if crop is None or starts_on is None:
            return cleaned
        if "first_harvest_on" not in self.errors and cleaned.get("first_harvest_on") is None:
            cleaned["first_harvest_on"] = starts_on + timedelta(days=crop.days_to_harvest)
        first_harvest_on = cleaned.get("first_harvest_on")
        if first_harvest_on and "ends_on" not in self.errors and cleaned.get("ends_on") is None:
            cleaned["ends_on"] = first_harvest_on + timedelta(days=crop.harvest_days)
        self._check_order(cleaned)
        return cleaned

    def _check_years(self, cleaned: dict[str, Any]) -> None:
        today = self.garden.today()
        earliest = today - timedelta(days=365 * YEARS_BACK)
        latest = today + timedelta(days=365 * YEARS_AHEAD)
        for name in ("starts_on", "first_harvest_on", "ends_on"):
            if cleaned.get(name) and not earliest <= cleaned[name] <= latest:
                self.add_error(
                    name,
                    _("Give a day between {earliest} and {latest}.").format(
                        earliest=earliest.year, latest=latest.year
                    ),
                )

    def _check_order(self, cleaned: dict[str, Any]) -> None:
        starts_on, ends_on = cleaned["starts_on"], cleaned.get("ends_on")
        first_harvest_on = cleaned.get("first_harvest_on")
        if first_harvest_on and first_harvest_on < starts_on:
            self.add_error(
                "first_harvest_on", _("The first harvest cannot come before the planting.")
            )
        elif first_harvest_on and ends_on and ends_on <= first_harvest_on:
            self.add_error("ends_on", _("The bed is clear again only after the first harvest."))


class PlantedNowForm(PlantingForm):
    """A planting with its bed, for the guide: what stands where already."""

    bed = forms.ModelChoiceField(queryset=Bed.objects.none(), label=gettext_lazy("Bed"))

    class Meta(PlantingForm.Meta):
        fields = ("bed", *PlantingForm.Meta.fields)

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        super().__init__(*args, garden=garden, **kwargs)
        self.fields["bed"].queryset = garden.beds.in_use().with_crops()
