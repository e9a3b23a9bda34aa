"""What is known of a garden that came out of an archive."""

from django.db import models

from garden.models import Garden


class BroughtIn(models.Model):
    """When a garden was read in, and who had signed its rows where it came from.

    `signed` maps ``flocks.weighing:12:logged_by`` to the name of somebody who is not known here, so that the
    garden's next archive still tells it.
    """

    garden = models.OneToOneField(Garden, on_delete=models.CASCADE, related_name="brought_in")
    archive_made_at = models.CharField(max_length=40, blank=True)
    brought_at = models.DateTimeField(auto_now_add=True)
    signed = models.JSONField(default=dict)

    stays_behind = True
    """The archive of the garden tells all of it."""
    is_worked_out = True

    def __str__(self) -> str:
        return f"{self.garden} brought in"
