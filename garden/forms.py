"""What every form shares: quantities in the garden's units, native date fields, errors beside the field."""

from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.forms.renderers import TemplatesSetting
from django.utils.functional import keep_lazy_text

from garden.coordinates import place_words, read_place
from garden.frost import month_day_words, read_month_day
from garden.models import Garden
from garden.units import Measure, System
from garden.words import gettext as _

MOST_DIGITS = 18
"""Digits that a row's id can have: the databases count to 9.2 × 10^18."""


class PageRenderer(TemplatesSetting):
    """Forms drawn by the project's own templates."""

    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"


class QuantityField(forms.CharField):
    """A quantity typed in any unit, held in SI; `system` says what a plain number means.

    `least` and `most` are the limits in SI; who oversteps one is told it in the garden's own units.
    """

    def __init__(
        self,
        measure: Measure,
        *,
        least: float | None = None,
        most: float | None = None,
        **kwargs: Any,
    ) -> None:
        self.measure, self.least, self.most = measure, least, most
        self.system: System = "metric"
        # No input type but text reads 44 1/4", and the decimal keyboard has no quote mark.
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off"}))
        super().__init__(**kwargs)

    def use_units_of(self, garden: Garden) -> None:
        """Take plain numbers in the garden's unit and say so in the label."""
        self.system = garden.unit_system
        self.label = f"{self.label} ({self.measure.unit(self.system)})"

    def prepare_value(self, value: Any) -> Any:
        """Write an SI value; leave what somebody typed as it was typed."""
        return self.measure.entry(value, self.system) if isinstance(value, int | float) else value

    def to_python(self, value: Any) -> float | None:
        """Read typed text into SI."""
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        try:
            return self.measure.read(text, self.system)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def validate(self, value: float | None) -> None:
        """Refuse what is missing or beyond a limit."""
        super().validate(value)
        if value is not None and self.least is not None and value < self.least:
            limit = self.measure.show(self.least, self.system)
            raise forms.ValidationError(
                _("Give {noun} of at least {limit}.").format(noun=_(self.measure.noun), limit=limit)
            )
        if value is not None and self.most is not None and value > self.most:
            limit = self.measure.show(self.most, self.system)
            raise forms.ValidationError(
                _("Give {noun} of at most {limit}.").format(noun=_(self.measure.noun), limit=limit)
            )

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Compare what was shown for the initial value, read back, with what was typed."""
        if isinstance(initial, int | float):
            initial = self.to_python(self.prepare_value(initial))
        return super().has_changed(initial, data)


class NumberField(forms.FloatField):
    """A number of no unit that the garden could choose; 170 is written 170, not 170.0."""

    def prepare_value(self, value: Any) -> Any:
        """Write a stored number without idle decimals."""
        return f"{value:.10g}" if isinstance(value, float) else value


class DayField(forms.DateField):
    """A day, picked by the browser's own calendar."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(widget=widget, input_formats=["%Y-%m-%d"], **kwargs)


class MonthDayField(forms.CharField):
    """A day of the year such as ``20 April``, held as ``04-20``."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(widget=forms.TextInput(attrs={"autocomplete": "off"}), **kwargs)

    def prepare_value(self, value: Any) -> Any:
        """Write a stored day in words; leave what somebody typed as it was typed."""
        try:
            return month_day_words(read_month_day(value)) if value else value
        except ValueError:
            return value

    def to_python(self, value: Any) -> str:
        """Read typed text."""
        text = super().to_python(value)
        try:
            return read_month_day(text) if text else ""
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Compare the days, however they were written."""
        try:
            return self.to_python(initial) != self.to_python(data)
        except forms.ValidationError:
            return True


class PlaceField(forms.CharField):
    """A place on the globe such as ``52.21, 0.12``, held as latitude and longitude [°]."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(widget=forms.TextInput(attrs={"autocomplete": "off"}), **kwargs)

    def prepare_value(self, value: Any) -> Any:
        """Write a stored place; leave what somebody typed as it was typed."""
        return place_words(*value) if isinstance(value, tuple) else value

    def to_python(self, value: Any) -> tuple[float, float] | None:
        """Read typed text."""
        text = super().to_python(value)
        try:
            return read_place(text) if text else None
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Compare the places, however they were written."""
        try:
            return initial != self.to_python(data)
        except forms.ValidationError:
            return True


class RowsField(forms.ModelMultipleChoiceField):
    """Several rows by their ids."""

    def clean(self, value: Any) -> Any:
        """Refuse ids longer than any row's, which no database would look for."""
        for key in value or ():
            if len(str(key)) > MOST_DIGITS:
                raise self._no_choice(key)
        return super().clean(value)

    def _no_choice(self, key: Any) -> forms.ValidationError:
        told = self.error_messages["invalid_choice"]
        return forms.ValidationError(told, code="invalid_choice", params={"value": str(key)[:20]})


DJANGOS_EMPTY_LABEL = forms.ModelChoiceField(None).empty_label
"""A row of dashes, which says nothing."""


class GardenForm:
    """Mixed into a form about one garden: quantities use its units, choices are its rows only.

    Keyword argument `garden` is taken before the form's own. Call it first in the bases.
    """

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        self.garden = garden
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, QuantityField):
                field.use_units_of(garden)
            if getattr(field, "empty_label", None) == DJANGOS_EMPTY_LABEL:
                field.empty_label = _("Choose one") if field.required else _("None")

    def clean(self) -> dict[str, Any]:
        """Keep a quantity that nobody changed as it is stored, not as it was rounded to be shown."""
        cleaned = super().clean()
        for name in cleaned.keys() - {*self.changed_data}:
            stored = self.get_initial_for_field(self.fields[name], name)
            if isinstance(self.fields[name], QuantityField) and isinstance(stored, int | float):
                cleaned[name] = stored
        return cleaned


def quantity(model_field: Any, measure: Measure, **kwargs: Any) -> QuantityField:
    """Return a `QuantityField` with the label, help and limits of a model's field."""
    options = {
        "label": _capitalised(model_field.verbose_name),
        "help_text": model_field.help_text,
        "required": not model_field.blank,
        "least": _limit(model_field, MinValueValidator),
        "most": _limit(model_field, MaxValueValidator),
    }
    return QuantityField(measure, **(options | kwargs))


@keep_lazy_text
def _capitalised(name: str) -> str:
    return name.capitalize()


def _limit(model_field: Any, kind: type[MinValueValidator | MaxValueValidator]) -> float | None:
    limits = [check.limit_value for check in model_field.validators if type(check) is kind]
    return limits[0] if limits else None
