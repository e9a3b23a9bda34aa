"""Beds, the crops a garden grows, and what stands in a bed from when to when."""

from datetime import date
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from garden.harvest_interval import PlantingDates
from garden.models.people import Garden

MOST_TURNED_DEG = 45
"""How far a bed is turned at most [°]: one turned further lies across, turned the other way."""


class BedQuerySet(models.QuerySet["Bed"]):
    """Beds of one garden."""

    def in_use(self) -> Self:
        """Keep the beds that have not been given up, in their order."""
        return self.filter(retired_on=None)

    def with_crops(self) -> Self:
        """Keep the beds that take a crop; a grass strip does not."""
        return self.exclude(kind=Bed.Kind.TURF)


class Bed(models.Model):
    """A growing bed by its interior: mm for sizes, metres for its place on the map.

    `x_m` runs east and `y_m` south from the map's corner to the bed's own north-west corner. A bed lies with
    its length north to south, or east to west where `lies_across`; then it is turned about its middle.
    """

    class Kind(models.TextChoices):
        RAISED = "raised", gettext_lazy("Raised bed")
        GROUND = "ground", gettext_lazy("Bed in the ground")
        TURF = "turf", gettext_lazy("Grass strip, no crop")

    takes_owner = True
    """Only an owner may change it, or take a change of it back."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="beds")
    name = models.CharField(max_length=40)
    kind = models.CharField(max_length=8, choices=Kind.choices, default=Kind.RAISED)
    length_mm = models.FloatField(
        gettext_lazy("inside length"),
        validators=[MinValueValidator(200), MaxValueValidator(200_000)],
    )
    width_mm = models.FloatField(
        gettext_lazy("inside width"), validators=[MinValueValidator(200), MaxValueValidator(50_000)]
    )
    height_mm = models.FloatField(
        gettext_lazy("height"),
        default=0,
        validators=[MinValueValidator(0), MaxValueValidator(2_000)],
    )
    x_m = models.FloatField(
        gettext_lazy("distance from the west edge of the map"),
        default=0,
        validators=[MinValueValidator(0), MaxValueValidator(2_000)],
    )
    y_m = models.FloatField(
        gettext_lazy("distance from the north edge of the map"),
        default=0,
        validators=[MinValueValidator(0), MaxValueValidator(2_000)],
    )
    lies_across = models.BooleanField(gettext_lazy("its length runs east to west"), default=False)
    turned_deg = models.FloatField(
        gettext_lazy("turned clockwise about its middle"),
        default=0,
        validators=[MinValueValidator(-MOST_TURNED_DEG), MaxValueValidator(MOST_TURNED_DEG)],
    )
    retired_on = models.DateField(null=True, blank=True, editable=False)

    objects = BedQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="bed_name_once",
                violation_error_message=gettext_lazy("This garden already has a bed of that name."),
            ),
            models.CheckConstraint(
                condition=Q(length_mm__gte=F("width_mm")),
                name="bed_length_is_longer_side",
                violation_error_message=gettext_lazy("Give the longer side as the length."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def area_m2(self) -> float:
        """Return the interior area [m²]."""
        return self.length_mm * self.width_mm / 1e6

    @property
    def grows_crops(self) -> bool:
        """Whether crops are planted here; a grass strip has none."""
        return self.kind != self.Kind.TURF


class Crop(models.Model):
    """A crop as this garden grows it; starts as a copy of the reference row and may be changed."""

    class Contact(models.TextChoices):
        TOUCHES = "touches", gettext_lazy("Touches soil or is splashed by it")
        CLEAR = "clear", gettext_lazy("Held clear of the soil")
        COOKED = "cooked", gettext_lazy("Never eaten raw")

    takes_owner = True
    """Only an owner may change it, or take a change of it back."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="crops")
    name = models.CharField(max_length=60)
    family = models.CharField(max_length=40, blank=True)
    nitrogen_kg_ha = models.FloatField(
        gettext_lazy("nitrogen it needs"), validators=[MinValueValidator(0), MaxValueValidator(600)]
    )
    contact = models.CharField(max_length=8, choices=Contact.choices, default=Contact.TOUCHES)
    days_to_harvest = models.PositiveSmallIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(1500)]
    )
    harvest_days = models.PositiveSmallIntegerField(
        gettext_lazy("days of harvest"),
        default=14,
        validators=[MinValueValidator(1), MaxValueValidator(365)],
    )
    source = models.CharField(max_length=200, blank=True, default="this garden's own figure")
    reference = models.CharField(max_length=60, blank=True, default="", editable=False)
    """The row of the reference table it began as; empty for a crop of the garden's own."""
    phosphorus_kg_ha = models.FloatField(
        gettext_lazy("phosphorus it needs"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(200)],
    )
    potassium_kg_ha = models.FloatField(
        gettext_lazy("potassium it needs"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(800)],
    )
    nitrogen_g_kg = models.FloatField(
        gettext_lazy("nitrogen in a kilogram picked"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(60)],
    )
    phosphorus_g_kg = models.FloatField(
        gettext_lazy("phosphorus in a kilogram picked"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(20)],
    )
    potassium_g_kg = models.FloatField(
        gettext_lazy("potassium in a kilogram picked"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(60)],
    )
    yield_kg_m2 = models.FloatField(
        gettext_lazy("usual harvest of a square metre"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.01), MaxValueValidator(60)],
    )
    fixed_kg_ha = models.FloatField(
        gettext_lazy("nitrogen it leaves from the air"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(300)],
    )
    spacing_mm = models.FloatField(
        gettext_lazy("from plant to plant"),
        null=True,
        blank=True,
        validators=[MinValueValidator(5), MaxValueValidator(3000)],
    )

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="crop_name_once",
                violation_error_message=gettext_lazy(
                    "This garden already has a crop of that name."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class PlantingQuerySet(models.QuerySet["Planting"]):
    """Plantings by when they stand."""

    def of(self, garden: Garden) -> Self:
        """Keep what grows in a garden's beds."""
        return self.filter(bed__garden=garden)

    def beside(self, planting: "Planting") -> Self:
        """Keep what shares a bed with a planting for at least one day, the planting itself apart."""
        return self.filter(
            bed=planting.bed_id, starts_on__lt=planting.ends_on, ends_on__gt=planting.starts_on
        ).exclude(pk=planting.pk)

    def standing(self, on: date) -> Self:
        """Keep what stands in its bed on a day."""
        return self.filter(starts_on__lte=on, ends_on__gt=on)

    def reaching(self, first_day: date) -> Self:
        """Keep what stands on `first_day` or comes later, in order."""
        return self.filter(ends_on__gt=first_day).order_by("starts_on", "pk")


class Planting(models.Model):
    """A crop in a bed from `starts_on` up to, not including, `ends_on`."""

    bed = models.ForeignKey(Bed, on_delete=models.CASCADE, related_name="plantings")
    crop = models.ForeignKey(Crop, on_delete=models.PROTECT, related_name="plantings")
    starts_on = models.DateField(gettext_lazy("sown or planted"))
    first_harvest_on = models.DateField(gettext_lazy("first harvest"))
    ends_on = models.DateField(gettext_lazy("bed is clear again"))

    objects = PlantingQuerySet.as_manager()

    class Meta:
        ordering = ["starts_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(first_harvest_on__gte=F("starts_on")),
                name="planting_harvest_after_start",
                violation_error_message=gettext_lazy(
                    "The first harvest cannot come before the planting."
                ),
            ),
            models.CheckConstraint(
                condition=Q(ends_on__gt=F("first_harvest_on")),
                name="planting_ends_after_harvest",
                violation_error_message=gettext_lazy(
                    "The bed is clear again only after the first harvest."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.crop} in {self.bed} from {self.starts_on}"

    def dates(self) -> PlantingDates:
        """Return what the harvest interval needs to know; reads `crop`, one query where not loaded."""
        return PlantingDates(
            crop_name=self.crop.name,
            starts_on=self.starts_on,
            first_harvest_on=self.first_harvest_on,
            ends_on=self.ends_on,
            contact=self.crop.contact,
            nitrogen_kg_ha=self.crop.nitrogen_kg_ha,
        )
