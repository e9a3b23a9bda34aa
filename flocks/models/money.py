"""What the birds cost beside their feed, the hours they took, and how a garden counts its money."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy

from flocks.models.garden_records import BatchLine, GardenLine
from garden.models import Garden


class Cost(GardenLine):
    """Something paid for: for one batch, or for all of them and written off over seasons."""

    class Kind(models.TextChoices):
        CHICKS = "chicks", gettext_lazy("Chicks")
        BEDDING = "bedding", gettext_lazy("Bedding")
        POWER = "power", gettext_lazy("Power")
        BUILDING = "building", gettext_lazy("Wood, wire and cover")
        GEAR = "gear", gettext_lazy("Feeders, drinkers, tools")
        MEDICINE = "medicine", gettext_lazy("Vet and medicine")
        PROCESSING = "processing", gettext_lazy("Processing, ice and bags")
        OTHER = "other", gettext_lazy("Something else")

    kind = models.CharField(
        gettext_lazy("for"), max_length=10, choices=Kind.choices, default=Kind.BEDDING
    )
    amount = models.DecimalField(
        max_digits=10, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))]
    )
    seasons = models.PositiveSmallIntegerField(
        gettext_lazy("written off over seasons"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(30)],
    )
    what = models.CharField(max_length=80, blank=True)

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.amount}"


class Hours(BatchLine):
    """Time somebody spent on a batch."""

    hours = models.DecimalField(
        max_digits=6,
        decimal_places=2,
        validators=[MinValueValidator(Decimal("0.01")), MaxValueValidator(Decimal(1000))],
    )
    what = models.CharField(gettext_lazy("doing what"), max_length=80, blank=True)

    def __str__(self) -> str:
        return f"{self.hours} h on {self.on}"


class HouseRules(models.Model):
    """How a garden counts its money and who eats from its freezer."""

    garden = models.OneToOneField(Garden, on_delete=models.CASCADE, related_name="house_rules")
    currency = models.CharField(
        max_length=3,
        blank=True,
        validators=[
            RegexValidator(r"^[A-Z]{3}$", gettext_lazy("Three letters, such as EUR, GBP or USD."))
        ],
    )
    hour_rate = models.DecimalField(
        gettext_lazy("what an hour of work counts for"),
        max_digits=7,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0))],
    )
    eaters = models.PositiveSmallIntegerField(
        gettext_lazy("people who eat from it"),
        default=2,
        validators=[MinValueValidator(1), MaxValueValidator(500)],
    )
    households = models.PositiveSmallIntegerField(
        gettext_lazy("households that share it"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(200)],
    )
    freezer_l = models.FloatField(
        gettext_lazy("room in the freezer, litres"),
        default=200.0,
        validators=[MinValueValidator(1), MaxValueValidator(100_000)],
    )

    class Meta:
        verbose_name_plural = gettext_lazy("house rules")

    def __str__(self) -> str:
        return f"How {self.garden_id} counts"
