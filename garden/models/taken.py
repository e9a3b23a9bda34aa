"""What was sent from a phone's outbox, so that nothing is taken twice."""

from django.conf import settings
from django.db import models


class TakenEntry(models.Model):
    """An entry that was taken, under the random key it was given on the phone, with the answer it got."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    key = models.UUIDField()
    answer = models.JSONField(default=dict)
    taken_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name_plural = "taken entries"
        constraints = [
            models.UniqueConstraint(fields=["user", "key"], name="entry_taken_once"),
        ]

    def __str__(self) -> str:
        return f"{self.key} of {self.user_id}"
