"""What a garden pays, what lies in its shed, and what of a design's buying list is in the trolley."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from garden.models import Garden
from pens.models.designs import Design


class Price(models.Model):
    """What one of something costs where this garden buys, in its own money; `key` is a buying line's."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="prices")
    key = models.CharField(max_length=80)
    amount = models.DecimalField(max_digits=9, decimal_places=4, validators=[MinValueValidator(0)])

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["garden", "key"], name="price_key_once"),
            models.CheckConstraint(condition=Q(amount__gte=0), name="price_not_below_zero"),
        ]

    def __str__(self) -> str:
        return f"{self.key}: {self.amount}"


class ShedItem(models.Model):
    """Something that lies in the shed: boards and offcuts by wood and length, the rest by its key."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="shed")
    key = models.CharField(gettext_lazy("what it is"), max_length=80)
    length_mm = models.FloatField(
        gettext_lazy("length"),
        default=0,
        validators=[MinValueValidator(0), MaxValueValidator(20_000)],
    )
    count = models.PositiveSmallIntegerField(
        gettext_lazy("how many"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(10_000)],
    )

    class Meta:
        ordering = ["key", "-length_mm", "pk"]

    def __str__(self) -> str:
        return f"{self.count} × {self.key}"


class Got(models.Model):
    """A line of a design's buying list that is in the trolley; who ticked it and when."""

    design = models.ForeignKey(Design, on_delete=models.CASCADE, related_name="got")
    key = models.CharField(max_length=80)
    ticked_at = models.DateTimeField(auto_now_add=True)
    ticked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        constraints = [models.UniqueConstraint(fields=["design", "key"], name="got_key_once")]

    def __str__(self) -> str:
        return self.key
