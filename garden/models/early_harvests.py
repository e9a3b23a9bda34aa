"""What was taken from a bed before the wait after birds was over, and what became of it."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from garden.models.beds import Planting
from garden.models.people import Garden


class EarlyHarvestQuerySet(models.QuerySet["EarlyHarvest"]):
    """Early harvests of one garden."""

    def of(self, garden: Garden) -> Self:
        """Keep what was taken from a garden's beds."""
        return self.filter(planting__bed__garden=garden)


class EarlyHarvest(models.Model):
    """A crop taken from its bed on a day before `safe_from`, with the reason.

    `safe_from` is what the garden's rule said on the day of logging, kept because rules and stays change.
    """

    class Why(models.TextChoices):
        COOKED = "cooked", gettext_lazy("Cooked through before it is eaten")
        NOT_EATEN = "not_eaten", gettext_lazy("Not eaten: composted or fed to animals")
        LOST = "lost", gettext_lazy("Lost: bolted, spoiled or eaten by pests")

    planting = models.ForeignKey(Planting, on_delete=models.CASCADE, related_name="early_harvests")
    on = models.DateField()
    why = models.CharField(max_length=10, choices=Why.choices)
    note = models.CharField(max_length=120, blank=True)
    safe_from = models.DateField(editable=False)
    logged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        editable=False,
        on_delete=models.SET_NULL,
        related_name="+",
    )
    logged_at = models.DateTimeField(auto_now_add=True)

    objects = EarlyHarvestQuerySet.as_manager()

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(on__lt=F("safe_from")), name="early_harvest_before_safe_day"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.planting.crop} taken early on {self.on}"
