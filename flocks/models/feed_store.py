"""The feed store: what is on sale nearby, what was bought, and what was counted in the store."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy

from flocks.models.records import Record
from garden.models import Garden

USUAL_KEEPS_DAYS = 42
"""Days that a bag is taken to keep [day]: six weeks, the longer end of what small keepers are told to buy for
(2-6 weeks, mill and hatchery pages); unopened, cool and dry it may be six months, without preservative one."""
USUAL_TRIP_COST = Decimal(5)
"""What a trip to the shop counts for until the garden says [its money]. A choice."""
SATURDAY = "5"


class FeedKind(models.TextChoices):
    """What a feed is for; the phases of a diet, or all of them."""

    ANY = "any", gettext_lazy("All ages")
    STARTER = "starter", gettext_lazy("Starter")
    GROWER = "grower", gettext_lazy("Grower")
    FINISHER = "finisher", gettext_lazy("Finisher")


class FeedProductQuerySet(models.QuerySet["FeedProduct"]):
    """Feeds by whether they are still bought."""

    def in_use(self) -> Self:
        """Keep feeds that are still on the list."""
        return self.filter(retired_on=None)

    def with_store(self) -> Self:
        """Load purchases, counts and the garden's habits too: two queries more for any number."""
        return self.select_related("garden__feed_habits").prefetch_related(
            "feedpurchase_set", "feedcount_set"
        )


class FeedProduct(models.Model):
    """A feed that the grower can buy, by the bag."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="feeds")
    name = models.CharField(max_length=60)
    kind = models.CharField(
        gettext_lazy("for"), max_length=10, choices=FeedKind.choices, default=FeedKind.ANY
    )
    bag_kg = models.FloatField(
        gettext_lazy("a bag holds"), validators=[MinValueValidator(1), MaxValueValidator(1000)]
    )
    price = models.DecimalField(
        gettext_lazy("price of a bag"),
        max_digits=8,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    keeps_days = models.PositiveSmallIntegerField(
        gettext_lazy("days it keeps"),
        default=USUAL_KEEPS_DAYS,
        validators=[MinValueValidator(1), MaxValueValidator(730)],
    )
    retired_on = models.DateField(null=True, blank=True, editable=False)

    objects = FeedProductQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="feed_name_once",
                violation_error_message=gettext_lazy(
                    "This garden already has a feed of that name."
                ),
            )
        ]

    def __str__(self) -> str:
        return self.name


class StoreRecord(Record):
    """A line about one feed in the store."""

    product = models.ForeignKey(FeedProduct, on_delete=models.CASCADE)

    class Meta(Record.Meta):
        abstract = True


class FeedPurchase(StoreRecord):
    """Bags bought on a day."""

    bags = models.PositiveIntegerField(
        gettext_lazy("bags bought"), validators=[MinValueValidator(1), MaxValueValidator(500)]
    )
    price = models.DecimalField(
        gettext_lazy("price of each"),
        max_digits=8,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )

    @property
    def mass_kg(self) -> float:
        """Return how much feed it was [kg]; reads the product."""
        return self.bags * self.product.bag_kg

    def stale_on(self) -> date:
        """Return the first day on which it is too old; reads the product."""
        return self.on + timedelta(days=self.product.keeps_days)

    def __str__(self) -> str:
        return f"{self.bags} bags of {self.product_id} on {self.on}"


class FeedCount(StoreRecord):
    """What is left of a feed, weighed or judged by eye; it stands from then on."""

    mass_kg = models.FloatField(
        gettext_lazy("left in the store"),
        validators=[MinValueValidator(0), MaxValueValidator(50_000)],
    )

    def __str__(self) -> str:
        return f"{self.mass_kg:.1f} kg of {self.product_id} on {self.on}"


class FeedHabits(models.Model):
    """How a garden shops for feed, and what its meat is worth to it."""

    garden = models.OneToOneField(Garden, on_delete=models.CASCADE, related_name="feed_habits")
    trip_cost = models.DecimalField(
        gettext_lazy("cost of a trip to buy feed"),
        max_digits=8,
        decimal_places=2,
        default=USUAL_TRIP_COST,
        validators=[MinValueValidator(Decimal(0))],
    )
    trip_weekdays = models.CharField(max_length=2, default=SATURDAY)
    """Digits of the weekdays on which one may go, Monday being 0."""
    meat_price_per_kg = models.DecimalField(
        gettext_lazy("worth of a kilogram dressed"),
        max_digits=8,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )

    class Meta:
        verbose_name_plural = gettext_lazy("feed habits")

    def __str__(self) -> str:
        return f"How {self.garden_id} shops"

    @property
    def weekdays(self) -> frozenset[int]:
        """Return the weekdays on which one may go, Monday being 0."""
        return frozenset(int(digit) for digit in self.trip_weekdays)
