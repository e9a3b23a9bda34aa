"""Where pens stood, where they will stand, and which of the day's chores are done."""

from datetime import date
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from flocks.models import Batch
from garden.models import Bed, Garden
from pens.models import Pen


class GroundQuerySet(models.QuerySet):
    """Stays, actual or planned."""

    def begun(self, on: date) -> Self:
        """Keep the stays that had begun by a day."""
        return self.filter(first_day__lte=on)


class Ground(models.Model):
    """One pen on one place from `first_day` up to, not including, `end_day`.

    The place is the stretch of the bed's length from `offset_mm` for `stretch_mm`, across its whole width.
    Without a bed the pen stands on the standing ground and its droppings are lifted for compost.
    """

    pen = models.ForeignKey(Pen, on_delete=models.PROTECT, related_name="%(class)ss")
    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="%(class)ss")
    bed = models.ForeignKey(
        Bed, null=True, blank=True, on_delete=models.PROTECT, related_name="%(class)ss"
    )
    offset_mm = models.FloatField(default=0)
    stretch_mm = models.FloatField(default=0)
    first_day = models.DateField()

    class Meta:
        abstract = True

    @property
    def place(self) -> tuple[int | None, float]:
        """Return what tells one place from another: the bed's id and the offset [mm]."""
        return self.bed_id, round(self.offset_mm)


class StayQuerySet(GroundQuerySet):
    """Actual stays."""

    def of(self, garden: Garden) -> Self:
        """Keep the stays of a garden's pens."""
        return self.filter(pen__garden=garden)

    def standing(self) -> Self:
        """Keep the stays that have not ended."""
        return self.filter(end_day=None)

    def touching(self, first_day: date) -> Self:
        """Keep the stays that last into `first_day` or later, in order."""
        return self.filter(Q(end_day=None) | Q(end_day__gt=first_day)).order_by("first_day", "pk")


class Stay(Ground):
    """An actual stay; `end_day` is None while the pen still stands there."""

    end_day = models.DateField(null=True, blank=True)
    logged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    logged_at = models.DateTimeField(auto_now_add=True)

    objects = StayQuerySet.as_manager()

    class Meta:
        ordering = ["first_day", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["pen", "first_day"], name="stay_begins_once"),
            models.UniqueConstraint(
                fields=["pen"], condition=Q(end_day=None), name="stay_open_once"
            ),
            models.CheckConstraint(
                condition=Q(end_day=None) | Q(end_day__gt=F("first_day")), name="stay_lasts"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.pen} on {self.bed or 'standing ground'} from {self.first_day}"


class Plan(models.Model):
    """The future stays of all pens as last worked out, with cost, proven bound and the reason.

    `ground` tells one state of beds, crops, rules, pens and batches from another; what is logged from day to
    day does not change it. `changes` are sentences about what differs from the plan before.
    """

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="plans")
    from_day = models.DateField()
    end_day = models.DateField()
    because = models.CharField(max_length=200)
    ground = models.CharField(max_length=64, default="", editable=False)
    cost = models.FloatField()
    lower_bound = models.FloatField()
    cost_items = models.JSONField(default=dict)
    seconds = models.FloatField()
    changes = models.JSONField(default=list)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["garden", "-id"], name="plan_newest")]

    def __str__(self) -> str:
        return f"plan of {self.garden} from {self.from_day}"

    @property
    def gap(self) -> float:
        """Return how far the cost may be from the best, as a share of the cost."""
        return (self.cost - self.lower_bound) / max(abs(self.cost), 1.0)


class PlannedStay(Ground):
    """A future stay, or, without a bed, days off the beds with the reasons."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="stays")
    end_day = models.DateField()
    nitrogen_g = models.FloatField(default=0)
    because = models.JSONField(default=dict)

    is_worked_out = True
    """Nobody entered it, so it goes with the batch or bed whose adding is taken back."""

    objects = GroundQuerySet.as_manager()

    class Meta:
        ordering = ["first_day", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["plan", "pen", "first_day"], name="planned_stay_begins_once"
            ),
            models.CheckConstraint(
                condition=Q(end_day__gt=F("first_day")), name="planned_stay_lasts"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.pen} to {self.bed or 'standing ground'} on {self.first_day}"

    def nitrogen_ahead_g(self, on: date) -> float:
        """Return what of the stay's nitrogen lies on or after a day, taken as even over its days [g]."""
        ahead_days = max(0, (self.end_day - max(self.first_day, on)).days)
        return self.nitrogen_g * ahead_days / (self.end_day - self.first_day).days


class ChoreMark(models.Model):
    """A chore of one day that somebody has done or put off to later that day."""

    class Mark(models.TextChoices):
        DONE = "done", "Done"
        LATER = "later", "Later"

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="chore_marks")
    on = models.DateField()
    chore = models.CharField(max_length=80)
    mark = models.CharField(max_length=8, choices=Mark.choices)
    marked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    marked_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["garden", "on", "chore"], name="chore_marked_once"),
        ]

    def __str__(self) -> str:
        return f"{self.chore} {self.mark} on {self.on}"
