"""The language that a person reads."""

from django.conf import settings
from django.db import models


class Reader(models.Model):
    """What language letters, calendar and pages of one person are in, on whatever device."""

    stays_behind = True
    """It is a person's, not the garden's: no archive carries it."""

    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+"
    )
    language = models.CharField(max_length=10)

    def __str__(self) -> str:
        return f"{self.user_id} reads {self.language}"
