"""Planning that goes on behind the pages: one row for each time it was asked for."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from garden.models import Garden
from garden.words import gettext as _
from rotation.models.plans import Plan


class PlanRunQuerySet(models.QuerySet):
    """Searches for a plan."""

    def unfinished(self) -> Self:
        """Keep those that wait or are under way."""
        return self.filter(finished_at=None)


class PlanRun(models.Model):
    """One search for a plan, waiting, under way or finished; a garden has one unfinished at most.

    A worker claims it by writing its own name and keeps saying that it lives; one that has fallen silent loses
    it to another. `asked_again` says that the garden changed while the search went on.
    """

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="plan_runs")
    because = models.CharField(max_length=200)
    anew = models.BooleanField(default=False)
    """Plan even where what was told still holds."""
    seconds_allowed = models.FloatField()
    seconds_spent = models.FloatField(default=0.0, db_default=0.0)
    """What earlier slices of the longer search have used of them."""
    task_id = models.UUIDField(null=True)
    """The task by which the queue carries it."""
    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    asked_again = models.BooleanField(default=False)
    stop_asked = models.BooleanField(default=False)
    claimed_by = models.CharField(max_length=64, blank=True)
    alive_at = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    cost = models.FloatField(null=True)
    lower_bound = models.FloatField(null=True)
    finished_at = models.DateTimeField(null=True)
    plan = models.ForeignKey(Plan, null=True, on_delete=models.SET_NULL, related_name="+")
    """What the run has saved so far; a better one found later stands in its place."""
    fault = models.CharField(max_length=200, blank=True)

    is_worked_out = True
    """Nobody entered it, so it goes with the garden whose making is taken back."""

    objects = PlanRunQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden"], condition=Q(finished_at=None), name="plan_run_unfinished_once"
            ),
        ]

    @property
    def because_words(self) -> str:
        """Say why it is asked for, in the reader's language where the reason is the planner's own."""
        return _(self.because)

    def __str__(self) -> str:
        return f"planning {self.garden}: {self.because}"


class PlanWorker(models.Model):
    """A process that plans behind the pages, and when it last said that it lives."""

    name = models.CharField(max_length=64, unique=True)
    alive_at = models.DateTimeField()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name
