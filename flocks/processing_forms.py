"""The form of a processing day that is planned."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from flocks.book_forms import NUMERIC, BookForm
from flocks.carcass_fields import ClockField
from flocks.headcount import birds_alive
from flocks.models import Batch, ProcessingDay
from flocks.withdrawal_forms import AsksWithdrawal
from garden.forms import NumberField, quantity
from garden.units import AREA, TEMPERATURE
from garden.words import gettext as _


class ProcessingDayForm(AsksWithdrawal, BookForm):
    """Birds, hands and conditions of one day."""

    may_lie_ahead = True
    starts_at = ClockField(label=gettext_lazy("First bird at"))
    water_c = quantity(ProcessingDay._meta.get_field("water_c"), TEMPERATURE)
    water_l_per_kg = NumberField(
        label=gettext_lazy("Litres of water for each kilogram of carcass"),
        min_value=0,
        max_value=20,
        help_text=gettext_lazy("2 is usual; 0 where they lie in ice alone."),
    )
    crate_m2 = quantity(ProcessingDay._meta.get_field("crate_m2"), AREA)

    class Meta:
        model = ProcessingDay
        fields = [
            "on", "birds", "starts_at", "people", "pace", "water_c", "water_l_per_kg", "crate_m2",
        ]  # fmt: skip
        labels = {"birds": gettext_lazy("Birds"), "pace": gettext_lazy("Pace")}

    def __init__(self, *args: Any, batch: Batch, **kwargs: Any) -> None:
        super().__init__(*args, garden=batch.garden, **kwargs)
        self.batch = self.instance.batch = batch
        for name in ("birds", "people"):
            self.fields[name].widget.attrs |= NUMERIC
        self.offer_reason(batch.pk)

    def clean_birds(self) -> int:
        """Refuse more birds than are left for the day."""
        birds, planned = self.cleaned_data["birds"], self.batch.processingday_set.all()
        others = [row for row in planned if row.pk != self.instance.pk]
        left = birds_alive(self.batch, self.garden.today())
        free = left - sum(row.birds for row in others if row.on >= self.garden.today())
        if birds > max(0, free):
            told = _("{left} are left.").format(left=left)
            if left != free:
                told = _("{left} are left, {planned} of them planned for another day.").format(
                    left=left, planned=left - free
                )
            raise forms.ValidationError(told)
        return birds

    def clean(self) -> dict[str, Any]:
        """Hold the day against the batch, its other days and its medicines."""
        values = super().clean()
        on = values.get("on")
        if on and on <= self.batch.hatch_on:
            self.add_error("on", _("These birds had not hatched yet."))
        twins = [row for row in self.batch.processingday_set.all() if row.on == on]
        if any(row.pk != self.instance.pk for row in twins):
            self.add_error("on", _("That day is planned already for this batch."))
        if on and (not self.instance.pk or {"on", "birds"} & set(self.changed_data)):
            self.instance.withdrawal_why = self.check_withdrawal(self.batch.pk, on)
        return values
