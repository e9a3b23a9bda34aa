"""Where pens will stand: the plans, and the stays each of them is made of."""

from datetime import date

from django.db import models
from django.db.models import F, Q

from garden.models import Bed, Garden
from garden.words import gettext as _
from rotation.models.stays import Ground, GroundQuerySet

BY_HAND = "by hand"
"""Begins the reason of a plan that the grower made out of the one before."""


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
    def because_words(self) -> str:
        """Say why it was made, in the reader's language where the reason is the planner's own."""
        if self.is_by_hand and self.because != BY_HAND:
            return _("by hand, {what}").format(what=self.because.removeprefix(f"{BY_HAND}, "))
        return _(self.because)

    @property
    def is_by_hand(self) -> bool:
        """Whether the grower made it, so that nobody has looked for a better one."""
        return self.because.startswith(BY_HAND)

    @property
    def gap(self) -> float:
        """Return how far the cost may be from the best, as a share of the cost."""
        return (self.cost - self.lower_bound) / max(abs(self.cost), 1.0)


class PlannedStay(Ground):
    """A future stay, or, without a bed, days off the beds with the reasons."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="stays")
    # Unlike an actual stay, it does not hold a bed whose adding is taken back: the plan is mended after.
    bed = models.ForeignKey(
        Bed, null=True, blank=True, on_delete=models.CASCADE, related_name="plannedstays"
    )
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
