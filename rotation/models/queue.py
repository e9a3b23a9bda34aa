"""What the workers agree on beside the queue itself: whose turn a regular thing is, and which day is begun."""

from django.db import models

from garden.models import Garden


class Rhythm(models.Model):
    """Something that one of all workers does now and then, and when it is due again."""

    name = models.CharField(max_length=32, unique=True)
    due_at = models.DateTimeField()

    stays_behind = True
    """It is about the processes of one installation."""

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class GardenMorning(models.Model):
    """The newest local day for which a garden's plan was looked at."""

    garden = models.OneToOneField(Garden, on_delete=models.CASCADE, related_name="morning")
    on = models.DateField()

    stays_behind = True
    """It says what the workers of one installation have done."""
    is_worked_out = True
    """Nobody entered it, so it goes with the garden whose making is taken back."""

    def __str__(self) -> str:
        return f"{self.garden_id} on {self.on}"
