"""Writing the weather down: a day's, once for each day, and the table of months."""

from collections.abc import Mapping
from typing import Any

from garden.models import DayWeather, Garden, MonthWeather
from garden.undo import undoable
from garden.words import gettext as _


def day_weather_log(*, garden: Garden, user: Any, row: DayWeather, said: str) -> DayWeather:
    """Save a day's weather, in place of what was entered for that day before."""
    with undoable(garden, user, said) as step:
        # Two people may enter the same day at once: they take turns.
        Garden.objects.select_for_update().get(pk=garden.pk)
        before = garden.day_weather.filter(on=row.on).first()
        row.garden, row.logged_by = garden, user
        if before is None:
            row.save()
            step.made(row)
        else:
            step.changing(before)
            row.pk = before.pk
            row.save(force_update=True)
    return row


def month_weather_set(
    *, garden: Garden, user: Any, figures: Mapping[int, tuple[float, float] | None]
) -> None:
    """Make the garden's table of months what `figures` says: night and day, None for a blank month."""
    with undoable(garden, user, _("Usual weather changed")) as step:
        Garden.objects.select_for_update().get(pk=garden.pk)
        rows = {row.month: row for row in garden.month_weather.all()}
        for month, pair in figures.items():
            row = rows.get(month)
            if pair is None:
                if row is not None:
                    step.removing(row)
                    row.delete()
            elif row is None:
                step.made(
                    MonthWeather.objects.create(
                        garden=garden, month=month, low_c=pair[0], high_c=pair[1]
                    )
                )
            elif (row.low_c, row.high_c) != pair:
                step.changing(row)
                row.low_c, row.high_c = pair
                row.save()
