"""Where pens stood and stand."""

from datetime import date
from typing import Any, Self

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
    def ground(self) -> dict[str, Any]:
        """Return the pen, its birds and the place, as a row of another kind on the same ground takes them."""
        return {
            "pen": self.pen,
            "batch": self.batch,
            "bed_id": self.bed_id,
            "offset_mm": self.offset_mm,
            "stretch_mm": self.stretch_mm,
        }

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
