"""What is noted of the carcasses on a processing day."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy

from flocks.models.batches import MOST_CHICKS


class CarcassChecks(models.Model):
    """What is known of the day beside the birds' weights; all of it optional."""

    condemned = models.PositiveIntegerField(
        gettext_lazy("carcasses not fit to eat"),
        default=0,
        blank=True,
        validators=[MaxValueValidator(MOST_CHICKS)],
    )
    giblets_kg = models.FloatField(
        gettext_lazy("giblets kept"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(6000)],
    )
    began_at = models.TimeField(gettext_lazy("first bird"), null=True, blank=True)
    ended_at = models.TimeField(gettext_lazy("last bird in the ice"), null=True, blank=True)
    chilled_at = models.TimeField(gettext_lazy("cold"), null=True, blank=True)
    scald_c = models.FloatField(
        gettext_lazy("scalding water"),
        null=True,
        blank=True,
        validators=[MinValueValidator(30), MaxValueValidator(100)],
    )
    core_c = models.FloatField(
        gettext_lazy("thickest breast when cold"),
        null=True,
        blank=True,
        validators=[MinValueValidator(-5), MaxValueValidator(45)],
    )

    class Meta:
        abstract = True
