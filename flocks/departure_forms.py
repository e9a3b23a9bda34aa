"""Forms that log birds leaving a batch: a loss, a processing."""

from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from flocks.carcass_fields import CARCASS_FIELDS, CarcassFields
from flocks.headcount import birds_alive, birds_by_pen, departures
from flocks.models import Loss, Processing
from flocks.record_forms import NUMERIC, RecordForm
from flocks.withdrawal_forms import AsksWithdrawal
from garden.forms import quantity
from garden.units import BIRD_MASS, FEED_MASS
from garden.words import gettext as _
from garden.words import ngettext


class DepartureForm(RecordForm):
    """Birds that leave the batch; no more can leave than are left."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["count"].widget.attrs |= NUMERIC

    def clean_count(self) -> int:
        """Refuse more birds than the other records leave."""
        count = self.cleaned_data["count"]
        others = [row for row in departures(self.batch) if row != self.instance]
        left = self.batch.chicks - sum(row.count for row in others)
        if count > left:
            if not left:
                raise ValidationError(_("No bird is left."))
            raise ValidationError(
                ngettext("Only {n} bird is left.", "Only {n} birds are left.", left).format(n=left)
            )
        return count


class LossForm(DepartureForm):
    """Birds that died or went missing."""

    class Meta:
        model = Loss
        fields = ["on", "pen", "count", "cause"]
        labels = {"cause": gettext_lazy("Cause")}


class ProcessingForm(AsksWithdrawal, CarcassFields, DepartureForm):
    """Birds processed on a day; the last one finishes the batch."""

    live_mean_g = quantity(
        Processing._meta.get_field("live_mean_g"), BIRD_MASS, help_text=gettext_lazy("Where known.")
    )
    dressed_kg = quantity(
        Processing._meta.get_field("dressed_kg"),
        FEED_MASS,
        help_text=gettext_lazy("All birds together, where known."),
    )

    class Meta:
        model = Processing
        fields = ["on", "pen", "count", "live_mean_g", "dressed_kg", "heaviest", *CARCASS_FIELDS]
        help_texts = {
            "heaviest": gettext_lazy(
                "Then the birds left are lighter than the flock was, and are forecast so."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not self.instance.pk:
            self.fields["count"].initial = self._birds_left()
        self.offer_reason(self.batch.pk)

    def _birds_left(self) -> int:
        today = self.garden.today()
        by_pen = {str(pen): birds for pen, birds in birds_by_pen(self.batch, today).items()}
        return by_pen.get(str(self.initial.get("pen")), birds_alive(self.batch, today))

    def clean(self) -> dict[str, Any]:
        """Refuse more meat than bird."""
        values = super().clean()
        count, live, dressed = (values.get(name) for name in ("count", "live_mean_g", "dressed_kg"))
        if count and live and dressed and 1000 * dressed > count * live:
            self.add_error("dressed_kg", _("That is more than the birds weighed alive."))
        self.check_carcasses(values)
        if not self.instance.pk or {"on", "count"} & set(self.changed_data):
            self.instance.withdrawal_why = self.check_withdrawal(self.batch.pk, values.get("on"))
        return values
