"""What is planned for a processing day."""

from datetime import time

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy

from flocks.models.asked_before import AskedBeforeQuerySet
from flocks.models.batches import MOST_CHICKS
from flocks.models.garden_records import BatchLine


class Pace(models.TextChoices):
    """How quick the hands are; figures in `flocks.processing_day`."""

    NOVICE = "novice", gettext_lazy("First times, plucking by hand")
    PLUCKER = "plucker", gettext_lazy("Some practice, with a plucker")
    PRACTISED = "practised", gettext_lazy("Practised crew with scalder and plucker")


class ProcessingDay(BatchLine):
    """One day planned for processing all or part of a batch; `on` may lie ahead."""

    birds = models.PositiveIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(MOST_CHICKS)]
    )
    starts_at = models.TimeField(gettext_lazy("first bird at"), default=time(8))
    people = models.PositiveSmallIntegerField(
        gettext_lazy("people at work"),
        default=2,
        validators=[MinValueValidator(1), MaxValueValidator(100)],
    )
    pace = models.CharField(max_length=10, choices=Pace.choices, default=Pace.NOVICE)
    water_c = models.FloatField(
        gettext_lazy("tap water"),
        default=15.0,
        validators=[MinValueValidator(0), MaxValueValidator(40)],
    )
    water_l_per_kg = models.FloatField(
        gettext_lazy("litres of water for each kilogram of carcass"),
        default=2.0,
        validators=[MinValueValidator(0), MaxValueValidator(20)],
    )
    crate_m2 = models.FloatField(
        gettext_lazy("floor of a crate"),
        default=0.5,
        validators=[MinValueValidator(0.05), MaxValueValidator(10)],
    )

    objects = AskedBeforeQuerySet.as_manager()

    class Meta(BatchLine.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["batch", "on"],
                name="processing_day_once",
                violation_error_message=gettext_lazy("That day is planned already for this batch."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.birds} birds on {self.on}"
