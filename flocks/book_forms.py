"""Forms of the garden's books: the register, the freezer, costs and hours, and the rota."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django import forms
from django.contrib.auth import get_user_model
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from flocks.feed_forms import MoneyField
from flocks.models import (
    Arrival,
    Batch,
    Cleaning,
    Cost,
    FeedLot,
    HandOver,
    Hours,
    Treatment,
    Turn,
    Visitor,
)
from garden.forms import DayField, GardenForm
from garden.models import Membership
from garden.words import gettext as _

NUMERIC = {"inputmode": "numeric"}
DAYS_AHEAD = 365
"""How far ahead a turn or a note may lie [day]. A choice."""


class BookForm(GardenForm, forms.ModelForm):
    """A line of the garden's books on a day; the batch is asked where the model has one."""

    may_lie_ahead = False

    on = DayField(label=gettext_lazy("Day"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        today = self.garden.today()
        self.instance.garden = self.garden
        self.fields["on"].initial = today
        if not self.may_lie_ahead:
            self.fields["on"].widget.attrs["max"] = today.isoformat()
        if "batch" in self.fields:
            self.fields["batch"].label = _("Batch")
            self.fields["batch"].queryset = self.garden.batches.all()
            self.fields["batch"].error_messages["invalid_choice"] = _(
                "Choose a batch of this garden."
            )
            if not self.fields["batch"].required:
                self.fields["batch"].empty_label = _("No one batch: all of the garden")

    def clean_on(self) -> date:
        """Refuse days that have not come, or that lie too far ahead."""
        on, today = self.cleaned_data["on"], self.garden.today()
        if on > today and not self.may_lie_ahead:
            raise ValidationError(_("This day has not come yet."))
        if on > today + timedelta(days=DAYS_AHEAD):
            raise ValidationError(_("Give a day of the coming year."))
        return on

    def refuse_before_hatching(self, values: dict[str, Any]) -> None:
        """Refuse a day on which the batch had not hatched."""
        batch, on = values.get("batch"), values.get("on")
        if isinstance(batch, Batch) and on and on < batch.hatch_on:
            self.add_error("on", _("These birds had not hatched yet."))


class TreatmentForm(BookForm):
    """A medicine with its wait."""

    on = DayField(label=gettext_lazy("First day given"))
    last_on = DayField(
        label=gettext_lazy("Last day given"),
        required=False,
        help_text=gettext_lazy(
            "It may lie ahead: the wait runs from the last dose. Left blank: the first day."
        ),
    )

    class Meta:
        model = Treatment
        fields = [
            "batch", "kind", "name", "on", "last_on", "withdrawal_days", "birds", "dose", "reason",
            "prescribed_by", "product_lot",
        ]  # fmt: skip
        help_texts = {
            "withdrawal_days": gettext_lazy(
                "From the label or your vet, for meat of chickens. 0 where it says none. "
                "Nothing on the label, or another dose than it says: ask the vet before anything else."
            ),
            "birds": gettext_lazy(
                "Left blank: all. The wait holds for the whole batch either way."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("withdrawal_days", "birds"):
            self.fields[name].widget.attrs |= NUMERIC

    def clean(self) -> dict[str, Any]:
        """Put the days in order; more birds than hatched cannot have had it."""
        values = super().clean()
        self.refuse_before_hatching(values)
        first_on, batch, birds = values.get("on"), values.get("batch"), values.get("birds")
        if values.get("last_on") is None and "last_on" not in self.errors:
            values["last_on"] = first_on
        last_on = values.get("last_on")
        if first_on and last_on and last_on < first_on:
            self.add_error("last_on", _("The last day must not come before the first."))
        if first_on and last_on and (last_on - first_on).days > DAYS_AHEAD:
            self.add_error("last_on", _("Give a day within a year of the first."))
        if batch and birds and birds > batch.chicks:
            self.add_error("birds", _("The batch began with {chicks}.").format(chicks=batch.chicks))
        return values


class ArrivalForm(BookForm):
    """Chicks that came."""

    price = MoneyField(
        label=gettext_lazy("Paid for all"),
        required=False,
        max_digits=9,
        help_text=gettext_lazy("With carriage, where known."),
    )

    class Meta:
        model = Arrival
        fields = ["batch", "on", "count", "dead_on_arrival", "source", "price"]
        labels = {"dead_on_arrival": gettext_lazy("Dead on arrival")}
        help_texts = {"source": gettext_lazy("Hatchery or breeder, with the place.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("count", "dead_on_arrival"):
            self.fields[name].widget.attrs |= NUMERIC

    def clean(self) -> dict[str, Any]:
        """No more can be dead than came."""
        values = super().clean()
        if (values.get("dead_on_arrival") or 0) > (values.get("count") or 0):
            self.add_error("dead_on_arrival", _("That is more than came."))
        return values


class FeedLotForm(BookForm):
    """A lot that was opened."""

    on = DayField(label=gettext_lazy("Opened on"))
    best_before = DayField(label=gettext_lazy("Best before"), required=False)

    class Meta:
        model = FeedLot
        fields = ["on", "product", "number", "best_before", "batch"]
        labels = {"product": gettext_lazy("Feed")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["product"].queryset = self.garden.feeds.all()


class CleaningForm(BookForm):
    """Something cleaned."""

    class Meta:
        model = Cleaning
        fields = ["on", "what", "pen", "how", "batch"]
        labels = {"what": gettext_lazy("What"), "pen": gettext_lazy("Pen")}
        help_texts = {"batch": gettext_lazy("After which batch, where it was for one.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pen"].queryset = self.garden.pens.all()


class VisitorForm(BookForm):
    """Somebody who came near the birds."""

    class Meta:
        model = Visitor
        fields = ["on", "name", "why", "met_birds", "batch"]
        labels = {"name": gettext_lazy("Name")}


class TurnForm(BookForm):
    """Who does the chores on a day."""

    may_lie_ahead = True

    class Meta:
        model = Turn
        fields = ["on", "part", "person"]
        labels = {"part": gettext_lazy("Part"), "person": gettext_lazy("Who")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        may_log = Membership.objects.filter(garden=self.garden, role__in=("owner", "helper"))
        users = get_user_model().objects.filter(pk__in=may_log.values("user"))
        self.fields["person"].queryset = users.order_by("username")
        self.fields["person"].empty_label = _("Choose one")

    def clean(self) -> dict[str, Any]:
        """Refuse the same turn twice."""
        values = super().clean()
        if not self.errors:
            twin = Turn.objects.filter(
                garden=self.garden, on=values["on"], part=values["part"], person=values["person"]
            )
            if twin.exclude(pk=self.instance.pk).exists():
                self.add_error("person", _("That turn is on the rota already."))
        return values


class HandOverForm(BookForm):
    """A note for whoever comes on a day."""

    may_lie_ahead = True
    on = DayField(label=gettext_lazy("For the day"))

    class Meta:
        model = HandOver
        fields = ["on", "text"]
        widgets = {"text": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].initial = self.garden.today() + timedelta(days=1)


class CostForm(BookForm):
    """Something paid for."""

    amount = MoneyField(label=gettext_lazy("Amount"), max_digits=10, min_value=Decimal("0.01"))

    class Meta:
        model = Cost
        fields = ["on", "kind", "what", "amount", "batch", "seasons"]
        labels = {"what": gettext_lazy("What")}
        help_texts = {
            "batch": gettext_lazy(
                "Without a batch it is shared by the birds hatched in the same year."
            ),
            "seasons": gettext_lazy(
                "1 for what is used up; wood and wire last some years: 5 is a choice many make."
            ),
        }

    def clean(self) -> dict[str, Any]:
        """What lasts for seasons is no one batch's."""
        values = super().clean()
        if values.get("batch") and (values.get("seasons") or 1) > 1:
            self.add_error(
                "seasons", _("What is written off over seasons belongs to no one batch.")
            )
        return values


class HoursForm(BookForm):
    """Time spent on a batch."""

    hours = MoneyField(
        label=gettext_lazy("Hours"),
        max_digits=6,
        min_value=Decimal("0.01"),
        max_value=Decimal(1000),
    )

    class Meta:
        model = Hours
        fields = ["on", "batch", "hours", "what"]
