"""What is noted of the carcasses on a processing day."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from flocks.models.batches import MOST_CHICKS


class CarcassChecks(models.Model):
    """What is known of the day beside the birds' weights; all of it optional."""

    condemned = models.PositiveIntegerField(
        "carcasses not fit to eat",
        default=0,
        blank=True,
        validators=[MaxValueValidator(MOST_CHICKS)],
    )
    giblets_kg = models.FloatField(
        "giblets kept",
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(6000)],
    )
    began_at = models.TimeField("first bird", null=True, blank=True)
    ended_at = models.TimeField("last bird in the ice", null=True, blank=True)
    chilled_at = models.TimeField("cold", null=True, blank=True)
    scald_c = models.FloatField(
        "scalding water",
        null=True,
        blank=True,
        validators=[MinValueValidator(30), MaxValueValidator(100)],
    )
    core_c = models.FloatField(
        "thickest breast when cold",
        null=True,
        blank=True,
        validators=[MinValueValidator(-5), MaxValueValidator(45)],
    )

    class Meta:
        abstract = True
