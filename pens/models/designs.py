"""A pen as it is meant to be built: what was chosen for it. Everything else follows by `pens.design`."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

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
        INSIDE = "inside", "Inside the walls, on the soil"
        OVER = "over", "Over the walls, round the bed"

    class Doors(models.TextChoices):
        LIDS = "lids", "Lids in the roof"
        SIDES = "sides", "Doors in the walls"

    class Cover(models.TextChoices):
        ROOF = "roof", "The roof"
        ROOF_AND_SIDE = "roof and one side", "The roof and the windy side"
        NONE = "none", "No cover"

    class Side(models.TextChoices):
        FRONT = "front", "Front"
        BACK = "back", "Back"
        LEFT = "left", "Left end"
        RIGHT = "right", "Right end"

    takes_owner = True
    """Only an owner may change it, or take a change of it back."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="designs")
    name = models.CharField(max_length=40)
    beds = models.ManyToManyField(Bed, related_name="+", blank=True)
    standing = models.CharField(
        "how it stands", max_length=8, choices=Standing.choices, default=Standing.INSIDE
    )
    length_mm = _millimetres("outside length", 300, 10_000)
    width_mm = _millimetres("outside width", 300, 10_000)
    height_mm = _millimetres("outside height", 300, 2_000, default=610)
    birds = models.PositiveSmallIntegerField(
        "birds", default=0, validators=[MaxValueValidator(500)]
    )
    strain = models.CharField(max_length=40, blank=True)
    profile = models.CharField("wood of the frame", max_length=30)
    strap = models.CharField("wood of straps and doors", max_length=30)
    species = models.CharField("kind of timber", max_length=30)
    doors = models.CharField(max_length=8, choices=Doors.choices, default=Doors.LIDS)
    reach_mm = _millimetres("how far you reach", 300, 1_200, default=600)
    door_gap_mm = _millimetres("gap round a door", 3, 5, default=4)
    has_roost = models.BooleanField("a roost inside", default=False)
    skirt_mm = _millimetres("skirt against digging", 0, 900, default=0)
    skids = models.BooleanField("skids under the long sides", default=False)
    cover = models.CharField(max_length=20, choices=Cover.choices, default=Cover.ROOF)
    covered_side = models.CharField(
        "windy side", max_length=8, choices=Side.choices, default=Side.BACK
    )
    tarp = models.CharField("tarp", max_length=30)
    mesh = models.CharField("wire cloth", max_length=30, default="half-inch-19")
    roll_widths_mm = models.JSONField("widths of the rolls you can buy", default=usual_widths)
    roll_lengths_mm = models.JSONField("lengths of the rolls you can buy", default=usual_lengths)
    wall_mm = models.FloatField(
        "how thick the beds’ walls are",
        default=38,
        validators=[MinValueValidator(0), MaxValueValidator(500)],
    )
    gust_m_s = models.FloatField(
        "gust to stand through",
        default=25,
        validators=[MinValueValidator(5), MaxValueValidator(70)],
    )
    kerf_mm = models.FloatField(
        "saw cut", default=3, validators=[MinValueValidator(0), MaxValueValidator(20)]
    )
    trim_mm = models.FloatField(
        "trimmed off each board",
        default=10,
        validators=[MinValueValidator(0), MaxValueValidator(500)],
    )

    class Meta:
        ordering = ["pk"]
        verbose_name = "pen design"
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="design_name_once",
                violation_error_message="This garden already has a pen design of that name.",
            ),
            models.CheckConstraint(
                condition=Q(length_mm__gte=F("width_mm")),
                name="design_length_is_longer_side",
                violation_error_message="Give the longer side as the length.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
