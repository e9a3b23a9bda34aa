"""A pen as it is meant to be built: what was chosen for it. Everything else follows by `pens.design`."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy, pgettext_lazy

from garden.models import Bed, Garden


def _millimetres(name: str, least: int, most: int, **options: object) -> models.IntegerField:
    limits = [MinValueValidator(least), MaxValueValidator(most)]
    return models.IntegerField(name, validators=limits, **options)


def usual_widths() -> list[int]:
    """Return widths of rolls of wire on sale [mm]: 24, 36 and 48 in. From memory."""
    return [610, 914, 1219]


def usual_lengths() -> list[int]:
    """Return lengths of rolls of wire on sale [mm]: 5, 10, 25, 50 and 100 ft. From memory."""
    return [1524, 3048, 7620, 15_240, 30_480]


class Design(models.Model):
    """The choices of a pen design. Whole millimetres; keys are those of `pens.design`'s tables."""

    class Standing(models.TextChoices):
        INSIDE = "inside", gettext_lazy("Inside the walls, on the soil")
        OVER = "over", gettext_lazy("Over the walls, round the bed")

    class Doors(models.TextChoices):
        LIDS = "lids", gettext_lazy("Lids in the roof")
        SIDES = "sides", gettext_lazy("Doors in the walls")

    class Cover(models.TextChoices):
        ROOF = "roof", gettext_lazy("The roof")
        ROOF_AND_SIDE = "roof and one side", gettext_lazy("The roof and the windy side")
        NONE = "none", gettext_lazy("No cover")

    class Side(models.TextChoices):
        FRONT = "front", pgettext_lazy("of a pen", "Front")
        BACK = "back", pgettext_lazy("of a pen", "Back")
        LEFT = "left", gettext_lazy("Left end")
        RIGHT = "right", gettext_lazy("Right end")

    takes_owner = True
    """Only an owner may change it, or take a change of it back."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="designs")
    name = models.CharField(max_length=40)
    beds = models.ManyToManyField(Bed, related_name="+", blank=True)
    standing = models.CharField(
        gettext_lazy("how it stands"),
        max_length=8,
        choices=Standing.choices,
        default=Standing.INSIDE,
    )
    length_mm = _millimetres(gettext_lazy("outside length"), 300, 10_000)
    width_mm = _millimetres(gettext_lazy("outside width"), 300, 10_000)
    height_mm = _millimetres(gettext_lazy("outside height"), 300, 2_000, default=610)
    birds = models.PositiveSmallIntegerField(
        gettext_lazy("birds"), default=0, validators=[MaxValueValidator(500)]
    )
    strain = models.CharField(max_length=40, blank=True)
    profile = models.CharField(gettext_lazy("wood of the frame"), max_length=30)
    strap = models.CharField(gettext_lazy("wood of straps and doors"), max_length=30)
    species = models.CharField(gettext_lazy("kind of timber"), max_length=30)
    doors = models.CharField(max_length=8, choices=Doors.choices, default=Doors.LIDS)
    reach_mm = _millimetres(gettext_lazy("how far you reach"), 300, 1_200, default=600)
    door_gap_mm = _millimetres(gettext_lazy("gap round a door"), 3, 5, default=4)
    has_roost = models.BooleanField(gettext_lazy("a roost inside"), default=False)
    skirt_mm = _millimetres(gettext_lazy("skirt against digging"), 0, 900, default=0)
    skids = models.BooleanField(gettext_lazy("skids under the long sides"), default=False)
    cover = models.CharField(max_length=20, choices=Cover.choices, default=Cover.ROOF)
    covered_side = models.CharField(
        gettext_lazy("windy side"), max_length=8, choices=Side.choices, default=Side.BACK
    )
    tarp = models.CharField(gettext_lazy("tarp"), max_length=30)
    mesh = models.CharField(gettext_lazy("wire cloth"), max_length=30, default="half-inch-19")
    roll_widths_mm = models.JSONField(
        gettext_lazy("widths of the rolls you can buy"), default=usual_widths
    )
    roll_lengths_mm = models.JSONField(
        gettext_lazy("lengths of the rolls you can buy"), default=usual_lengths
    )
    wall_mm = models.FloatField(
        gettext_lazy("how thick the beds’ walls are"),
        default=38,
        validators=[MinValueValidator(0), MaxValueValidator(500)],
    )
    gust_m_s = models.FloatField(
        gettext_lazy("gust to stand through"),
        default=25,
        validators=[MinValueValidator(5), MaxValueValidator(70)],
    )
    kerf_mm = models.FloatField(
        gettext_lazy("saw cut"), default=3, validators=[MinValueValidator(0), MaxValueValidator(20)]
    )
    trim_mm = models.FloatField(
        gettext_lazy("trimmed off each board"),
        default=10,
        validators=[MinValueValidator(0), MaxValueValidator(500)],
    )

    class Meta:
        ordering = ["pk"]
        verbose_name = gettext_lazy("pen design")
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="design_name_once",
                violation_error_message=gettext_lazy(
                    "This garden already has a pen design of that name."
                ),
            ),
            models.CheckConstraint(
                condition=Q(length_mm__gte=F("width_mm")),
                name="design_length_is_longer_side",
                violation_error_message=gettext_lazy("Give the longer side as the length."),
            ),
        ]

    def __str__(self) -> str:
        return self.name
