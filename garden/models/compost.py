"""Compost heaps: what went in, how hot they got and when they were turned."""

from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from garden.models.beds import Bed
from garden.models.people import Garden

MOST_KG = 20_000
"""Heaviest thing put on a heap at once [kg]. Our choice."""


class Heap(models.Model):
    """A compost heap of one garden, built from `started_on` on; nothing is added after `closed_on`."""

    class Kind(models.TextChoices):
        VESSEL = "vessel", gettext_lazy("In a closed bin, or a pile with air blown through")
        TURNED = "turned", gettext_lazy("An open heap that is turned")

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="heaps")
    name = models.CharField(max_length=40)
    kind = models.CharField(
        gettext_lazy("how it is made"), max_length=8, choices=Kind, default=Kind.TURNED
    )
    started_on = models.DateField(gettext_lazy("begun"))
    closed_on = models.DateField(gettext_lazy("nothing added after"), null=True, blank=True)

    class Meta:
        ordering = ["-started_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="heap_name_once",
                violation_error_message=gettext_lazy(
                    "This garden already has a heap of that name."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class HeapLineQuerySet(models.QuerySet):
    """Lines about a garden's heaps."""

    def of(self, garden: Garden) -> Self:
        """Keep the lines of a garden's heaps."""
        return self.filter(heap__garden=garden)


class HeapLine(models.Model):
    """A day on one heap, and who logged it."""

    heap = models.ForeignKey(Heap, on_delete=models.CASCADE, related_name="%(class)ss")
    on = models.DateField(gettext_lazy("day"))
    logged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        editable=False,
        on_delete=models.SET_NULL,
        related_name="+",
    )
    logged_at = models.DateTimeField(auto_now_add=True)

    objects = HeapLineQuerySet.as_manager()

    class Meta:
        abstract = True
        ordering = ["on", "pk"]


class HeapInput(HeapLine):
    """Something put on a heap, with its carbon and nutrients as reckoned on the day [g].

    `material` is a key of the table of materials. `bed` is where bedding or droppings were lifted from, so that
    the bed's ledger gives them back; `days_until` ends the off-bed days whose droppings came with it.
    """

    material = models.CharField(gettext_lazy("what"), max_length=40)
    mass_kg = models.FloatField(
        gettext_lazy("weight"), validators=[MinValueValidator(0), MaxValueValidator(MOST_KG)]
    )
    carbon_g = models.FloatField(default=0, validators=[MinValueValidator(0)])
    nitrogen_g = models.FloatField(default=0, validators=[MinValueValidator(0)])
    phosphorus_g = models.FloatField(default=0, validators=[MinValueValidator(0)])
    potassium_g = models.FloatField(default=0, validators=[MinValueValidator(0)])
    bed = models.ForeignKey(
        Bed, null=True, blank=True, on_delete=models.SET_NULL, related_name="lifted"
    )
    days_until = models.DateField(null=True, blank=True, editable=False)

    class Meta(HeapLine.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(carbon_g__gte=0)
                & Q(nitrogen_g__gte=0)
                & Q(phosphorus_g__gte=0)
                & Q(potassium_g__gte=0),
                name="heap_input_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.mass_kg:g} kg of {self.material} on {self.heap}, {self.on}"


class HeapReading(HeapLine):
    """How hot the heap was inside on a day [°C], and whether it was turned."""

    temperature_c = models.FloatField(
        gettext_lazy("temperature inside"),
        null=True,
        blank=True,
        validators=[MinValueValidator(-20), MaxValueValidator(95)],
    )
    turned = models.BooleanField(gettext_lazy("turned on that day"), default=False)

    class Meta(HeapLine.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["heap", "on"],
                name="heap_read_once_a_day",
                violation_error_message=gettext_lazy("That day is in the log already."),
            ),
            models.CheckConstraint(
                condition=~Q(temperature_c=None) | Q(turned=True),
                name="heap_reading_says_something",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.heap} on {self.on}"
