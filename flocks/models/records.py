"""What is logged about a batch: weighings, feed, losses, notes, processing."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from flocks.models.asked_before import AskedBeforeQuerySet
from flocks.models.batches import MOST_CHICKS, Batch
from flocks.models.carcass_checks import CarcassChecks
from garden.models import Bed, Garden
from pens.models import Pen


class Record(models.Model):
    """Who logged a line and when; `on` is the garden's day it is about."""

    on = models.DateField("day")
    logged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        on_delete=models.SET_NULL,
        related_name="+",
        editable=False,
    )
    logged_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        abstract = True
        ordering = ["on", "pk"]


class BatchRecord(Record):
    """A line about one batch, or about its birds in one pen."""

    batch = models.ForeignKey(Batch, on_delete=models.CASCADE)
    pen = models.ForeignKey(Pen, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta(Record.Meta):
        abstract = True


class Weighing(BatchRecord):
    """A sample of birds weighed on a day: how many and their mean [g]; each bird's weight where known."""

    class Sex(models.TextChoices):
        ANY = "", gettext_lazy("As they came")
        MALE = "male", gettext_lazy("Males only")
        FEMALE = "female", gettext_lazy("Females only")

    count = models.PositiveIntegerField(
        gettext_lazy("birds weighed"),
        validators=[MinValueValidator(1), MaxValueValidator(MOST_CHICKS)],
    )
    mean_g = models.FloatField(
        gettext_lazy("mean weight"), validators=[MinValueValidator(15), MaxValueValidator(12_000)]
    )
    weights_g = models.JSONField(default=list, blank=True)
    sex = models.CharField(
        gettext_lazy("which birds"), max_length=6, choices=Sex.choices, blank=True, default=""
    )

    def __str__(self) -> str:
        return f"{self.count} birds, {self.mean_g:.0f} g on {self.on}"


class FeedRecordManager(models.Manager["FeedRecord"]):
    """Brings the feed along, by the same query: every list names it."""

    def get_queryset(self) -> models.QuerySet["FeedRecord"]:
        """Return the rows with their feed."""
        return super().get_queryset().select_related("product")


class FeedRecord(BatchRecord):
    """Feed given [kg], out of the store's own where that was said."""

    mass_kg = models.FloatField(
        gettext_lazy("feed given"), validators=[MinValueValidator(0.01), MaxValueValidator(5000)]
    )
    product = models.ForeignKey(
        "flocks.FeedProduct",
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="+",
        verbose_name=gettext_lazy("which feed"),
    )

    objects = FeedRecordManager()

    def __str__(self) -> str:
        return f"{self.mass_kg:.1f} kg on {self.on}"


class WaterRecord(BatchRecord):
    """Water put into the drinkers [L]."""

    litres = models.FloatField(
        gettext_lazy("water given"), validators=[MinValueValidator(0.05), MaxValueValidator(20_000)]
    )

    def __str__(self) -> str:
        return f"{self.litres:.1f} L on {self.on}"


class Loss(BatchRecord):
    """Birds that died or went missing."""

    class Cause(models.TextChoices):
        UNKNOWN = "unknown", gettext_lazy("Not known")
        ILLNESS = "illness", gettext_lazy("Illness or weakness")
        PREDATOR = "predator", gettext_lazy("Predator")
        HEAT_OR_COLD = "weather", gettext_lazy("Heat or cold")
        INJURY = "injury", gettext_lazy("Injury")
        CULLED = "culled", gettext_lazy("Culled")

    count = models.PositiveIntegerField(
        gettext_lazy("birds lost"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(MOST_CHICKS)],
    )
    cause = models.CharField(max_length=12, choices=Cause.choices, default=Cause.UNKNOWN)

    class Meta(BatchRecord.Meta):
        verbose_name_plural = "losses"

    def __str__(self) -> str:
        return f"{self.count} lost on {self.on}"


class Processing(BatchRecord, CarcassChecks):
    """Birds processed on a day, with what is known of their weight; never inside a withdrawal time unasked."""

    count = models.PositiveIntegerField(
        gettext_lazy("birds processed"),
        validators=[MinValueValidator(1), MaxValueValidator(MOST_CHICKS)],
    )
    live_mean_g = models.FloatField(
        gettext_lazy("mean live weight"),
        null=True,
        blank=True,
        validators=[MinValueValidator(200), MaxValueValidator(12_000)],
    )
    dressed_kg = models.FloatField(
        gettext_lazy("dressed weight of all"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.1), MaxValueValidator(60_000)],
    )

    heaviest = models.BooleanField(gettext_lazy("the heaviest were picked"), default=False)

    objects = AskedBeforeQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.count} processed on {self.on}"


class Note(Record):
    """A few words about the garden, a batch, a pen or a bed."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="notes")
    batch = models.ForeignKey(
        Batch, null=True, blank=True, on_delete=models.CASCADE, related_name="notes"
    )
    bed = models.ForeignKey(
        Bed, null=True, blank=True, on_delete=models.CASCADE, related_name="notes"
    )
    text = models.TextField(gettext_lazy("note"), max_length=2000)

    class Meta(Record.Meta):
        constraints = [
            models.CheckConstraint(condition=~Q(text=""), name="note_says_something"),
        ]

    def __str__(self) -> str:
        return self.text[:60]
