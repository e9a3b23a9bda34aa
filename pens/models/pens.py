"""The pens a garden owns."""

from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from garden.models import Garden
from pens.models.designs import Design


class PenQuerySet(models.QuerySet["Pen"]):
    """Pens of one garden."""

    def in_use(self) -> Self:
        """Keep the pens that have not been given up."""
        return self.filter(retired_on=None)


class Pen(models.Model):
    """A movable floorless shelter by its outside size [mm], the floor the birds have [m²]
    and, where known, what it weighs [kg]."""

    takes_owner = True
    """Only an owner may change it, or take a change of it back."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="pens")
    name = models.CharField(max_length=40)
    length_mm = models.FloatField(
        gettext_lazy("outside length"),
        validators=[MinValueValidator(300), MaxValueValidator(10_000)],
    )
    width_mm = models.FloatField(
        gettext_lazy("outside width"),
        validators=[MinValueValidator(300), MaxValueValidator(10_000)],
    )
    floor_m2 = models.FloatField(
        gettext_lazy("floor inside"), validators=[MinValueValidator(0.05), MaxValueValidator(100)]
    )
    mass_kg = models.FloatField(
        gettext_lazy("weight"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.1), MaxValueValidator(1_000)],
    )
    design = models.ForeignKey(
        Design,
        null=True,
        blank=True,
        editable=False,
        on_delete=models.SET_NULL,
        related_name="pens",
    )
    retired_on = models.DateField(null=True, blank=True, editable=False)

    objects = PenQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="pen_name_once",
                violation_error_message=gettext_lazy("This garden already has a pen of that name."),
            ),
            models.CheckConstraint(
                condition=Q(length_mm__gte=F("width_mm")),
                name="pen_length_is_longer_side",
                violation_error_message=gettext_lazy("Give the longer side as the length."),
            ),
            models.CheckConstraint(
                condition=Q(floor_m2__lte=F("length_mm") * F("width_mm") / 1e6 + 1e-6),
                name="pen_floor_within_outside",
                violation_error_message=gettext_lazy("The floor cannot be larger than the pen."),
            ),
        ]

    def __str__(self) -> str:
        return self.name
