"""Medicines given to a batch, and who has set a withdrawal time aside, when and why."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy

from flocks.models.batches import MOST_CHICKS
from flocks.models.garden_records import BatchLine
from flocks.withdrawal import Course

LONGEST_WITHDRAWAL_DAYS = 365
"""Longest wait that can be entered [day]. A choice."""


class Treatment(BatchLine):
    """A medicine, a vaccine or medicated feed; `on` is the first day it was given.

    It holds for the whole batch, whichever birds got it: a dosed bird looks like any other.
    """

    class Kind(models.TextChoices):
        MEDICINE = "medicine", gettext_lazy("Medicine")
        VACCINE = "vaccine", gettext_lazy("Vaccine")
        FEED = "feed", gettext_lazy("Medicated feed")
        OTHER = "other", gettext_lazy("Something else")

    kind = models.CharField(
        gettext_lazy("what it is"), max_length=10, choices=Kind.choices, default=Kind.MEDICINE
    )
    name = models.CharField(gettext_lazy("name on the label"), max_length=80)
    last_on = models.DateField(gettext_lazy("last day given"))
    withdrawal_days = models.PositiveSmallIntegerField(
        gettext_lazy("withdrawal time for meat, days"),
        validators=[MinValueValidator(0), MaxValueValidator(LONGEST_WITHDRAWAL_DAYS)],
    )
    birds = models.PositiveIntegerField(
        gettext_lazy("birds treated"),
        null=True,
        blank=True,
        validators=[MaxValueValidator(MOST_CHICKS)],
    )
    dose = models.CharField(gettext_lazy("dose and way"), max_length=80, blank=True)
    reason = models.CharField(gettext_lazy("given for"), max_length=80, blank=True)
    prescribed_by = models.CharField(
        gettext_lazy("prescribed or advised by"), max_length=80, blank=True
    )
    product_lot = models.CharField(gettext_lazy("lot on the label"), max_length=40, blank=True)

    class Meta(BatchLine.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(last_on__gte=models.F("on")),
                name="treatment_days_in_order",
                violation_error_message=gettext_lazy(
                    "The last day must not come before the first."
                ),
            )
        ]

    def __str__(self) -> str:
        return f"{self.name} to {self.last_on}"

    @property
    def course(self) -> Course:
        """Return it as far as the wait goes."""
        return Course(self.name, self.on, self.last_on, self.withdrawal_days)


class WithdrawalOverride(BatchLine):
    """A withdrawal time set aside for processing on the day `on`, by whom and why. Nothing removes it.

    It covers one treatment as it then stood: a wait that is made longer afterwards is not covered.
    """

    treatment = models.ForeignKey(Treatment, null=True, on_delete=models.SET_NULL, related_name="+")
    told = models.CharField(gettext_lazy("withdrawal time"), max_length=200)
    free_on = models.DateField(gettext_lazy("free on"))
    why = models.CharField(max_length=300)

    def __str__(self) -> str:
        return f"{self.on}, although {self.told}"
