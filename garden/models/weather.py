"""The weather as its grower knows it: a day's, entered by hand, or what a month usually brings."""

from datetime import date
from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from garden.models.people import Garden

COLDEST_C, HOTTEST_C = -60, 60
"""No thermometer of a garden has shown less or more [°C]. Our choice of limits."""
LIMITS_C = [MinValueValidator(COLDEST_C), MaxValueValidator(HOTTEST_C)]
OUT_OF_ORDER = gettext_lazy(
    "The warmest of the day cannot be colder than the coldest of the night."
)


class DayWeatherQuerySet(models.QuerySet["DayWeather"]):
    """Days of one garden."""

    def between(self, first_day: date, end_day: date) -> Self:
        """Keep the days of ``[first_day, end_day)``."""
        return self.filter(on__gte=first_day, on__lt=end_day)


class DayWeather(models.Model):
    """One day's weather, forecast or seen: °C, %, m/s. Blank is what nobody knows."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="day_weather")
    on = models.DateField(gettext_lazy("day"))
    low_c = models.FloatField(
        gettext_lazy("coldest of the night"), null=True, blank=True, validators=[*LIMITS_C]
    )
    high_c = models.FloatField(
        gettext_lazy("warmest of the day"), null=True, blank=True, validators=[*LIMITS_C]
    )
    humidity_percent = models.PositiveSmallIntegerField(
        gettext_lazy("humidity in the warmest hour"),
        null=True,
        blank=True,
        validators=[MaxValueValidator(100)],
    )
    gust_m_s = models.FloatField(
        gettext_lazy("strongest gust"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    logged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )

    objects = DayWeatherQuerySet.as_manager()

    class Meta:
        ordering = ["on"]
        constraints = [
            models.UniqueConstraint(fields=["garden", "on"], name="day_weather_once"),
            models.CheckConstraint(
                condition=Q(low_c=None) | Q(high_c=None) | Q(high_c__gte=F("low_c")),
                name="day_weather_in_order",
                violation_error_message=OUT_OF_ORDER,
            ),
        ]

    def __str__(self) -> str:
        return f"weather of {self.on}"


class MonthWeather(models.Model):
    """What a month usually brings: its average night's low and day's high [°C]."""

    takes_owner = True
    """Only an owner may change it, or take a change of it back."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="month_weather")
    month = models.PositiveSmallIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(12)]
    )
    low_c = models.FloatField(gettext_lazy("average night"), validators=[*LIMITS_C])
    high_c = models.FloatField(gettext_lazy("average day"), validators=[*LIMITS_C])

    class Meta:
        ordering = ["month"]
        constraints = [
            models.UniqueConstraint(fields=["garden", "month"], name="month_weather_once"),
            models.CheckConstraint(
                condition=Q(high_c__gte=F("low_c")),
                name="month_weather_in_order",
                violation_error_message=OUT_OF_ORDER,
            ),
        ]

    def __str__(self) -> str:
        return f"month {self.month}"
