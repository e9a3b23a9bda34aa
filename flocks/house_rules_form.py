"""The form of how a garden counts its money and who eats from its freezer."""

from django import forms
from django.utils.translation import gettext_lazy

from flocks.feed_forms import MoneyField
from flocks.models import HouseRules
from garden.forms import GardenForm


class HouseRulesForm(GardenForm, forms.ModelForm):
    """How the garden counts its money and who eats from its freezer."""

    currency = forms.CharField(
        label=gettext_lazy("Currency"),
        required=False,
        max_length=3,
        help_text=gettext_lazy("Three letters, such as EUR, GBP or USD. Blank: plain figures."),
    )
    hour_rate = MoneyField(
        label=gettext_lazy("What an hour of work counts for"),
        max_digits=7,
        help_text=gettext_lazy(
            "0 where your own time is not counted. The hours are told either way."
        ),
    )

    class Meta:
        model = HouseRules
        fields = ["currency", "hour_rate", "households", "eaters", "freezer_l"]

    def clean_currency(self) -> str:
        """Take small letters as large ones; the model's own check follows."""
        return self.cleaned_data["currency"].upper()
