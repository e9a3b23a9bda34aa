"""Forms about a compost heap: what it is, what goes on it, its log, and what a bed gets of it."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from garden.compost import materials
from garden.day_words import date_year_words
from garden.forms import DayField, GardenForm, NumberField, quantity
from garden.line_forms import NOT_YET
from garden.models import Bed, Heap, HeapInput, HeapReading, Spread
from garden.names import NameOnce
from garden.npk import Npk
from garden.units import FEED_MASS, TEMPERATURE
from garden.words import gettext as _

RECKONED = {"droppings", "bedding"}
"""Materials that nobody weighs: what birds dropped, put on by forms of their own."""


class HeapForm(NameOnce, GardenForm, forms.ModelForm):
    """A heap's name and how it is made."""

    started_on = DayField(label=gettext_lazy("Begun"))
    closed_on = DayField(
        label=gettext_lazy("Nothing added after"),
        required=False,
        help_text=gettext_lazy("Blank while it is still being filled."),
    )

    class Meta:
        model = Heap
        fields = ("name", "kind", "started_on", "closed_on")
        labels = {"name": gettext_lazy("Name")}
        help_texts = {
            "kind": gettext_lazy(
                "Says how long it must stay hot: 3 days in a bin, 15 in an open heap."
            )
        }

    def clean(self) -> dict[str, Any]:
        """See that it ends after it began."""
        cleaned = super().clean()
        started_on, closed_on = cleaned.get("started_on"), cleaned.get("closed_on")
        if started_on and closed_on and closed_on < started_on:
            self.add_error("closed_on", _("It cannot be closed before it was begun."))
        return cleaned


class HeapLineForm(GardenForm):
    """What every line about a heap shares."""

    def clean_on(self) -> date:
        """Refuse a day to come, or one before the heap."""
        on, heap = self.cleaned_data["on"], self.heap
        if on > self.garden.today():
            raise forms.ValidationError(NOT_YET)
        if on < heap.started_on:
            raise forms.ValidationError(
                _("{heap} was begun on {day}.").format(
                    heap=heap, day=date_year_words(heap.started_on)
                )
            )
        return on

    @property
    def heap(self) -> Heap:
        """The heap it is about."""
        return self.instance.heap


class HeapInputForm(HeapLineForm, forms.ModelForm):
    """Something weighed, or guessed, and put on a heap."""

    on = DayField(label=gettext_lazy("Day"))
    material = forms.ChoiceField(label=gettext_lazy("What"))
    mass_kg = quantity(
        HeapInput._meta.get_field("mass_kg"),
        FEED_MASS,
        label=gettext_lazy("Weight"),
        help_text=gettext_lazy("A guess will do."),
    )

    class Meta:
        model = HeapInput
        fields = ("on", "material", "mass_kg")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["material"].choices = [
            (key, _(material.name)) for key, material in materials().items() if key not in RECKONED
        ]

    def clean_on(self) -> date:
        """Refuse a day after the heap was closed too."""
        on, heap = super().clean_on(), self.heap
        if heap.closed_on and on > heap.closed_on:
            raise forms.ValidationError(
                _("{heap} was closed on {day}.").format(
                    heap=heap, day=date_year_words(heap.closed_on)
                )
            )
        return on

    def clean(self) -> dict[str, Any]:
        """Work out what it holds."""
        cleaned = super().clean()
        mass_kg, key = cleaned.get("mass_kg"), cleaned.get("material")
        if mass_kg is not None and key:
            if mass_kg <= 0:
                self.add_error("mass_kg", _("Give a weight above 0."))
            put_on(self.instance, key, mass_kg)
        return cleaned


def put_on(row: HeapInput, key: str, mass_kg: float) -> None:
    """Give a line what a mass of a material of the table holds."""
    material = materials()[key]
    grams = material.nutrients * mass_kg
    row.carbon_g = (material.carbon or 0.0) * mass_kg * 1000
    row.nitrogen_g, row.phosphorus_g, row.potassium_g = (
        grams.nitrogen_g,
        grams.phosphorus_g,
        grams.potassium_g,
    )


class HeapReadingForm(HeapLineForm, forms.ModelForm):
    """How hot it was, and whether it was turned."""

    on = DayField(label=gettext_lazy("Day"))
    temperature_c = quantity(
        HeapReading._meta.get_field("temperature_c"),
        TEMPERATURE,
        label=gettext_lazy("Temperature in the middle"),
        help_text=gettext_lazy(
            "With a long thermometer, in the middle. Blank where you only turned it."
        ),
    )

    class Meta:
        model = HeapReading
        fields = ("on", "temperature_c", "turned")

    def clean(self) -> dict[str, Any]:
        """Ask for one of the two, and for each day once."""
        cleaned = super().clean()
        read = cleaned.get("temperature_c")
        if read is None and not cleaned.get("turned") and "temperature_c" not in self.errors:
            self.add_error("temperature_c", _("Give a temperature, or tick that it was turned."))
        same_day = HeapReading.objects.filter(heap=self.heap, on=cleaned.get("on"))
        if same_day.exclude(pk=self.instance.pk).exists():
            self.add_error("on", _("That day is in the log already: change it there."))
        return cleaned


class HeapSpreadForm(HeapLineForm, forms.ModelForm):
    """A share of what is left of a heap, for one bed."""

    on = DayField(label=gettext_lazy("Day"))
    bed = forms.ModelChoiceField(queryset=Bed.objects.none(), label=gettext_lazy("Bed"))
    heap_percent = NumberField(
        label=gettext_lazy("How much of what is left (%)"), min_value=1, max_value=100
    )
    mass_kg = quantity(
        Spread._meta.get_field("mass_kg"),
        FEED_MASS,
        label=gettext_lazy("Weight"),
        help_text=gettext_lazy("A guess will do."),
    )

    class Meta:
        model = Spread
        fields = ("on", "bed", "heap_percent", "mass_kg")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bed"].queryset = self.garden.beds.in_use()

    def carry(self, grams: Npk, *, is_composted: bool) -> None:
        """Give the line what the heap's account says it carries."""
        row = self.instance
        row.kind = Spread.Kind.COMPOST if is_composted else Spread.Kind.MANURE
        row.what, row.is_composted = row.heap.name, is_composted
        row.nitrogen_g, row.phosphorus_g, row.potassium_g = (
            grams.nitrogen_g,
            grams.phosphorus_g,
            grams.potassium_g,
        )
