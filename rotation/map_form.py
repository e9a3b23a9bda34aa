"""The beds' places on the map, typed or dragged: a row of three figures for each bed."""

from collections.abc import Sequence
from typing import Any

from django import forms

from garden.forms import GardenForm, NumberField, quantity
from garden.models import Bed, Garden
from garden.undo import undoable
from garden.units import DISTANCE
from garden.words import gettext as _
from rotation.bed_map import bed_marks

SIDES = ("x_m", "y_m", "turned_deg")


class MapForm(GardenForm, forms.Form):
    """Every bed's distance from the west and the north edge of the map, and how far it is turned."""

    def __init__(self, *args: Any, garden: Garden, beds: Sequence[Bed], **kwargs: Any) -> None:
        self.beds = beds
        super().__init__(*args, garden=garden, **kwargs)
        for bed in beds:
            for side, words in (("x_m", _("{bed}, east")), ("y_m", _("{bed}, south"))):
                field = quantity(
                    Bed._meta.get_field(side),
                    DISTANCE,
                    label=words.format(bed=bed.name),
                    help_text="",
                )
                field.use_units_of(garden)
                field.initial = getattr(bed, side)
                self.fields[_name(side, bed)] = field
            self.fields[_name("turned_deg", bed)] = NumberField(
                label=_("{bed}, turned (°)").format(bed=bed.name),
                initial=bed.turned_deg,
                validators=Bed._meta.get_field("turned_deg").validators,
                widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            )

    def rows(self) -> list[tuple[str, Bed, list[forms.BoundField]]]:
        """Return each bed with its mark on the map and its three fields."""
        marks = bed_marks([bed.name for bed in self.beds])
        return [
            (mark, bed, [self[_name(side, bed)] for side in SIDES])
            for mark, bed in zip(marks, self.beds, strict=True)
        ]

    def moved(self) -> list[Bed]:
        """Return the beds of a valid form that lie elsewhere than before, with their new places."""
        changed = set(self.changed_data)
        moved = []
        for bed in self.beds:
            sides = [side for side in SIDES if _name(side, bed) in changed]
            for side in sides:
                setattr(bed, side, self.cleaned_data[_name(side, bed)])
            if sides:
                moved.append(bed)
        return moved


def _name(side: str, bed: Bed) -> str:
    return f"{side}_{bed.pk}"


def beds_place(*, garden: Garden, user: Any, beds: Sequence[Bed]) -> None:
    """Save the places of beds that were moved on the map, as one step."""
    said = (
        _("{bed} moved on the map").format(bed=beds[0])
        if len(beds) == 1
        else _("{n} beds moved on the map").format(n=len(beds))
    )
    with undoable(garden, user, said) as step:
        step.changing(*beds)
        for bed in beds:
            bed.save(update_fields=SIDES)
