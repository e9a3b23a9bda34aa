"""What lines of the garden's own books share: the register, the freezer, money and the rota."""

from django.db import models

from flocks.models.batches import Batch
from flocks.models.records import Record
from garden.models import Garden


class GardenLine(Record):
    """A line of a garden's books, about one batch or about all of it."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="+")
    batch = models.ForeignKey(Batch, null=True, blank=True, on_delete=models.CASCADE)

    class Meta(Record.Meta):
        abstract = True


class BatchLine(Record):
    """A line of a garden's books that is always about one batch."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="+")
    batch = models.ForeignKey(Batch, on_delete=models.CASCADE)

    class Meta(Record.Meta):
        abstract = True
