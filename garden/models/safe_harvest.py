"""What a garden sets about safe harvests: its waits after birds, and its frosts."""

from datetime import date, timedelta

from django.core.validators import MaxValueValidator
from django.db import models
from django.utils.translation import gettext_lazy

from garden.frost import Frosts
from garden.harvest_interval import LONGEST_WAIT_DAYS, HarvestRule
from garden.harvest_standards import Standard, StandardWords, standard_of, words_of


class SafeHarvest(models.Model):
    """The part of a garden's rules that says when a bed is safe to eat from. Waits are days."""

    mixed_in = models.BooleanField(
        gettext_lazy("droppings are mixed in the day the pen leaves"), default=True
    )
    harvest_days_touches = models.PositiveSmallIntegerField(
        gettext_lazy("wait for crops that touch or are splashed by soil"),
        default=120,
        validators=[MaxValueValidator(LONGEST_WAIT_DAYS)],
    )
    harvest_days_clear = models.PositiveSmallIntegerField(
        gettext_lazy("wait for crops held clear of the soil"),
        default=90,
        validators=[MaxValueValidator(LONGEST_WAIT_DAYS)],
    )
    harvest_days_cooked = models.PositiveSmallIntegerField(
        gettext_lazy("wait for crops never eaten raw"),
        null=True,
        blank=True,
        validators=[MaxValueValidator(LONGEST_WAIT_DAYS)],
    )
    last_frost = models.CharField(
        gettext_lazy("average last frost of spring"), max_length=5, blank=True
    )
    first_frost = models.CharField(
        gettext_lazy("average first frost of autumn"), max_length=5, blank=True
    )

    class Meta:
        abstract = True

    def harvest_rule(self) -> HarvestRule:
        """Return the garden's waits between birds and harvest."""
        return self._waits(later=0)

    def bird_day_rule(self) -> HarvestRule:
        """Return the waits counted from the last day with birds, as windows need them.

        Where droppings are mixed in the day after, the rule's own count starts a day later.
        """
        return self._waits(later=1 if self.mixed_in else 0)

    def _waits(self, *, later: int) -> HarvestRule:
        cooked = self.harvest_days_cooked
        return HarvestRule(
            days_clear=self.harvest_days_clear + later,
            days_touches=self.harvest_days_touches + later,
            days_cooked=None if cooked is None else cooked + later,
        )

    @property
    def longest_wait_days(self) -> int:
        """Return the longest of the waits. [days]"""
        return max(self.harvest_days_touches, self.harvest_days_cooked or 0)

    @property
    def harvest_standard(self) -> Standard:
        """Return whose waits the garden keeps, as its days show."""
        return standard_of(self.harvest_rule())

    @property
    def harvest_words(self) -> StandardWords:
        """Return what a page says of the garden's waits."""
        return words_of(self.harvest_rule())

    def interval_starts_on(self, end_day: date) -> date:
        """Return the day that the harvest interval counts from after a stay that ended on `end_day`.

        That is the last day with birds, or the day they left where droppings are then mixed in: the rule
        counts from mixing (7 CFR 205.203(c)(1)).
        """
        return end_day if self.mixed_in else end_day - timedelta(days=1)

    @property
    def frosts(self) -> Frosts | None:
        """Return the garden's frosts, or None where nobody has set both."""
        if self.last_frost and self.first_frost:
            return Frosts(self.last_frost, self.first_frost)
        return None
