"""What a soil test found in a bed, and what the grower put on it or took from it."""

from datetime import date
from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from garden.models.beds import Bed, Crop, Planting
from garden.models.people import Garden

PERCENT = (MinValueValidator(0), MaxValueValidator(100))
MOST_MG_KG = 5000
"""Highest soil test that is taken for one [mg/kg]: above it the unit was mistaken. Our choice."""
MOST_KG = 5000
"""Heaviest load put on a bed or taken from it at once [kg]. Our choice."""


class BedLineQuerySet(models.QuerySet):
    """Lines of a bed's ledger that somebody entered."""

    def of(self, garden: Garden) -> Self:
        """Keep the lines of a garden's beds."""
        return self.filter(bed__garden=garden)

    def until(self, on: date) -> Self:
        """Keep what had happened by the end of a day, oldest first."""
        return self.filter(on__lte=on).order_by("on", "pk")


class BedLine(models.Model):
    """A day on one bed, and who logged it."""

    bed = models.ForeignKey(Bed, on_delete=models.CASCADE, related_name="%(class)ss")
    on = models.DateField(gettext_lazy("day"))
    logged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        editable=False,
        on_delete=models.SET_NULL,
        related_name="+",
    )
    logged_at = models.DateTimeField(auto_now_add=True)

    objects = BedLineQuerySet.as_manager()

    class Meta:
        abstract = True
        ordering = ["on", "pk"]


class SoilTest(BedLine):
    """What a laboratory found, in mg of the element per kg of dry soil; what it did not test is None.

    `phosphorus_by` says how phosphorus was extracted, for the same soil gives each method another figure.
    """

    class Extract(models.TextChoices):
        MEHLICH_3 = "mehlich3", gettext_lazy("Mehlich 3")
        OLSEN = "olsen", gettext_lazy("Olsen")
        OTHER = "other", gettext_lazy("Another, or not known")

    class Unit(models.TextChoices):
        PPM = "ppm", "ppm"
        MG_KG = "mg_kg", "mg/kg"
        LB_ACRE = "lb_acre", gettext_lazy("lb/acre")
        KG_HA = "kg_ha", "kg/ha"

    depth_mm = models.FloatField(
        gettext_lazy("sampled to"),
        default=150,
        validators=[MinValueValidator(50), MaxValueValidator(900)],
    )
    unit = models.CharField(
        gettext_lazy("unit of the report"), max_length=8, choices=Unit, default=Unit.PPM
    )
    nitrogen_mg_kg = models.FloatField(gettext_lazy("nitrate nitrogen"), null=True, blank=True)
    phosphorus_mg_kg = models.FloatField(gettext_lazy("phosphorus"), null=True, blank=True)
    potassium_mg_kg = models.FloatField(gettext_lazy("potassium"), null=True, blank=True)
    phosphorus_by = models.CharField(
        gettext_lazy("phosphorus tested by"),
        max_length=8,
        choices=Extract,
        default=Extract.MEHLICH_3,
    )

    class Meta(BedLine.Meta):
        constraints = [
            models.CheckConstraint(
                condition=(Q(**{f"{name}_mg_kg": None}) | Q(**{f"{name}_mg_kg__gte": 0})),
                name=f"soil_test_{name}_not_negative",
                violation_error_message=gettext_lazy(
                    "A soil test finds nothing or something, never less."
                ),
            )
            for name in ("nitrogen", "phosphorus", "potassium")
        ]

    def __str__(self) -> str:
        return f"Soil test of {self.bed} on {self.on}"


class Spread(BedLine):
    """Compost, manure or fertiliser put on a bed, with what it held as percent of its mass.

    Percent are of the elements N, P and K. What comes from a heap of the garden has `heap`, and then the grams
    carried are kept as they were reckoned on the day; `is_composted` says that no harvest need wait for it.
    """

    class Kind(models.TextChoices):
        COMPOST = "compost", gettext_lazy("Compost")
        MANURE = "manure", gettext_lazy("Manure, not composted")
        FERTILISER = "fertiliser", gettext_lazy("Fertiliser")

    kind = models.CharField(
        gettext_lazy("what was put on"), max_length=10, choices=Kind, default=Kind.COMPOST
    )
    what = models.CharField(gettext_lazy("name"), max_length=60, blank=True)
    mass_kg = models.FloatField(
        gettext_lazy("weight"), validators=[MinValueValidator(0.001), MaxValueValidator(MOST_KG)]
    )
    nitrogen_g = models.FloatField(default=0, validators=[MinValueValidator(0)])
    phosphorus_g = models.FloatField(default=0, validators=[MinValueValidator(0)])
    potassium_g = models.FloatField(default=0, validators=[MinValueValidator(0)])
    heap = models.ForeignKey(
        "garden.Heap", null=True, blank=True, on_delete=models.CASCADE, related_name="spreads"
    )
    heap_percent = models.FloatField(null=True, blank=True, validators=PERCENT)
    is_composted = models.BooleanField(default=True)

    class Meta(BedLine.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(nitrogen_g__gte=0) & Q(phosphorus_g__gte=0) & Q(potassium_g__gte=0),
                name="spread_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.what or self.get_kind_display()} on {self.bed}, {self.on}"


class HarvestWeight(BedLine):
    """What was picked from a bed on a day [kg], and whether leaves and stems went with it."""

    crop = models.ForeignKey(Crop, on_delete=models.PROTECT, related_name="harvest_weights")
    planting = models.ForeignKey(
        Planting, null=True, blank=True, on_delete=models.SET_NULL, related_name="harvest_weights"
    )
    mass_kg = models.FloatField(
        gettext_lazy("weight picked"),
        validators=[MinValueValidator(0.001), MaxValueValidator(MOST_KG)],
    )

    def __str__(self) -> str:
        return f"{self.mass_kg:g} kg of {self.crop} from {self.bed}, {self.on}"
