"""Which of the day's chores are done."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy

from garden.models import Garden


class ChoreMark(models.Model):
    """A chore of one day that somebody has done, put off to later that day or found not possible."""

    class Mark(models.TextChoices):
        DONE = "done", gettext_lazy("Done")
        LATER = "later", gettext_lazy("Later")
        CANNOT = "cannot", gettext_lazy("Not possible")

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="chore_marks")
    on = models.DateField()
    chore = models.CharField(max_length=80)
    mark = models.CharField(max_length=8, choices=Mark.choices)
    reason = models.CharField(max_length=120, blank=True)
    """Why it was not possible; empty otherwise."""
    marked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    marked_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["garden", "on", "chore"], name="chore_marked_once"),
        ]

    def __str__(self) -> str:
        return f"{self.chore} {self.mark} on {self.on}"
