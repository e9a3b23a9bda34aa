"""A garden's tables or archive, made behind the pages: one row for each time it was asked for."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from garden.models import Garden


class ExportQuerySet(models.QuerySet):
    """Files asked for."""

    def unfinished(self) -> Self:
        """Keep those that wait or are being made."""
        return self.filter(finished_at=None)


class Export(models.Model):
    """One file that somebody wants of a garden, how far it is, and, once made, what is in it.

    The file lies in the database, because that is what web servers and workers on several machines share.
    """

    class Kind(models.TextChoices):
        TABLES = "tables", gettext_lazy("all tables")
        ARCHIVE = "archive", gettext_lazy("the archive")

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="exports")
    kind = models.CharField(max_length=10, choices=Kind)
    asked_at = models.DateTimeField(auto_now_add=True)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="+"
    )
    task_id = models.UUIDField(null=True)
    """The task by which the queue carries it."""
    claimed_by = models.CharField(max_length=64, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    share_done = models.FloatField(default=0.0)
    finished_at = models.DateTimeField(null=True)
    fault = models.CharField(max_length=200, blank=True)
    size = models.PositiveBigIntegerField(default=0)
    content = models.BinaryField(null=True)

    is_worked_out = True
    """Nobody entered it, so it goes with the garden whose making is taken back."""

    objects = ExportQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "kind"],
                condition=Q(finished_at=None),
                name="export_unfinished_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} of {self.garden_id}"
