"""The freezer: what went in by batch and cut, and what came out."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from flocks.models.garden_records import BatchLine
from flocks.models.records import Record

MOST_PACKS, MOST_KG = 10_000, 60_000.0
"""Limits of a line. A choice."""


class Cut(models.TextChoices):
    """What a pack holds."""

    WHOLE = "whole", gettext_lazy("Whole birds")
    HALVES = "halves", gettext_lazy("Halves")
    BREAST = "breast", gettext_lazy("Breasts")
    LEGS = "legs", gettext_lazy("Legs")
    WINGS = "wings", gettext_lazy("Wings")
    BACKS = "backs", gettext_lazy("Backs and necks")
    GIBLETS = "giblets", gettext_lazy("Giblets")
    FEET = "feet", gettext_lazy("Feet")
    MINCE = "mince", gettext_lazy("Mince")


class Pack(BatchLine):
    """Packs of one cut put into the freezer on a day."""

    cut = models.CharField(
        gettext_lazy("what"), max_length=8, choices=Cut.choices, default=Cut.WHOLE
    )
    count = models.PositiveIntegerField(
        gettext_lazy("packs"), validators=[MinValueValidator(1), MaxValueValidator(MOST_PACKS)]
    )
    mass_kg = models.FloatField(
        gettext_lazy("weight of all"),
        validators=[MinValueValidator(0.01), MaxValueValidator(MOST_KG)],
    )
    use_by = models.DateField()

    class Meta(BatchLine.Meta):
        constraints = [
            models.CheckConstraint(condition=Q(use_by__gt=F("on")), name="pack_use_by_after_day")
        ]

    def __str__(self) -> str:
        return f"{self.count} packs of {self.get_cut_display().lower()}, {self.on}"


class PackOut(Record):
    """Packs taken out of the freezer."""

    class Why(models.TextChoices):
        EATEN = "eaten", gettext_lazy("Eaten here")
        GIVEN = "given", gettext_lazy("Given away")
        SOLD = "sold", gettext_lazy("Sold")
        THROWN = "thrown", gettext_lazy("Thrown away")

    pack = models.ForeignKey(Pack, on_delete=models.CASCADE, related_name="outs")
    why = models.CharField(
        gettext_lazy("what for"), max_length=8, choices=Why.choices, default=Why.EATEN
    )
    count = models.PositiveIntegerField(
        gettext_lazy("packs"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(MOST_PACKS)],
    )
    mass_kg = models.FloatField(
        gettext_lazy("weight"), validators=[MinValueValidator(0.01), MaxValueValidator(MOST_KG)]
    )
    price = models.DecimalField(
        gettext_lazy("paid for all"),
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    to_whom = models.CharField(max_length=80, blank=True)

    def __str__(self) -> str:
        return f"{self.count} packs, {self.get_why_display().lower()}"
