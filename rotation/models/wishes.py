"""What the grower has decided for the planner: stays that must be so, and beds that are not to be had."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from garden.models import Bed, Garden
from rotation.ground_days import Closed
from rotation.models.stays import Ground, GroundQuerySet


class PinnedStayQuerySet(GroundQuerySet):
    """Stays that the grower has fixed."""

    def of(self, garden: Garden) -> Self:
        """Keep the pins of a garden's pens."""
        return self.filter(pen__garden=garden)


class PinnedStay(Ground):
    """A future stay that the grower has fixed: every plan has it just so, or says which rule it breaks."""

    end_day = models.DateField()
    set_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    set_at = models.DateTimeField(auto_now_add=True)

    objects = PinnedStayQuerySet.as_manager()

    class Meta:
        ordering = ["first_day", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["pen", "first_day"], name="pinned_stay_begins_once"),
            models.CheckConstraint(
                condition=Q(end_day__gt=F("first_day")), name="pinned_stay_lasts"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.pen} fixed to {self.bed} from {self.first_day}"


class ClosureQuerySet(models.QuerySet):
    """Times at which beds take no pen."""

    def of(self, garden: Garden) -> Self:
        """Keep the closures of a garden's beds."""
        return self.filter(bed__garden=garden)


class Closure(models.Model):
    """Days `[first_day, end_day)` on which a bed takes no pen, though its crops and rest would let it."""

    bed = models.ForeignKey(Bed, on_delete=models.CASCADE, related_name="closures")
    first_day = models.DateField()
    end_day = models.DateField()
    why = models.CharField(max_length=120, blank=True)
    set_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    set_at = models.DateTimeField(auto_now_add=True)

    objects = ClosureQuerySet.as_manager()

    class Meta:
        ordering = ["first_day", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(end_day__gt=F("first_day")), name="closure_lasts"),
        ]

    @property
    def dates(self) -> Closed:
        """The row as the planner and the drawings take it."""
        return Closed(self.first_day, self.end_day, self.why)

    def __str__(self) -> str:
        return f"{self.bed} not to be had from {self.first_day}"
