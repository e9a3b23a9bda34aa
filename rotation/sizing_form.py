"""The form of a season: what is wanted of a year and what limits it."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from flocks.feed_forms import MoneyField
from flocks.forms import USUAL_BROODER_DAYS, strain_choices
from flocks.models import Batch
from flocks.readiness import unit_kg
from flocks.ready import carcass_g
from flocks.stock import freezer_of
from garden.forms import (
    DayField,
    GardenForm,
    MonthDayField,
    NumberField,
    QuantityField,
    RowsField,
    quantity,
)
from garden.models import Garden
from garden.units import BIRD_MASS, FEED_MASS
from garden.words import gettext as _
from pens.models import Pen
from rotation.season_limits import Wish

OPEN_GROUPS = 2
TIMES_AWAY = 3
"""Times away that can be told. Our choice."""
LITRES_A_CUBIC_FOOT = 28.316846592
USUAL_TARGET_G = {"metric": 2200.0, "us": 2268.0}
"""What an empty form starts from; 5 lb in the US. Our choice."""
MOST_BIRDS = 10_000


def _count(label: str, **kwargs: Any) -> forms.IntegerField:
    widget = forms.NumberInput(attrs={"inputmode": "numeric"})
    options = {"min_value": 1, "max_value": MOST_BIRDS, "required": False, "widget": widget}
    return forms.IntegerField(label=label, **(options | kwargs))


class SizingForm(GardenForm, forms.Form):
    """What is wanted, and every limit; what is left blank does not limit."""

    wanted_kg = QuantityField(
        FEED_MASS,
        label=gettext_lazy("Dressed meat wanted in a year"),
        required=False,
        least=1.0,
        most=20_000.0,
        help_text=gettext_lazy("Left blank: as much as the garden carries."),
    )
    wanted_birds = _count(gettext_lazy("Or birds wanted in a year"))
    strain = forms.ChoiceField(
        label=gettext_lazy("Kind of bird"), choices=strain_choices, initial="fast"
    )
    target_g = quantity(Batch._meta.get_field("target_g"), BIRD_MASS)
    pens = RowsField(
        Pen.objects.none(), label=gettext_lazy("Pens"), widget=forms.CheckboxSelectMultiple
    )
    freezer = NumberField(
        label=gettext_lazy("Freezer room"), required=False, min_value=1, max_value=100_000,
        help_text=gettext_lazy("For the birds alone. Left blank: it does not limit."),
    )  # fmt: skip
    in_freezer_kg = QuantityField(
        FEED_MASS,
        label=gettext_lazy("Of that taken up now"),
        required=False,
        least=0.0,
        most=20_000.0,
    )
    birds_at_once = _count(
        gettext_lazy("Birds allowed at a time"),
        help_text=gettext_lazy(
            "By your town or lease, chicks included. Left blank: it does not limit."
        ),
    )
    outdoors_from = MonthDayField(
        label=gettext_lazy("Birds may be outdoors from"), required=False, max_length=40,
        help_text=gettext_lazy("A day such as 20 April; the garden’s average last frost unless changed."),
    )  # fmt: skip
    outdoors_until = MonthDayField(
        label=gettext_lazy("Birds may be outdoors until"), required=False, max_length=40,
        help_text=gettext_lazy("Both blank: all year round."),
    )  # fmt: skip
    brooder_days = _count(
        gettext_lazy("Days in the brooder"), required=True, min_value=10, max_value=60,
        help_text=gettext_lazy("Chicks need longer where nights are cold."),
    )  # fmt: skip
    budget = MoneyField(label=gettext_lazy("Most money for the year"), required=False)
    chick_price = MoneyField(label=gettext_lazy("Price of a chick"), required=False)
    feed_price = MoneyField(label=gettext_lazy("Price of feed"), required=False)
    other_price = MoneyField(
        label=gettext_lazy("Other costs of a bird"), required=False,
        help_text=gettext_lazy("Bedding, power, processing. In your own money."),
    )  # fmt: skip
    off_days = _count(
        gettext_lazy("Off-bed days a batch that you put up with"), required=True, min_value=0, max_value=60,
        help_text=gettext_lazy(
            "Days on which a pen stands on no bed and its droppings are lifted for compost."
        ),
    )  # fmt: skip

    GROUPS = (
        (gettext_lazy("What is wanted"), ("wanted_kg", "wanted_birds", "strain", "target_g")),
        (
            gettext_lazy("Pens and time"),
            ("pens", "outdoors_from", "outdoors_until", "brooder_days", "off_days"),
        ),
        (gettext_lazy("Freezer and local limit"), ("freezer", "in_freezer_kg", "birds_at_once")),
        (gettext_lazy("Money"), ("budget", "chick_price", "feed_price", "other_price")),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        for number in range(1, TIMES_AWAY + 1):
            begins, ends = _AWAY[number]
            self.base_fields[f"away_{number}_from"] = DayField(label=begins, required=False)
            self.base_fields[f"away_{number}_until"] = DayField(label=ends, required=False)
        super().__init__(*args, **kwargs)
        us = self.garden.unit_system == "us"
        self.fields["pens"].queryset = self.garden.pens.in_use()
        self.fields["freezer"].label = (
            _("Freezer room (cubic feet)") if us else _("Freezer room (litres)")
        )
        self.fields["feed_price"].help_text = _("For one pound.") if us else _("For one kilogram.")

    @property
    def groups(self) -> list[tuple[str, list[Any], bool]]:
        """Return the fields under their headings; a group is open that is asked first, or filled."""
        away = tuple(name for name in self.fields if name.startswith("away_"))
        groups = [*self.GROUPS, (_("When nobody is at home"), away)]
        return [
            (heading, [self[name] for name in names], number < OPEN_GROUPS or self._is_used(names))
            for number, (heading, names) in enumerate(groups)
        ]

    def _is_used(self, names: Sequence[str]) -> bool:
        return any(self[name].value() or self[name].errors for name in names)

    def clean(self) -> dict[str, Any]:
        """Hold what was typed against each other."""
        values = super().clean()
        if values.get("wanted_kg") and values.get("wanted_birds"):
            self.add_error("wanted_birds", _("Give the meat or the birds, not both."))
        if bool(values.get("outdoors_from")) != bool(values.get("outdoors_until")):
            missing = "outdoors_until" if values.get("outdoors_from") else "outdoors_from"
            if missing not in self.errors:
                self.add_error(missing, _("Give both days, or neither."))
        if values.get("in_freezer_kg") and not values.get("freezer"):
            self.add_error("freezer", _("Give the whole room too."))
        if values.get("budget") is not None and not self._has_price(values):
            self.add_error("chick_price", _("A sum for the year needs a price."))
        self._check_away(values)
        return values

    def _has_price(self, values: dict[str, Any]) -> bool:
        return any(values.get(name) for name in ("chick_price", "feed_price", "other_price"))

    def _check_away(self, values: dict[str, Any]) -> None:
        for number in range(1, TIMES_AWAY + 1):
            first, last = (values.get(f"away_{number}_{end}") for end in ("from", "until"))
            if bool(first) != bool(last):
                missing = f"away_{number}_{'until' if first else 'from'}"
                if missing not in self.errors:
                    self.add_error(missing, _("Give both days, or neither."))
            elif first and last < first:
                self.add_error(
                    f"away_{number}_until",
                    _("Give a day that is not before the first."),
                )

    def wish(self) -> Wish:
        """Return what valid data ask for."""
        values, unit = self.cleaned_data, unit_kg(self.garden.unit_system)
        litres = LITRES_A_CUBIC_FOOT if self.garden.unit_system == "us" else 1.0
        wanted_kg = values["wanted_kg"]
        if values["wanted_birds"]:
            wanted_kg = values["wanted_birds"] * carcass_g(values["target_g"]) / 1000
        return Wish(
            strain=values["strain"],
            target_g=values["target_g"],
            brooder_days=values["brooder_days"],
            pens=tuple(pen.pk for pen in values["pens"]),
            wanted_kg=wanted_kg,
            freezer_l=values["freezer"] and values["freezer"] * litres,
            in_freezer_kg=values["in_freezer_kg"] or 0.0,
            birds_at_once=values["birds_at_once"],
            budget=None if values["budget"] is None else float(values["budget"]),
            chick_price=float(values["chick_price"] or 0),
            feed_price_kg=float((values["feed_price"] or 0) / unit),
            other_price=float(values["other_price"] or 0),
            off_days_a_batch=values["off_days"],
            outdoors_from=values["outdoors_from"],
            outdoors_until=values["outdoors_until"],
            away=tuple(self._away()),
        )

    def _away(self) -> list[tuple[date, date]]:
        values = self.cleaned_data
        spans = (
            (values[f"away_{number}_from"], values[f"away_{number}_until"])
            for number in range(1, TIMES_AWAY + 1)
        )
        return [(first, last) for first, last in spans if first]


_AWAY = {
    1: (
        gettext_lazy("Away, first time, from"),
        gettext_lazy("Away, first time, up to and including"),
    ),
    2: (
        gettext_lazy("Away, second time, from"),
        gettext_lazy("Away, second time, up to and including"),
    ),
    3: (
        gettext_lazy("Away, third time, from"),
        gettext_lazy("Away, third time, up to and including"),
    ),
}


def usual(garden: Garden) -> dict[str, Any]:
    """Return what an empty form starts from: all pens, the frosts, and the freezer where it is known."""
    freezer = freezer_of(garden, garden.today())
    litres = LITRES_A_CUBIC_FOOT if garden.unit_system == "us" else 1.0
    known = {
        "freezer": round(freezer.rules.freezer_l / litres, 1),
        "in_freezer_kg": round(freezer.left_kg, 1) or None,
    }
    return {
        **(known if freezer.rules.pk else {}),
        "target_g": USUAL_TARGET_G[garden.unit_system],
        "pens": list(garden.pens.in_use().values_list("pk", flat=True)),
        "outdoors_from": garden.last_frost,
        "outdoors_until": garden.first_frost,
        "brooder_days": USUAL_BROODER_DAYS,
        "off_days": 0,
    }


def as_typed(wish: Wish, garden: Garden) -> dict[str, Any]:
    """Return the form's first values for what was asked before."""
    litres = LITRES_A_CUBIC_FOOT if garden.unit_system == "us" else 1.0
    unit = float(unit_kg(garden.unit_system))
    away = {
        f"away_{number}_{end}": day
        for number, span in enumerate(wish.away, 1)
        for end, day in zip(("from", "until"), span, strict=True)
    }
    money = {
        "budget": wish.budget,
        "chick_price": wish.chick_price or None,
        "feed_price": wish.feed_price_kg * unit or None,
        "other_price": wish.other_price or None,
    }
    return {
        "wanted_kg": wish.wanted_kg,
        "strain": wish.strain,
        "target_g": wish.target_g,
        "pens": list(wish.pens),
        "freezer": wish.freezer_l and wish.freezer_l / litres,
        "in_freezer_kg": wish.in_freezer_kg or None,
        "birds_at_once": wish.birds_at_once,
        "outdoors_from": wish.outdoors_from,
        "outdoors_until": wish.outdoors_until,
        "brooder_days": wish.brooder_days,
        "off_days": wish.off_days_a_batch,
        **{name: price and f"{price:.2f}" for name, price in money.items()},
        **away,
    }
