"""Forms about beds: one bed, or several alike at once."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from garden.forms import GardenForm, NumberField, quantity
from garden.models import Bed
from garden.names import NameOnce
from garden.units import BED_LENGTH, DISTANCE
from garden.words import gettext as _

MOST_ALIKE = 50
"""Beds that one form may add. Our choice: a slip of the finger stays easy to undo."""


class BedForm(NameOnce, GardenForm, forms.ModelForm):
    """A bed by its inside, because that is where the pen stands."""

    length_mm = quantity(
        Bed._meta.get_field("length_mm"),
        BED_LENGTH,
        help_text=gettext_lazy("The longer side, from wall to wall, without the walls."),
    )
    width_mm = quantity(
        Bed._meta.get_field("width_mm"),
        BED_LENGTH,
        help_text=gettext_lazy("The shorter side, inside."),
    )
    height_mm = quantity(
        Bed._meta.get_field("height_mm"),
        BED_LENGTH,
        required=False,
        help_text=gettext_lazy("Top of the wall above the path. Blank for none."),
    )
    x_m = quantity(
        Bed._meta.get_field("x_m"),
        DISTANCE,
        help_text=gettext_lazy("To the bed's north-west corner."),
    )
    y_m = quantity(
        Bed._meta.get_field("y_m"),
        DISTANCE,
        help_text=gettext_lazy("To the bed's north-west corner."),
    )

    class Meta:
        model = Bed
        fields = (
            "name", "kind", "length_mm", "width_mm", "height_mm",
            "lies_across", "x_m", "y_m", "turned_deg",
        )  # fmt: skip
        labels = {
            "name": gettext_lazy("Name"),
            "kind": gettext_lazy("Kind"),
            "lies_across": gettext_lazy("Its length runs east to west, not north to south"),
            "turned_deg": gettext_lazy("Turned clockwise (°)"),
        }
        help_texts = {"turned_deg": gettext_lazy("About its middle, -45 to 45. 0 lies straight.")}
        field_classes = {"turned_deg": NumberField}

    def clean_height_mm(self) -> float:
        """Read a blank as a bed without walls."""
        return self.cleaned_data["height_mm"] or 0.0

    def clean_turned_deg(self) -> float:
        """Read a blank as a bed that lies straight."""
        return self.cleaned_data["turned_deg"] or 0.0

    def clean(self) -> dict[str, Any]:
        """Ask for the sides the other way round where the width is the longer one."""
        cleaned = super().clean()
        length_mm, width_mm = cleaned.get("length_mm"), cleaned.get("width_mm")
        if length_mm and width_mm and width_mm > length_mm:
            self.add_error("length_mm", _("Give the longer side as the length."))
        return cleaned


class NewBedsForm(BedForm):
    """One bed, or several alike that are numbered and laid side by side."""

    count = forms.IntegerField(
        label=gettext_lazy("How many alike"),
        min_value=1,
        max_value=MOST_ALIKE,
        initial=1,
        help_text=gettext_lazy("Several are numbered: Bed 1, Bed 2 and so on."),
    )

    field_order = ("name", "count", "kind", "length_mm", "width_mm", "height_mm")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for side in ("x_m", "y_m"):
            self.fields[side].required = False
            self.fields[side].initial = None
            self.initial.pop(side, None)
        self.fields["turned_deg"].required = False
        self.fields["x_m"].help_text = _("Blank puts it beside the newest bed.")

    def clean_name(self) -> str:
        """Check one bed's name; several get numbers that are free."""
        if self._count() > 1:
            return self.cleaned_data["name"]
        return super().clean_name()

    def clean(self) -> dict[str, Any]:
        """Leave room for the number in the name, and take a place whole or not at all."""
        cleaned = super().clean()
        longest = Bed._meta.get_field("name").max_length - len(f" {MOST_ALIKE * 10}")
        if self._count() > 1 and len(cleaned.get("name", "")) > longest:
            self.add_error(
                "name",
                _("Give at most {longest} characters, so that a number fits behind.").format(
                    longest=longest
                ),
            )
        missing = [side for side in ("x_m", "y_m") if cleaned.get(side) is None]
        if len(missing) == 1 and missing[0] not in self.errors:
            self.add_error(missing[0], _("Give both distances, or neither."))
        return cleaned

    def pattern(self) -> Bed:
        """Return the unsaved bed that all are like; None for a place that nobody gave."""
        self.instance.x_m, self.instance.y_m = (
            self.cleaned_data.get("x_m"),
            self.cleaned_data.get("y_m"),
        )
        return self.instance

    def _count(self) -> int:
        # The name is cleaned before the count, so what was typed is all there is to go by.
        typed = str(self.data.get(self.add_prefix("count"), "")).strip()
        return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 4 else 1


class FirstBedsForm(NewBedsForm):
    """New beds without a word about the map: the guide lays them out by itself."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["x_m"], self.fields["y_m"], self.fields["turned_deg"]
