"""What the form of a processing asks of the carcasses."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from flocks.models import Processing
from garden.forms import quantity
from garden.units import FEED_MASS, TEMPERATURE
from garden.words import gettext as _

CARCASS_FIELDS = (
    "condemned", "giblets_kg", "began_at", "ended_at", "chilled_at", "scald_c", "core_c",
)  # fmt: skip


class ClockField(forms.TimeField):
    """A time of day, picked by the browser's own clock."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.TimeInput(format="%H:%M", attrs={"type": "time"})
        super().__init__(widget=widget, input_formats=["%H:%M", "%H:%M:%S"], **kwargs)


def _field(name: str) -> Any:
    return Processing._meta.get_field(name)


class CarcassFields(forms.Form):
    """Mixed into the form of a processing."""

    giblets_kg = quantity(
        _field("giblets_kg"), FEED_MASS, help_text=gettext_lazy("Livers, hearts, gizzards.")
    )
    began_at = ClockField(label=gettext_lazy("First bird at"), required=False)
    ended_at = ClockField(label=gettext_lazy("Last bird in the ice at"), required=False)
    chilled_at = ClockField(
        label=gettext_lazy("Cold at"),
        required=False,
        help_text=gettext_lazy("The time at which the last one was at 4 °C, or 40 °F."),
    )
    scald_c = quantity(_field("scald_c"), TEMPERATURE, label=gettext_lazy("Scalding water"))
    core_c = quantity(
        _field("core_c"), TEMPERATURE, label=gettext_lazy("Thickest breast, when cold")
    )

    def check_carcasses(self, values: dict[str, Any]) -> None:
        """Refuse more condemned carcasses than birds, and an end before the beginning."""
        if values.get("condemned") is None:
            values["condemned"] = 0
        if values.get("count") and values["condemned"] > values["count"]:
            self.add_error("condemned", _("That is more than were processed."))
        began, ended = values.get("began_at"), values.get("ended_at")
        if began and ended and ended < began:
            self.add_error("ended_at", _("The last bird comes after the first."))
