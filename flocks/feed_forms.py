"""Forms of the feed store: a feed on sale, bags bought, what was counted, how the garden shops."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from flocks.models import FeedCount, FeedHabits, FeedProduct, FeedPurchase
from garden.forms import DayField, GardenForm, quantity
from garden.units import FEED_MASS
from garden.words import gettext as _

WEEKDAYS = (
    gettext_lazy("Monday"),
    gettext_lazy("Tuesday"),
    gettext_lazy("Wednesday"),
    gettext_lazy("Thursday"),
    gettext_lazy("Friday"),
    gettext_lazy("Saturday"),
    gettext_lazy("Sunday"),
)
MOST_WEEKDAYS = 2
"""Days of the week to go shopping on, at most. A choice: more make the search long and the plan no cheaper."""
OLDEST_LINE_DAYS = 730
"""How far back a line of the store may lie [day]. A choice."""


class MoneyField(forms.DecimalField):
    """An amount in the garden's own money, with a point or a comma."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        options = {"max_digits": 8, "decimal_places": 2, "min_value": Decimal(0), "widget": widget}
        super().__init__(**(options | kwargs))

    def to_python(self, value: Any) -> Decimal | None:
        """Read a decimal comma as a point."""
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


class FeedProductForm(GardenForm, forms.ModelForm):
    """A feed that can be bought."""

    bag_kg = quantity(FeedProduct._meta.get_field("bag_kg"), FEED_MASS)
    price = MoneyField(
        label=gettext_lazy("Price of a bag"),
        required=False,
        help_text=gettext_lazy(
            "In your own money, such as 16.90. Feeds without a price are left out of the buying plan "
            "once another has one."
        ),
    )

    class Meta:
        model = FeedProduct
        fields = ["name", "kind", "bag_kg", "price", "keeps_days"]
        labels = {"name": gettext_lazy("Name")}
        help_texts = {
            "kind": gettext_lazy("The phase that the bag says it is for."),
            "keeps_days": gettext_lazy(
                "From the day you buy it. Six weeks is the longer end of what small keepers are told "
                "(mill and hatchery pages); shorter in heat or without preservative."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.garden = self.garden
        self.fields["keeps_days"].widget.attrs["inputmode"] = "numeric"
        if not self.instance.pk:
            self.fields["bag_kg"].initial = self.garden.feed_bag_kg

    def clean_name(self) -> str:
        """Refuse a name that another feed of the garden has."""
        name = self.cleaned_data["name"]
        if self.garden.feeds.exclude(pk=self.instance.pk).filter(name=name).exists():
            raise ValidationError(_("This garden already has a feed of that name."))
        return name


class StoreForm(GardenForm, forms.ModelForm):
    """A line of the store about one feed on a day."""

    on = DayField(label=gettext_lazy("Day"))

    def __init__(self, *args: Any, product: FeedProduct, **kwargs: Any) -> None:
        super().__init__(*args, garden=product.garden, **kwargs)
        self.instance.product = product
        self.fields["on"].initial = self.garden.today()
        self.fields["on"].widget.attrs["max"] = self.garden.today().isoformat()

    def clean_on(self) -> date:
        """Refuse days that have not come and days long past."""
        on, today = self.cleaned_data["on"], self.garden.today()
        if on > today:
            raise ValidationError(_("This day has not come yet."))
        if (today - on).days > OLDEST_LINE_DAYS:
            raise ValidationError(_("Give a day of the last two years."))
        return on


class FeedPurchaseForm(StoreForm):
    """Bags bought."""

    price = MoneyField(
        label=gettext_lazy("Price of each"),
        required=False,
        help_text=gettext_lazy("Left blank: the price on the list."),
    )

    class Meta:
        model = FeedPurchase
        fields = ["on", "bags", "price"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bags"].widget.attrs["inputmode"] = "numeric"

    def clean_price(self) -> Decimal | None:
        """Take the price of the list where none was typed."""
        price = self.cleaned_data["price"]
        return self.instance.product.price if price is None else price


class FeedCountForm(StoreForm):
    """What is left in the store."""

    mass_kg = quantity(
        FeedCount._meta.get_field("mass_kg"),
        FEED_MASS,
        help_text=gettext_lazy(
            "Weighed, or full bags times what they hold. It stands, whatever was logged before."
        ),
    )

    class Meta:
        model = FeedCount
        fields = ["on", "mass_kg"]


class FeedHabitsForm(GardenForm, forms.ModelForm):
    """When the garden can shop, what a trip costs, what meat is worth."""

    days = forms.TypedMultipleChoiceField(
        label=gettext_lazy("Days you can go and buy feed"),
        choices=list(enumerate(WEEKDAYS)),
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("One or two days of the week."),
    )
    trip_cost = MoneyField(
        label=gettext_lazy("Cost of a trip"),
        help_text=gettext_lazy(
            "Fuel, delivery, or what an hour is worth to you; 5 is our choice. 0 plans small, fresh "
            "purchases."
        ),
    )
    meat_price_per_kg = MoneyField(
        label=gettext_lazy("What a kilogram dressed is worth"),
        required=False,
        help_text=gettext_lazy(
            "What you sell it for, or would pay for such a chicken. Says when a day more no longer pays."
        ),
    )

    class Meta:
        model = FeedHabits
        fields = ["days", "trip_cost", "meat_price_per_kg"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["days"] = sorted(self.instance.weekdays)

    def clean_days(self) -> list[int]:
        """Refuse more than two."""
        chosen = self.cleaned_data["days"]
        if len(chosen) > MOST_WEEKDAYS:
            raise ValidationError(_("Choose the one or two days that suit best."))
        self.instance.trip_weekdays = "".join(str(day) for day in sorted(set(chosen)))
        return chosen
