"""The form about a pen design, and how its rows become the engine's choices."""

from typing import Any, ClassVar

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext_lazy

from garden.forms import GardenForm, QuantityField, RowsField, quantity
from garden.models import Bed, Garden
from garden.names import NameOnce
from garden.units import PEN_LENGTH, WIND_SPEED
from garden.words import gettext as _
from pens.design import BedSize, DesignError, PenDesign, design_pen, outside_for, profiles, species
from pens.design.lumber import meshes, tarp_cloths
from pens.expected_mass import strains_told
from pens.lengths_field import LengthsField
from pens.models import Design

FRAME_WOOD = {"metric": "38x38", "us": "2x2"}
STRAP_WOOD = {"metric": "25x38", "us": "1x2"}
"""What the form starts from: the lightest sections that such pens are built of. Common practice, no source."""

ROOST_MM_PER_BIRD = 150
"""Roost for each bird [mm]: 6 in, for light birds in their last weeks. Common practice, no source."""

MOST_ALONG = 2

_SHARED = ("mesh", "roll_widths_mm", "roll_lengths_mm", "wall_mm")
"""What a garden's next design starts from: the shop and the beds are the same. Not a choice of the pen."""


def bed_size(bed: Bed, wall_mm: float = 38) -> BedSize:
    """Return a bed as the engine takes it; its walls matter to a pen that stands over them. [mm]"""
    return BedSize(bed.name, bed.length_mm, bed.width_mm, bed.kind, wall_mm)


def choices_of(design: Design) -> PenDesign:
    """Return what was chosen as the engine takes it."""
    return PenDesign(
        length_mm=design.length_mm,
        width_mm=design.width_mm,
        height_mm=design.height_mm,
        profile=design.profile,
        strap=design.strap,
        species=design.species,
        doors=design.doors,
        reach_mm=design.reach_mm,
        door_gap_mm=design.door_gap_mm,
        birds=design.birds,
        roost_mm_per_bird=ROOST_MM_PER_BIRD if design.has_roost else 0,
        skirt_mm=design.skirt_mm,
        cover=design.cover,
        covered_side=design.covered_side,
        tarp=design.tarp,
        mesh=design.mesh,
        roll_widths_mm=tuple(design.roll_widths_mm),
        skids=design.skids,
        gust_m_s=design.gust_m_s,
    )


def started_design(garden: Garden) -> Design:
    """Return a design with the wood that is sold where the garden's units are used, and its last wire."""
    system = garden.unit_system
    last = garden.designs.last()
    return Design(
        garden=garden,
        profile=FRAME_WOOD[system],
        strap=STRAP_WOOD[system],
        species="spruce-pine-fir",
        tarp="light",
        kerf_mm=3.0 if system == "metric" else 3.175,
        **({name: getattr(last, name) for name in _SHARED} if last else {}),
    )


def _mm(name: str, **kwargs: Any) -> QuantityField:
    return quantity(Design._meta.get_field(name), PEN_LENGTH, **kwargs)


class DesignForm(NameOnce, GardenForm, forms.ModelForm):
    """A pen design; a blank length and width are worked out from the beds."""

    beds = RowsField(
        Bed.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label=gettext_lazy("Beds it is for"),
    )
    along = forms.TypedChoiceField(
        label=gettext_lazy("Pens along a bed"),
        choices=[(1, gettext_lazy("One as long as the bed")), (2, gettext_lazy("Two, end to end"))],
        coerce=int,
        required=False,
        empty_value=1,
        help_text=gettext_lazy("Used where the length is left blank."),
    )
    length_mm = _mm(
        "length_mm", required=False, help_text=gettext_lazy("Blank: worked out from the beds.")
    )
    width_mm = _mm(
        "width_mm", required=False, help_text=gettext_lazy("Blank: worked out from the beds.")
    )
    height_mm = _mm(
        "height_mm",
        help_text=gettext_lazy("24 in (610 mm) is enough for meat birds (from memory)."),
    )
    reach_mm = _mm(
        "reach_mm", help_text=gettext_lazy("Every point of the floor must be this near to a door.")
    )
    door_gap_mm = _mm(
        "door_gap_mm", help_text=gettext_lazy("On each side; 3 to 5 mm (1/8 to 3/16 in).")
    )
    skirt_mm = _mm("skirt_mm", help_text=gettext_lazy("Wire laid flat round the pen; 0 for none."))
    gust_m_s = quantity(
        Design._meta.get_field("gust_m_s"),
        WIND_SPEED,
        help_text=gettext_lazy(
            "Ask your weather service for the strongest gust of the months you keep birds."
        ),
    )
    wall_mm = _mm(
        "wall_mm", help_text=gettext_lazy("For a pen that stands over them; 38 mm is a 2x board.")
    )
    roll_widths_mm = LengthsField(
        least=150,
        most=2_000,
        label=gettext_lazy("Widths of the rolls you can buy"),
        help_text=gettext_lazy(
            "With a semicolon between. This garden’s next design starts from what is told here."
        ),
    )
    roll_lengths_mm = LengthsField(
        least=900, most=100_000, label=gettext_lazy("Lengths of the rolls you can buy")
    )
    kerf_mm = _mm("kerf_mm", help_text=gettext_lazy("What the blade turns to dust."))
    trim_mm = _mm("trim_mm", help_text=gettext_lazy("To square a rough or warped end."))

    class Meta:
        model = Design
        fields = (
            "name", "beds", "standing", "along", "length_mm", "width_mm", "height_mm", "birds",
            "strain", "doors", "reach_mm", "cover", "covered_side", "has_roost", "skids",
            "skirt_mm", "profile", "strap", "species", "mesh", "roll_widths_mm", "roll_lengths_mm",
            "tarp", "door_gap_mm", "wall_mm", "gust_m_s", "kerf_mm", "trim_mm",
        )  # fmt: skip
        labels: ClassVar = {
            "name": gettext_lazy("Name"),
            "strain": gettext_lazy("Strain"),
            "doors": gettext_lazy("Doors"),
            "cover": gettext_lazy("Cover"),
        }

    FIRST = ("name", "beds", "standing", "along", "length_mm", "width_mm", "height_mm")
    WHOLE = ("length_mm", "width_mm", "height_mm", "reach_mm", "door_gap_mm", "skirt_mm")
    BIRDS = ("birds", "strain", "doors", "reach_mm", "cover", "covered_side")

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        super().__init__(*args, garden=garden, **kwargs)
        self.fields["birds"].required = False
        self.fields["beds"].queryset = garden.beds.in_use()
        self._offer("strain", [("", _("Not said")), *((s.key, _(s.name)) for s in strains_told())])
        woods = [(key, _wood_words(key)) for key in profiles()]
        self._offer("profile", woods)
        self._offer("strap", woods)
        self._offer("species", [(key, kind.words) for key, kind in species().items()])
        self._offer("mesh", [(key, cloth.words) for key, cloth in meshes().items()])
        self._offer("tarp", [(key, cloth.words) for key, cloth in tarp_cloths().items()])

    def _offer(self, name: str, choices: list[tuple[str, str]]) -> None:
        """Turn a text field into a choice."""
        old = self.fields[name]
        self.fields[name] = forms.ChoiceField(
            choices=choices, label=old.label, required=old.required, help_text=old.help_text
        )

    @property
    def first_fields(self) -> list[forms.BoundField]:
        """What must be thought of: where it goes and how large it is."""
        return [self[name] for name in self.FIRST]

    @property
    def bird_fields(self) -> list[forms.BoundField]:
        """Who lives in it and how one gets at them."""
        return [self[name] for name in self.BIRDS]

    @property
    def other_fields(self) -> list[forms.BoundField]:
        """What may stay as it is."""
        return [self[name] for name in self.fields if name not in self.FIRST + self.BIRDS]

    @property
    def other_is_wrong(self) -> bool:
        """Whether a fault lies in a field that is folded away."""
        return any(bound.errors for bound in self.other_fields)

    def clean(self) -> dict[str, Any]:
        """Work out a blank size, round to whole millimetres, and see whether it can be built."""
        cleaned = super().clean()
        if "birds" not in self.errors:
            cleaned["birds"] = cleaned.get("birds") or 0
        if not self.errors and None in (cleaned["length_mm"], cleaned["width_mm"]):
            self._size_from_beds(cleaned)
        for name in self.WHOLE:
            if cleaned.get(name) is not None:
                cleaned[name] = round(cleaned[name])
        if not self.errors and cleaned["width_mm"] > cleaned["length_mm"]:
            self.add_error("length_mm", _("Give the longer side as the length."))
        return cleaned

    def _size_from_beds(self, cleaned: dict[str, Any]) -> None:
        """Take the largest outside that goes on every bed chosen."""
        beds = list(cleaned.get("beds") or ())
        if not beds:
            self.add_error("length_mm", _("Choose a bed above, or give the length and the width."))
            return
        clearance_mm, along = self.garden.clearance_mm, cleaned.get("along") or 1
        wall_mm = cleaned["wall_mm"]
        try:
            sizes = [
                outside_for(bed_size(bed, wall_mm), clearance_mm, cleaned["standing"], along)
                for bed in beds
            ]
        except DesignError as error:
            self.add_error("beds", str(error))
            return
        for name, values in zip(("length_mm", "width_mm"), zip(*sizes, strict=True), strict=True):
            if cleaned[name] is None:
                cleaned[name] = min(values)
                self._check_limits(name, cleaned[name])

    def _check_limits(self, name: str, value: int) -> None:
        """Hold a size that was worked out against the limits of one that is typed."""
        for check in Design._meta.get_field(name).validators:
            try:
                check(value)
            except forms.ValidationError:
                self.add_error(name, _limit_words(check, self.garden))
                return

    def _post_clean(self) -> None:
        """After the row's own rules, ask the engine; its fault is told beside the field it names."""
        super()._post_clean()
        if self.errors:
            return
        try:
            design_pen(choices_of(self.instance))
        except DesignError as error:
            self.add_error(error.field if error.field in self.fields else None, str(error))


def _wood_words(key: str) -> str:
    wood = profiles()[key]
    return f"{wood.words} ({wood.thickness_mm} × {wood.width_mm} mm)"


def _limit_words(check: MinValueValidator | MaxValueValidator, garden: Garden) -> str:
    limit = PEN_LENGTH.show(check.limit_value, garden.unit_system)
    if isinstance(check, MinValueValidator):
        return _("The beds leave less than {limit}, too little for a pen.").format(limit=limit)
    told = _("The beds would take more than {limit}: give a size that can be carried.")
    return told.format(limit=limit)
