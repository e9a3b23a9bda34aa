"""The demo garden's place and its usual weather: made up, like the rest, for a mild island climate."""

from garden.models import Garden, MonthWeather

PLACE = (53.35, -6.26)
# Average night and day of each month, °C; in round numbers, for show only.
MONTHS = (
    (2, 8), (2, 8), (3, 10), (5, 13), (7, 16), (10, 18),
    (12, 21), (12, 20), (10, 18), (7, 14), (4, 11), (3, 9),
)  # fmt: skip


def demo_weather_make(garden: Garden) -> None:
    """Give the demo garden its table of months; its place is set by the caller, who saves it."""
    MonthWeather.objects.bulk_create(
        MonthWeather(garden=garden, month=month, low_c=low_c, high_c=high_c)
        for month, (low_c, high_c) in enumerate(MONTHS, 1)
    )
