"""Forms about a garden as a whole: making one, and its rules with what each default rests on."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from garden.crop_units import LOAD
from garden.forms import GardenForm, MonthDayField, PlaceField, quantity
from garden.harvest_standards import RULES, standards
from garden.models import Garden
from garden.time_zones import time_zone_choices
from garden.units import DENSITY, FEED_MASS, PEN_LENGTH
from garden.words import gettext as _
from garden.words import mark

GROUPS = {
    mark("The garden"): ("name", "time_zone", "unit_system", "place"),
    mark("Food safety"): (
        "harvest_standard",
        "harvest_days_touches",
        "harvest_days_clear",
        "harvest_days_cooked",
    ),
    mark("Frosts"): ("last_frost", "first_frost"),
    mark("Nitrogen"): (
        "nitrogen_policy",
        "annual_limit_kg_ha",
        "soil_nitrogen_kg_ha",
        "phosphorus_cap",
        "mixed_in",
        "plan_for",
    ),
    mark("Moving pens"): ("rest_days", "min_stay_days", "max_stay_days", "clearance_mm"),
    mark("Birds and feed"): ("density_limit_kg_m2", "feed_bag_kg"),
}
"""The settings in the order of the page, under their headings."""

HELP = {
    "time_zone": gettext_lazy("Says when a new day begins in the garden."),
    "unit_system": gettext_lazy(
        "How figures are shown. You may type in either: 4 ft 2 in or 127 cm."
    ),
    "place": gettext_lazy(
        "Latitude and longitude as a map gives them, such as 52.21, 0.12. Kept to about a kilometre, for "
        "sunrise and sunset only; blank leaves them out."
    ),
    "harvest_standard": gettext_lazy(
        "From the last bird to the first harvest. The organic rule, 7 CFR 205.203(c)(1), asks "
        "120 days of what touches soil or is splashed by it and 90 of what is held clear; a year is asked of "
        "leafy-greens growers after raw manure (Cornell, National GAPs Program). Stricter local "
        "rules come first."
    ),
    "harvest_days_touches": gettext_lazy(
        "For this garden’s own wait. From the last bird to the first harvest."
    ),
    "harvest_days_clear": gettext_lazy(
        "For fruit that hangs or stands clear, such as staked tomatoes."
    ),
    "harvest_days_cooked": gettext_lazy(
        "Blank waits as for what touches soil. The organic rule makes no exception for "
        "cooking; give a shorter wait only for what your kitchen cooks through."
    ),
    "last_frost": gettext_lazy(
        "Such as 20 April. With both frosts the beds’ pages suggest what to plant after the birds."
    ),
    "first_frost": gettext_lazy(
        "Such as 25 October. Take both from your weather service or from your own notes."
    ),
    "nitrogen_policy": gettext_lazy(
        "A limit per year counts all that the birds drop. What the next crop can use "
        "counts only the part that plants can take up."
    ),
    "annual_limit_kg_ha": gettext_lazy(
        "170 kg/ha is the limit for manure, droppings of grazing "
        "animals included, in Council Directive 91/676/EEC, Annex III. It is 17 g on each square metre, "
        "or 3.5 lb on 1,000 sq ft."
    ),
    "soil_nitrogen_kg_ha": gettext_lazy(
        "Taken off what the next crop needs. Use a soil test; 0 counts nothing (our choice)."
    ),
    "phosphorus_cap": gettext_lazy(
        "Where a bed’s soil test is high, birds may bring no more phosphorus than the next "
        "crop’s harvest takes away; where it is very high, none. Utah State University and Rutgers print "
        "the levels."
    ),
    "mixed_in": gettext_lazy(
        "Raked in the same day, about 80 parts of 100 stay in the bed; left on top, about 60 "
        "(from memory)."
    ),
    "plan_for": gettext_lazy(
        "Birds grow faster or slower than expected, and drop more or less. A careful plan keeps to the "
        "beds’ nitrogen in more seasons, and gives the pens more moves. The page of the plan says in how "
        "many of 200 seasons tried it holds."
    ),
    "rest_days": gettext_lazy(
        "How long a place stays empty after a pen has left it. 30 is our choice."
    ),
    "min_stay_days": gettext_lazy("Our choice."),
    "max_stay_days": gettext_lazy(
        "7 is our choice: only small chicks can stay so long, for a finished bird "
        "drops about 3 g of nitrogen a day."
    ),
    "clearance_mm": gettext_lazy(
        "Our choice: room to set the pen down without jamming, and no strip wide enough "
        "to dig in beside it."
    ),
    "density_limit_kg_m2": gettext_lazy(
        "All birds together, live, by the pen's floor. 20 kg/m² (4.1 lb/ft²) is our "
        "choice, below the 33 kg/m² of Directive 2007/43/EC and the 27.5 kg/m² of EU free range."
    ),
    "feed_bag_kg": gettext_lazy(
        "What one bag holds. 25 kg, or 50 lb in the United States, is common (from memory)."
    ),
}


IN_DAYS = (
    *("harvest_days_touches", "harvest_days_clear", "harvest_days_cooked"),
    *("rest_days", "min_stay_days", "max_stay_days"),
)
"""Fields whose unit does not depend on the garden's system; the label tells it as of those that do."""


NOT_ON_THE_ROW = {"harvest_standard", "place"}
"""Fields that stand for several of the garden's own."""

WAITS = ("harvest_days_touches", "harvest_days_clear", "harvest_days_cooked")
"""The garden's own waits, which a standard sets all together."""


class NewGardenForm(forms.ModelForm):
    """A garden's name, where it is, and how it measures."""

    time_zone = forms.ChoiceField(
        label=gettext_lazy("Time zone"), choices=time_zone_choices, help_text=HELP["time_zone"]
    )

    class Meta:
        model = Garden
        fields = ("name", "time_zone", "unit_system")
        labels = {
            "name": gettext_lazy("What is the garden called?"),
            "unit_system": gettext_lazy("Units"),
        }
        help_texts = HELP

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not self.is_bound:
            self.fields["time_zone"].widget.attrs["data-guess-zone"] = ""


@dataclass(frozen=True)
class Fact:
    """A setting for those who may only read it."""

    label: str
    shown: str
    help_text: str


def standard_choices() -> list[tuple[str, str]]:
    """Return the waits to choose from."""
    return [(words.standard.value, words.name) for words in standards()]


class SettingsForm(GardenForm, forms.ModelForm):
    """Everything that an owner may set."""

    time_zone = forms.ChoiceField(
        label=gettext_lazy("Time zone"), choices=time_zone_choices, help_text=HELP["time_zone"]
    )
    density_limit_kg_m2 = quantity(
        Garden._meta.get_field("density_limit_kg_m2"),
        DENSITY,
        help_text=HELP["density_limit_kg_m2"],
    )
    clearance_mm = quantity(
        Garden._meta.get_field("clearance_mm"), PEN_LENGTH, help_text=HELP["clearance_mm"]
    )
    feed_bag_kg = quantity(
        Garden._meta.get_field("feed_bag_kg"), FEED_MASS, help_text=HELP["feed_bag_kg"]
    )
    annual_limit_kg_ha = quantity(
        Garden._meta.get_field("annual_limit_kg_ha"), LOAD, help_text=HELP["annual_limit_kg_ha"]
    )
    soil_nitrogen_kg_ha = quantity(
        Garden._meta.get_field("soil_nitrogen_kg_ha"), LOAD, help_text=HELP["soil_nitrogen_kg_ha"]
    )
    place = PlaceField(
        label=gettext_lazy("Where on the globe"), required=False, help_text=HELP["place"]
    )
    harvest_standard = forms.ChoiceField(
        label=gettext_lazy("Wait between birds and harvest"),
        required=False,
        choices=standard_choices,
        widget=forms.RadioSelect,
        help_text=HELP["harvest_standard"],
    )
    last_frost = MonthDayField(
        label=gettext_lazy("Average last frost of spring"),
        required=False,
        help_text=HELP["last_frost"],
    )
    first_frost = MonthDayField(
        label=gettext_lazy("Average first frost of autumn"),
        required=False,
        help_text=HELP["first_frost"],
    )

    class Meta:
        model = Garden
        fields = tuple(
            name for names in GROUPS.values() for name in names if name not in NOT_ON_THE_ROW
        )
        labels = {
            "name": gettext_lazy("Name"),
            "unit_system": gettext_lazy("Units"),
            "nitrogen_policy": gettext_lazy("How much nitrogen a bed may get"),
        }
        help_texts = HELP

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["harvest_standard"] = self.instance.harvest_standard.value
        self.initial["place"] = self.instance.place
        for name in IN_DAYS:
            self.fields[name].label = _("{what} (days)").format(what=self.fields[name].label)
        # A zone set elsewhere, such as an old name, stays choosable.
        field, zone = self.fields["time_zone"], self.instance.time_zone
        if not field.valid_value(zone):
            field.choices = [(zone, zone), *time_zone_choices()]

    def clean(self) -> dict[str, Any]:
        """See that the shorter wait and the shorter stay are the shorter ones."""
        cleaned = super().clean()
        self._keep_standard(cleaned)
        self.instance.place = cleaned.get("place")
        if bool(cleaned.get("last_frost")) != bool(cleaned.get("first_frost")) and not (
            {"last_frost", "first_frost"} & self.errors.keys()
        ):
            blank = "first_frost" if cleaned.get("last_frost") else "last_frost"
            self.add_error(blank, _("Give both frosts, or leave both blank."))
        elif cleaned.get("last_frost") and cleaned["last_frost"] == cleaned.get("first_frost"):
            self.add_error("first_frost", _("The two frosts cannot fall on one day."))
        if _out_of_order(cleaned, "min_stay_days", "max_stay_days"):
            self.add_error(
                "max_stay_days", _("The longest stay must not be shorter than the shortest.")
            )
        if _out_of_order(cleaned, "harvest_days_clear", "harvest_days_touches"):
            self.add_error(
                "harvest_days_touches",
                _("Crops that touch soil need at least the wait of the others."),
            )
        return cleaned

    def _keep_standard(self, cleaned: dict[str, Any]) -> None:
        """Take the waits of the standard chosen; days typed beside one left alone are the garden's own."""
        rule = RULES.get(cleaned.get("harvest_standard"))
        typed_own = "harvest_standard" not in self.changed_data and set(WAITS) & {
            *self.changed_data
        }
        if rule is None or typed_own:
            return
        for name in WAITS:
            self.errors.pop(name, None)
            cleaned[name] = getattr(rule, name.removeprefix("harvest_"))

    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the fields under their headings."""
        return [(_(heading), [self[name] for name in names]) for heading, names in GROUPS.items()]

    def facts(self) -> list[tuple[str, list[Fact]]]:
        """Return the same settings in words."""
        return [(heading, [_fact(field) for field in fields]) for heading, fields in self.groups()]


def _fact(bound: forms.BoundField) -> Fact:
    value = bound.value()
    if isinstance(bound.field, MonthDayField):
        shown = bound.field.prepare_value(value) or _("Not set")
    elif value is None:
        shown = _("Not set")
    elif isinstance(bound.field, forms.BooleanField):
        shown = _("Yes") if value else _("No")
    elif bound.name == "time_zone":
        shown = value
    else:
        shown = str(dict(getattr(bound.field, "choices", ())).get(value, value))
    return Fact(str(bound.label), shown, str(bound.help_text))


def _out_of_order(cleaned: dict[str, Any], less: str, more: str) -> bool:
    return less in cleaned and more in cleaned and cleaned[less] > cleaned[more]
