"""Changes that somebody thinks of, with the plan that they would make."""

from typing import Self

from django.conf import settings
from django.db import models

from garden.models import Garden


class WhatIfQuerySet(models.QuerySet):
    """What-ifs of one garden."""

    def of(self, garden: Garden) -> Self:
        """Keep a garden's, with who made them."""
        return self.filter(garden=garden).select_related("made_by")


class WhatIf(models.Model):
    """A list of changes as `rotation.change_kinds` reads it, and the last plan worked out with them.

    `result` is empty until the plan was worked out. What rests on the facts of a day is told by it, and it is
    worked out anew when they have changed.
    """

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="what_ifs")
    name = models.CharField(max_length=80)
    changes = models.JSONField(default=list)
    result = models.JSONField(default=dict)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    objects = WhatIfQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.name
