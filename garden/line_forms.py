"""Forms about what a bed got and gave: soil tests, compost and fertiliser, weighed harvests."""

import re
from datetime import date
from typing import Any

from django import forms
from django.db import models
from django.utils.translation import gettext_lazy

from garden.day_words import date_year_words, day_year_words
from garden.forms import DayField, GardenForm, NumberField, quantity
from garden.harvest_wait import safe_day
from garden.models import Bed, EarlyHarvest, HarvestWeight, Planting, SoilTest, Spread
from garden.models.soil import MOST_MG_KG
from garden.npk import PHOSPHORUS_PER_PHOSPHATE, POTASSIUM_PER_POTASH, label_npk
from garden.soil_tests import from_report, to_report
from garden.units import BED_LENGTH, FEED_MASS
from garden.words import decimal_mark
from garden.words import gettext as _

NOT_YET = gettext_lazy("That day has not come yet.")
OXIDE_SHARES = {
    "phosphorus": PHOSPHORUS_PER_PHOSPHATE.value,
    "potassium": POTASSIUM_PER_POTASH.value,
}
USUAL_LABEL = {"compost": (1.0, 0.5, 1.0), "manure": (1.65, 1.4, 0.85)}
"""N, P2O5 and K2O where they are left blank [%]. Compost: recalled, middle of garden composts. Manure: fresh
broiler manure, nitrogen 1.3 to 2.0 % as in the table of compost materials, the rest recalled."""
SOIL_UNITS = {
    "ppm": "ppm",
    "mg/kg": "mg_kg",
    "lb/acre": "lb_acre",
    "lb/a": "lb_acre",
    "kg/ha": "kg_ha",
}
_SOIL_FIGURE = re.compile(r"(?P<number>-?\d{1,7}(?:[.,]\d{1,4})?)\s*(?P<unit>[a-z/ ]*)")


class LineForm(GardenForm):
    """What all lines of a bed share; keyword argument `garden` as ever, the bed is the instance's."""

    @property
    def bed(self) -> Bed:
        """The bed it is about."""
        return self.instance.bed

    def clean_on(self) -> date:
        """Refuse a day to come."""
        if self.cleaned_data["on"] > self.garden.today():
            raise forms.ValidationError(NOT_YET)
        return self.cleaned_data["on"]

    def save_beside(self) -> list[models.Model]:
        """Save what else the saved line means, and return it."""
        return []


class SoilFigureField(forms.CharField):
    """A figure of a report, with its unit where somebody typed one: ``60`` or ``60 lb/acre``."""

    def to_python(self, value: Any) -> tuple[float, str | None] | None:
        """Read typed text into a number and the key of its unit."""
        text = super().to_python(value).strip().lower().replace("−", "-")
        if not text:
            return None
        found = _SOIL_FIGURE.fullmatch(text)
        unit = found and found["unit"].strip()
        if found is None or (unit and unit not in SOIL_UNITS):
            raise forms.ValidationError(
                _("Give a number, for example 35, 35 ppm, 35 mg/kg, 70 lb/acre or 78 kg/ha.")
            )
        number = float(found["number"].replace(",", "."))
        if number < 0:
            raise forms.ValidationError(
                _("A soil test finds something or nothing, never less than 0.")
            )
        return number, SOIL_UNITS[unit] if unit else None


class SoilTestForm(LineForm, forms.ModelForm):
    """A laboratory's findings in the unit of its report."""

    on = DayField(label=gettext_lazy("Day the sample was taken"))
    depth_mm = quantity(
        SoilTest._meta.get_field("depth_mm"),
        BED_LENGTH,
        help_text=gettext_lazy("15 cm, or 6 in, is usual."),
    )
    phosphorus = SoilFigureField(
        label=gettext_lazy("Phosphorus (P)"),
        required=False,
        help_text=gettext_lazy("As P. A report of P₂O₅ times 0.436 is P."),
    )
    potassium = SoilFigureField(label=gettext_lazy("Potassium (K)"), required=False)
    nitrogen = SoilFigureField(label=gettext_lazy("Nitrate nitrogen (NO₃-N)"), required=False)

    class Meta:
        model = SoilTest
        fields = ("on", "depth_mm", "unit", "phosphorus_by")
        help_texts = {
            "unit": gettext_lazy(
                "What a plain number below means. ppm and mg/kg are the same; lb/acre is two to the ppm."
            ),
            "phosphorus_by": gettext_lazy(
                "The report names it. It says from which figure on a soil counts as high."
            ),
        }

    field_order = ("on", "depth_mm", "unit", "phosphorus", "phosphorus_by", "potassium", "nitrogen")
    ELEMENTS = ("phosphorus", "potassium", "nitrogen")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.ELEMENTS:
            found = getattr(self.instance, f"{name}_mg_kg")
            if found is not None:
                self.initial[name] = f"{to_report(found, self.instance.unit):.6g}"

    def clean(self) -> dict[str, Any]:
        """Turn each finding into mg/kg."""
        cleaned = super().clean()
        for name in self.ELEMENTS:
            if name not in self.errors:
                self._convert(name, cleaned.get(name), cleaned.get("unit") or SoilTest.Unit.PPM)
        if not self.errors and not any(cleaned.get(name) for name in self.ELEMENTS):
            self.add_error("phosphorus", _("Give at least one of the three figures."))
        return cleaned

    def _convert(self, name: str, figure: tuple[float, str | None] | None, unit: str) -> None:
        mg_kg = None if figure is None else from_report(figure[0], figure[1] or unit)
        if mg_kg is not None and mg_kg > MOST_MG_KG:
            told = _("That is {amount} mg/kg, more than any soil holds. Is the unit right?").format(
                amount=f"{mg_kg:,.0f}" if decimal_mark() == "." else f"{mg_kg:.0f}"
            )
            self.add_error(name, told)
        setattr(self.instance, f"{name}_mg_kg", mg_kg)


class SpreadForm(LineForm, forms.ModelForm):
    """Compost, manure or fertiliser put on a bed, by weight and the three figures of its bag."""

    on = DayField(label=gettext_lazy("Day"))
    mass_kg = quantity(Spread._meta.get_field("mass_kg"), FEED_MASS, label=gettext_lazy("Weight"))
    nitrogen = NumberField(
        label=gettext_lazy("Nitrogen, N (%)"), required=False, min_value=0, max_value=100
    )
    phosphate = NumberField(
        label=gettext_lazy("Phosphate, P₂O₅ (%)"), required=False, min_value=0, max_value=100
    )
    potash = NumberField(
        label=gettext_lazy("Potash, K₂O (%)"),
        required=False,
        min_value=0,
        max_value=100,
        help_text=gettext_lazy(
            "The numbers on a bag, such as 5-3-2. Blank takes usual figures for compost and manure."
        ),
    )

    class Meta:
        model = Spread
        fields = ("on", "kind", "what", "mass_kg")
        labels = {"what": gettext_lazy("What it is called")}
        help_texts = {
            "kind": gettext_lazy(
                "Manure that was not composted starts the wait before a harvest anew."
            )
        }

    LABEL = ("nitrogen", "phosphate", "potash")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        row = self.instance
        if row.pk:
            grams = row.nitrogen_g, row.phosphorus_g, row.potassium_g
            for name, gram, share in zip(
                self.LABEL, grams, (1, *OXIDE_SHARES.values()), strict=True
            ):
                self.initial[name] = round(gram / share / row.mass_kg / 10, 3)

    def clean(self) -> dict[str, Any]:
        """Work out the grams; a fertiliser must say what it holds."""
        cleaned = super().clean()
        if self.errors:
            return cleaned
        percents = [cleaned.get(name) for name in self.LABEL]
        usual = USUAL_LABEL.get(cleaned["kind"])
        if percents == [None] * 3 and usual is None:
            self.add_error("nitrogen", _("Give the numbers on the bag, such as 5, 3 and 2."))
            return cleaned
        percents = usual if percents == [None] * 3 else [percent or 0.0 for percent in percents]
        if sum(percents) > 100:
            self.add_error("potash", _("The three cannot come to more than 100 %."))
        grams = label_npk(cleaned["mass_kg"], *percents)
        self.instance.nitrogen_g = grams.nitrogen_g
        self.instance.phosphorus_g = grams.phosphorus_g
        self.instance.potassium_g = grams.potassium_g
        self.instance.is_composted = cleaned["kind"] != Spread.Kind.MANURE
        return cleaned


class PlantingChoice(forms.ModelChoiceField):
    """A planting, told by its crop and the day it was planted."""

    def label_from_instance(self, planting: Planting) -> str:
        """Return the option's text."""
        return _("{crop}, planted {day}").format(
            crop=planting.crop, day=date_year_words(planting.starts_on)
        )


class HarvestForm(LineForm, forms.ModelForm):
    """What was picked from one planting on a day, and what becomes of it where that was too soon."""

    on = DayField(label=gettext_lazy("Day"))
    mass_kg = quantity(
        HarvestWeight._meta.get_field("mass_kg"), FEED_MASS, label=gettext_lazy("Weight picked")
    )
    planting = PlantingChoice(queryset=Planting.objects.none(), label=gettext_lazy("Crop"))

    class Meta:
        model = HarvestWeight
        fields = ("planting", "on", "mass_kg")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        today = self.garden.today()
        begun = models.Q(starts_on__lte=today) | models.Q(pk=self.instance.planting_id)
        plantings = self.bed.plantings.filter(begun).select_related("crop").order_by("-starts_on")
        self.fields["planting"].queryset = plantings
        standing = [planting for planting in plantings if planting.ends_on > today]
        if self.instance.pk is None and len(standing) == 1:
            self.initial["planting"] = standing[0]
        self.safe_from: date | None = None
        if "why" in self.data:
            self._add_question()

    def _add_question(self) -> None:
        """Ask what becomes of it: only where the day is known to be too early."""
        self.fields["why"] = forms.ChoiceField(
            label=_("What becomes of it?"),
            choices=EarlyHarvest.Why.choices,
            widget=forms.RadioSelect,
            required=False,
        )

    def clean(self) -> dict[str, Any]:
        """Refuse a harvest before its planting; ask what becomes of one before the wait is over."""
        cleaned = super().clean()
        planting, on = cleaned.get("planting"), cleaned.get("on")
        if planting is None:
            return cleaned
        self.instance.crop = planting.crop
        if on and on < planting.starts_on:
            told = _("{crop} was planted on {day}: give that day or a later one.")
            planted_on = date_year_words(planting.starts_on)
            self.add_error("on", told.format(crop=planting.crop, day=planted_on))
        elif on:
            self._ask_why(planting, on, cleaned.get("why"))
        return cleaned

    def _ask_why(self, planting: Planting, on: date, why: str | None) -> None:
        safe_from = safe_day(self.garden, planting)
        if safe_from is None or on >= safe_from or planting.early_harvests.filter(on=on).exists():
            return
        self.safe_from = safe_from
        if not why:
            self._add_question()
            told = _("{crop} is not safe to eat raw before {day}. Say what becomes of it.")
            self.add_error("why", told.format(crop=planting.crop, day=day_year_words(safe_from)))

    def save_beside(self) -> list[models.Model]:
        """Save the early harvest, with its reason."""
        if self.safe_from is None:
            return []
        early = EarlyHarvest.objects.create(
            planting=self.cleaned_data["planting"],
            on=self.cleaned_data["on"],
            why=self.cleaned_data["why"],
            safe_from=self.safe_from,
            logged_by=self.instance.logged_by,
        )
        return [early]
