"""Sizing a season behind the pages: one row for each time it was asked for."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q

from garden.models import Garden


class SizingQuerySet(models.QuerySet):
    """Searches for the batches of a season."""

    def unfinished(self) -> Self:
        """Keep those that wait or are under way."""
        return self.filter(finished_at=None)


class Sizing(models.Model):
    """What was wanted of a season, how far the search is, and what it found.

    A worker claims it as it does a `PlanRun`; a garden has one unfinished at most. `wish` is a
    `rotation.season_limits.Wish`, `result` what `rotation.sizing_rows` writes.
    """

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="sizings")
    wish = models.JSONField()
    seconds_allowed = models.FloatField()
    task_id = models.UUIDField(null=True)
    """The task by which the queue carries it."""
    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    stop_asked = models.BooleanField(default=False)
    claimed_by = models.CharField(max_length=64, blank=True)
    alive_at = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    share_done = models.FloatField(default=0.0)
    doing = models.CharField(max_length=100, blank=True)
    sized_on = models.DateField(null=True)
    result = models.JSONField(default=dict)
    finished_at = models.DateTimeField(null=True)
    fault = models.CharField(max_length=200, blank=True)

    is_worked_out = True
    """What it proposes was entered by nobody, so it goes with the garden whose making is taken back."""

    objects = SizingQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden"], condition=Q(finished_at=None), name="sizing_unfinished_once"
            ),
        ]

    def __str__(self) -> str:
        return f"season of {self.garden}"
