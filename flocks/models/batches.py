"""A batch of birds and the pens it is shared out to."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Literal, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from garden.models import Garden
from pens.models import Pen

MOST_CHICKS = 10_000

Stage = Literal["planned", "brooder", "garden", "finished"]


class BatchQuerySet(models.QuerySet[gettext_lazy("Batch")]):
    """Batches by where their birds are on a day."""

    def unfinished(self) -> Self:
        """Keep batches that still have, or will have, birds."""
        return self.filter(finished_on=None)

    def outdoors(self, on: date) -> Self:
        """Keep batches whose birds live in the garden on a day."""
        return self.unfinished().filter(leaves_brooder_on__lte=on)

    def in_pens(self, pens: Iterable[Pen]) -> Self:
        """Keep batches whose birds go to one of the pens."""
        return self.filter(pens__in=pens).distinct()

    def concerning(self, garden: Garden, pks: Iterable[int]) -> Self:
        """Keep a garden's unfinished batches and those of the given ids, with their pens."""
        wanted = Q(finished_on=None) | Q(pk__in=pks)
        batches = self.filter(wanted, garden=garden).order_by("hatch_on", "pk")
        return batches.prefetch_related("shares__pen")

    def with_records(self) -> Self:
        """Load pens, weighings, feed, losses and processings too: five queries for any number."""
        return self.with_counts().prefetch_related(
            models.Prefetch("shares", BatchPen.objects.select_related("pen"))
        )

    def with_counts(self) -> Self:
        """Load weighings, feed, losses and processings too: four queries for any number."""
        return self.prefetch_related("weighing_set", "feedrecord_set", "loss_set", "processing_set")


class Batch(models.Model):
    """Birds hatched on one day and raised together.

    They live in the brooder on ``[hatch_on, leaves_brooder_on)`` and in their pens on
    ``[leaves_brooder_on, processing_on)``; `finished_on` is set when the last bird has gone.
    """

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="batches")
    name = models.CharField(max_length=40)
    hatch_on = models.DateField("hatched")
    chicks = models.PositiveIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(MOST_CHICKS)]
    )
    males = models.PositiveIntegerField(gettext_lazy("males among them"), null=True, blank=True)
    strain = models.CharField(max_length=40, default="fast")
    target_g = models.FloatField(
        gettext_lazy("live weight wanted"),
        validators=[MinValueValidator(300), MaxValueValidator(8000)],
    )
    leaves_brooder_on = models.DateField(gettext_lazy("leaves the brooder"))
    processing_on = models.DateField("processing")
    finished_on = models.DateField(null=True, blank=True, editable=False)
    pens = models.ManyToManyField(Pen, through="BatchPen", related_name="batches")

    objects = BatchQuerySet.as_manager()

    class Meta:
        ordering = ["-hatch_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="batch_name_once",
                violation_error_message=gettext_lazy(
                    "This garden already has a batch of that name."
                ),
            ),
            models.CheckConstraint(
                condition=Q(males=None) | Q(males__lte=F("chicks")),
                name="batch_males_among_chicks",
                violation_error_message=gettext_lazy("There are fewer chicks than males."),
            ),
            models.CheckConstraint(
                condition=Q(leaves_brooder_on__gt=F("hatch_on")),
                name="batch_brooder_after_hatch",
                violation_error_message=gettext_lazy("Chicks leave the brooder after they hatch."),
            ),
            models.CheckConstraint(
                condition=Q(processing_on__gt=F("leaves_brooder_on")),
                name="batch_processing_after_brooder",
                violation_error_message=gettext_lazy(
                    "Processing comes after the birds have left the brooder."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def age_days(self, on: date) -> int:
        """Return the age in whole days; negative before hatching."""
        return (on - self.hatch_on).days

    def stage(self, on: date) -> Stage:
        """Return where the birds are on a day."""
        if self.finished_on:
            return "finished"
        if on < self.hatch_on:
            return "planned"
        return "brooder" if on < self.leaves_brooder_on else "garden"

    def needs_pens_during(self, first_day: date, end_day: date, *, today: date) -> bool:
        """Whether the birds are in their pens on a day of ``[first_day, end_day)``.

        A batch past its processing day keeps its pens until it is finished, so at least for today.
        """
        leaves_on = max(self.processing_on, today + timedelta(days=1))
        return self.leaves_brooder_on < end_day and first_day < leaves_on


class BatchPen(models.Model):
    """The share of a batch's chicks that goes to one pen."""

    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="shares")
    pen = models.ForeignKey(Pen, on_delete=models.PROTECT, related_name="shares")
    birds = models.PositiveIntegerField(validators=[MaxValueValidator(MOST_CHICKS)])

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["batch", "pen"], name="batch_pen_once")]

    def __str__(self) -> str:
        return f"{self.birds} of {self.batch} in {self.pen}"
