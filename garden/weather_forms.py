"""Forms about the weather: one day's, and what each month usually brings."""

from datetime import timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from garden.day_words import month_names
from garden.forms import DayField, GardenForm, quantity
from garden.models import DayWeather, Garden, MonthWeather
from garden.models.weather import OUT_OF_ORDER
from garden.units import TEMPERATURE, WIND_SPEED
from garden.words import gettext as _

DAYS_AHEAD = 10
"""How far ahead a day's weather may be entered [day]. Our choice: no forecast says more."""


class DayWeatherForm(GardenForm, forms.ModelForm):
    """What a thermometer or a forecast says of one day; what is left blank stays unknown."""

    on = DayField(label=gettext_lazy("Day"))
    high_c = quantity(DayWeather._meta.get_field("high_c"), TEMPERATURE)
    low_c = quantity(
        DayWeather._meta.get_field("low_c"),
        TEMPERATURE,
        help_text=gettext_lazy("The night before this day’s morning."),
    )
    gust_m_s = quantity(
        DayWeather._meta.get_field("gust_m_s"),
        WIND_SPEED,
        help_text=gettext_lazy("The gust, not the mean wind: forecasts give both."),
    )

    class Meta:
        model = DayWeather
        fields = ("on", "high_c", "low_c", "humidity_percent", "gust_m_s")
        labels = {"humidity_percent": gettext_lazy("Humidity in the warmest hour (%)")}
        help_texts = {"humidity_percent": gettext_lazy("Blank reckons with 50 (our choice).")}

    def clean_on(self) -> Any:
        """Take days from a year back to some days ahead."""
        on, today = self.cleaned_data["on"], self.garden.today()
        if on > today + timedelta(days=DAYS_AHEAD):
            raise forms.ValidationError(
                _("Give a day up to {days} days ahead.").format(days=DAYS_AHEAD)
            )
        if on < today - timedelta(days=366):
            raise forms.ValidationError(_("Give a day of the last year."))
        return on

    def clean(self) -> dict[str, Any]:
        """Ask for something, and for the two temperatures the right way round."""
        cleaned = super().clean()
        figures = ("high_c", "low_c", "humidity_percent", "gust_m_s")
        if not self.errors and all(cleaned.get(name) is None for name in figures):
            self.add_error("high_c", _("Give at least one figure."))
        low_c, high_c = cleaned.get("low_c"), cleaned.get("high_c")
        if low_c is not None and high_c is not None and high_c < low_c:
            self.add_error("high_c", OUT_OF_ORDER)
        return cleaned


class MonthsForm(GardenForm, forms.Form):
    """The garden's own table of twelve months; a month is given whole or left blank."""

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        self.rows = {row.month: row for row in garden.month_weather.all()}
        super().__init__(*args, garden=garden, **kwargs)
        for number, name in enumerate(month_names(), 1):
            row = self.rows.get(number)
            sides = (
                ("low_c", _("{month}, average night")),
                ("high_c", _("{month}, average day")),
            )
            for side, label in sides:
                field = quantity(
                    MonthWeather._meta.get_field(side),
                    TEMPERATURE,
                    label=label.format(month=name),
                    required=False,
                    help_text="",
                )
                field.use_units_of(garden)
                field.initial = getattr(row, side, None)
                self.fields[f"{side}_{number}"] = field

    def months(self) -> list[tuple[str, forms.BoundField, forms.BoundField]]:
        """Return the table's rows: the month's name with its two fields."""
        return [
            (name, self[f"low_c_{number}"], self[f"high_c_{number}"])
            for number, name in enumerate(month_names(), 1)
        ]

    def clean(self) -> dict[str, Any]:
        """See that a month has both figures, the warmer one by day."""
        cleaned = super().clean()
        for number in range(1, 13):
            low, high = f"low_c_{number}", f"high_c_{number}"
            if {low, high} & self.errors.keys():
                continue
            low_c, high_c = cleaned.get(low), cleaned.get(high)
            if (low_c is None) != (high_c is None):
                blank = low if low_c is None else high
                self.add_error(blank, _("Give both figures of a month, or leave both blank."))
            elif low_c is not None and high_c < low_c:
                self.add_error(high, _("The average day cannot be colder than the average night."))
        return cleaned

    def figures(self) -> dict[int, tuple[float, float] | None]:
        """Return night and day of each month of a valid form; None for a month left blank."""
        told = ((n, self.cleaned_data[f"low_c_{n}"]) for n in range(1, 13))
        return {
            n: None if low_c is None else (low_c, self.cleaned_data[f"high_c_{n}"])
            for n, low_c in told
        }
