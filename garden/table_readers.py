"""Tables of beds and of plantings, read by the forms that the pages use."""

from datetime import date
from typing import Any

from django.contrib.auth.models import AbstractBaseUser
from django.utils.translation import gettext_lazy

from garden.actions import plot_of
from garden.bed_forms import NewBedsForm
from garden.day_words import day_year_words
from garden.layout import next_plot
from garden.models import Bed, Garden, Planting
from garden.planting_forms import PlantedNowForm
from garden.table_forms import RowReader
from garden.tables import Column
from garden.undo import Recorder
from garden.units import BED_LENGTH
from garden.words import gettext as _

YES, NO = {"yes", "y", "true", "1", "x", "sí", "si"}, {"no", "n", "false", "0", ""}
KINDS = {
    "raised": Bed.Kind.RAISED,
    "raised bed": Bed.Kind.RAISED,
    "bancal elevado": Bed.Kind.RAISED,
    "": Bed.Kind.RAISED,
    "ground": Bed.Kind.GROUND,
    "bed in the ground": Bed.Kind.GROUND,
    "bancal en el suelo": Bed.Kind.GROUND,
    "turf": Bed.Kind.TURF,
    "césped": Bed.Kind.TURF,
    "grass": Bed.Kind.TURF,
    "grass strip, no crop": Bed.Kind.TURF,
}
"""What a table may call the kinds of bed; a blank is a raised one."""
MM, METRES = {"length_mm": "mm", "width_mm": "mm", "height_mm": "mm"}, {"x_m": "m", "y_m": "m"}


class BedReader(RowReader):
    """Beds, each with a name and its inside; without a place on the map they are laid beside the rest."""

    columns = (
        Column("name", ("name", "bed"), required=True),
        Column("kind", ("kind", "type")),
        Column("length_mm", ("length", "inside length", "length_mm"), MM, required=True),
        Column("width_mm", ("width", "inside width", "width_mm"), MM, required=True),
        Column("height_mm", ("height", "height_mm"), MM),
        Column("lies_across", ("lies across", "lies_across")),
        Column("x_m", ("east", "x", "x_m"), METRES),
        Column("y_m", ("south", "y", "y_m"), METRES),
        Column("retired_on", ("given up", "retired_on")),
    )
    headings = (
        gettext_lazy("Name"),
        gettext_lazy("Kind"),
        gettext_lazy("Length"),
        gettext_lazy("Width"),
    )
    noun, plural = gettext_lazy("bed"), gettext_lazy("beds")

    def __init__(self, garden: Garden) -> None:
        super().__init__(garden)
        self._plots = [plot_of(bed) for bed in garden.beds.in_use()]
        self._seen: set[str] = set()

    def form(self, values: dict[str, str]) -> NewBedsForm:
        """Return the form of a new bed."""
        if values.pop("retired_on"):
            raise ValueError(_("This bed was given up."))
        kind = KINDS.get(values["kind"].lower())
        if kind is None:
            raise ValueError(_("Kind: write raised, ground or turf."))
        name = values["name"].lower()
        if name in self._seen:
            raise ValueError(_("A bed of this name stands further up in the table."))
        self._seen.add(name)
        across = "on" if _is_yes(values["lies_across"], _("Lies across")) else ""
        return NewBedsForm(
            values | {"kind": kind, "lies_across": across, "count": "1"}, garden=self.garden
        )

    def key(self, form: NewBedsForm) -> str:
        """Return the name, which a garden has once; the form itself tells of a clash."""
        return form.cleaned_data["name"]

    def keys_there(self) -> set[Any]:
        """Return nothing: the form tells."""
        return set()

    def cells(self, form: NewBedsForm) -> list[str]:
        """Return name, kind and inside."""
        bed, system = form.pattern(), self.garden.unit_system
        sides = (BED_LENGTH.show(side, system) for side in (bed.length_mm, bed.width_mm))
        return [bed.name, bed.get_kind_display(), *sides]

    def save(self, form: NewBedsForm, user: AbstractBaseUser, step: Recorder) -> None:
        """Save a bed, beside the others where the table gives no place."""
        bed = form.pattern()
        bed.garden = self.garden
        if bed.x_m is None or bed.y_m is None:
            sides = (bed.length_mm / 1000, bed.width_mm / 1000)
            east_m, south_m = sides if bed.lies_across else sides[::-1]
            plot = next_plot(self._plots, east_m, south_m)
            bed.x_m, bed.y_m = plot.x_m, plot.y_m
        bed.save()
        self._plots.append(plot_of(bed))
        step.made(bed)


class PlantingReader(RowReader):
    """Plantings, each with its bed and crop by name; blank days are worked out from the crop."""

    columns = (
        Column("bed", ("bed",), required=True),
        Column("crop", ("crop", "plant"), required=True),
        Column("starts_on", ("planted", "sown", "starts_on", "from"), required=True),
        Column("first_harvest_on", ("first harvest", "first_harvest_on", "harvest")),
        Column("ends_on", ("clear again", "ends_on", "until")),
    )
    headings = (
        gettext_lazy("Bed"),
        gettext_lazy("Crop"),
        gettext_lazy("Planted"),
        gettext_lazy("First harvest"),
        gettext_lazy("Clear again"),
    )
    noun, plural = gettext_lazy("planting"), gettext_lazy("plantings")

    def __init__(self, garden: Garden) -> None:
        super().__init__(garden)
        self._beds = {bed.name.lower(): bed.pk for bed in garden.beds.in_use().with_crops()}
        self._crops = {crop.name.lower(): crop.pk for crop in garden.crops.all()}

    def form(self, values: dict[str, str]) -> PlantedNowForm:
        """Return the form of a planting."""
        bed = self._beds.get(values["bed"].lower())
        crop = self._crops.get(values["crop"].lower())
        if bed is None:
            raise ValueError(
                _("There is no bed called “{bed}” that takes crops.").format(bed=values["bed"][:40])
            )
        if crop is None:
            raise ValueError(
                _("There is no crop called “{crop}” in this garden.").format(
                    crop=values["crop"][:60]
                )
            )
        return PlantedNowForm(values | {"bed": str(bed), "crop": str(crop)}, garden=self.garden)

    def key(self, form: PlantedNowForm) -> tuple[int, int, date]:
        """Return bed, crop and day."""
        values = form.cleaned_data
        return values["bed"].pk, values["crop"].pk, values["starts_on"]

    def keys_there(self) -> set[Any]:
        """Return those of the garden's plantings."""
        rows = Planting.objects.of(self.garden)
        return set(rows.values_list("bed_id", "crop_id", "starts_on"))

    def cells(self, form: PlantedNowForm) -> list[str]:
        """Return names and days."""
        values = form.cleaned_data
        days = (values[name] for name in ("starts_on", "first_harvest_on", "ends_on"))
        return [values["bed"].name, values["crop"].name, *map(day_year_words, days)]

    def save(self, form: PlantedNowForm, user: AbstractBaseUser, step: Recorder) -> None:
        """Save a planting."""
        planting = form.save(commit=False)
        planting.bed = form.cleaned_data["bed"]
        planting.save()
        step.made(planting)


def _is_yes(typed: str, heading: str) -> bool:
    if typed.lower() in YES:
        return True
    if typed.lower() in NO:
        return False
    raise ValueError(_("{heading}: write yes or no.").format(heading=heading))
