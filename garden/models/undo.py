"""What a person did in the last minutes, kept so that it can be taken back."""

from typing import Self

from django.apps import apps
from django.conf import settings
from django.db import models

from garden.clock import now
from garden.models.people import Garden


class UndoStepQuerySet(models.QuerySet["UndoStep"]):
    """Undo steps by who may still use them."""

    def open_for(self, garden: Garden, user: object) -> Self:
        """Keep what `user` can still take back in `garden`, newest first."""
        return self.filter(garden=garden, user=user, undone_at=None, expires_at__gt=now()).order_by(
            "-pk"
        )


class UndoStep(models.Model):
    """One action with the rows as they were before it and after it.

    `rows` is a list of ``{"model", "pk", "before", "after"}``; `before` is None for a row the action made,
    `after` is None for one it removed. Otherwise both are the row's fields as JSON.
    """

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="+")
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    """Who did it; nobody any more where the account was deleted since."""
    said = models.CharField(max_length=200)
    rows = models.JSONField()
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    undone_at = models.DateTimeField(null=True, blank=True)

    objects = UndoStepQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["garden", "user", "-made_at"], name="undo_newest")]

    def __str__(self) -> str:
        return self.said

    @property
    def takes_owner(self) -> bool:
        """Whether it touched what only an owner may change."""
        return any(getattr(apps.get_model(row["model"]), "takes_owner", False) for row in self.rows)
