"""What those who ask want to see beside the batches' own records: arrivals, feed lots, cleaning, visitors; and
who does the chores."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy

from flocks.models.batches import MOST_CHICKS
from flocks.models.feed_store import FeedProduct
from flocks.models.garden_records import BatchLine, GardenLine
from pens.models import Pen


class Arrival(BatchLine):
    """Chicks that came: from whom, how many, and what was paid for all of them."""

    count = models.PositiveIntegerField(
        gettext_lazy("chicks that came"),
        validators=[MinValueValidator(1), MaxValueValidator(MOST_CHICKS)],
    )
    dead_on_arrival = models.PositiveIntegerField(
        default=0, blank=True, validators=[MaxValueValidator(MOST_CHICKS)]
    )
    source = models.CharField(gettext_lazy("from"), max_length=120)
    price = models.DecimalField(
        gettext_lazy("paid for all"),
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )

    def __str__(self) -> str:
        return f"{self.count} chicks on {self.on}"


class FeedLot(GardenLine):
    """The lot of a feed that was opened on a day."""

    product = models.ForeignKey(
        FeedProduct, null=True, blank=True, on_delete=models.SET_NULL, verbose_name="feed"
    )
    number = models.CharField(gettext_lazy("lot on the bag"), max_length=60)
    best_before = models.DateField(null=True, blank=True)

    def __str__(self) -> str:
        return f"Lot {self.number}"


class Cleaning(GardenLine):
    """Something cleaned, and how."""

    class What(models.TextChoices):
        BROODER = "brooder", gettext_lazy("Brooder")
        PEN = "pen", gettext_lazy("Pen")
        FEEDERS = "feeders", gettext_lazy("Feeders and drinkers")
        TOOLS = "tools", gettext_lazy("Tools and processing table")
        STORE = "store", gettext_lazy("Feed store or freezer")

    what = models.CharField(max_length=10, choices=What.choices, default=What.PEN)
    pen = models.ForeignKey(Pen, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    how = models.CharField(gettext_lazy("how, and with what"), max_length=160, blank=True)

    def __str__(self) -> str:
        return f"{self.get_what_display()} cleaned on {self.on}"


class Visitor(GardenLine):
    """Somebody who came near the birds."""

    name = models.CharField(max_length=80)
    why = models.CharField(gettext_lazy("for"), max_length=120, blank=True)
    met_birds = models.BooleanField(
        gettext_lazy("has met other birds in the last three days"), default=False
    )

    def __str__(self) -> str:
        return f"{self.name} on {self.on}"


class Turn(GardenLine):
    """Who does the chores on a day."""

    class Part(models.TextChoices):
        DAY = "day", gettext_lazy("All day")
        MORNING = "morning", gettext_lazy("Morning")
        EVENING = "evening", gettext_lazy("Evening")

    part = models.CharField(max_length=8, choices=Part.choices, default=Part.DAY)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+", verbose_name="who"
    )

    class Meta(GardenLine.Meta):
        constraints = [
            models.UniqueConstraint(fields=["garden", "on", "part", "person"], name="turn_once")
        ]

    def __str__(self) -> str:
        return f"{self.get_part_display()} of {self.on}"


class HandOver(GardenLine):
    """A note for whoever comes on a day."""

    text = models.TextField(gettext_lazy("note"), max_length=1000)

    def __str__(self) -> str:
        return self.text[:60]
