"""The form of prices and shed: what each line of a buying list costs, and what is there already."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy

from garden.forms import GardenForm, QuantityField
from garden.models import Garden
from garden.units import PEN_LENGTH
from garden.words import gettext as _
from garden.words import pgettext
from pens.design import BuyingLine, profiles
from pens.models import Price, ShedItem
from pens.shopping import BOARD, line_words

BLANK_ROWS = 3
MOST_ROWS = 40
MOST_PRICE = 99_999


def price_field(label: str) -> forms.DecimalField:
    """Return a field for what one costs; blank is not known."""
    return forms.DecimalField(
        label=label, required=False, min_value=0, max_value=MOST_PRICE, decimal_places=4
    )


@dataclass(frozen=True)
class PricedRow:
    """A line of the form: what it is, its price, and, where it is no board, how many are there."""

    words: str
    price: forms.BoundField
    have: forms.BoundField | None


class PriceForm(GardenForm, forms.Form):
    """Prices of everything on a list, and how many of what is no board lie in the shed."""

    use_required_attribute = False

    def __init__(
        self, *args: Any, garden: Garden, lines: Iterable[BuyingLine], **kwargs: Any
    ) -> None:
        super().__init__(*args, garden=garden, **kwargs)
        prices = {row.key: row.amount for row in Price.objects.filter(garden=garden)}
        shed = ShedItem.objects.filter(garden=garden, length_mm=0)
        have = {row.key: row.count for row in shed}
        self.words: dict[str, str] = {}
        for line in lines:
            self.words[line.key] = line_words(line, garden.unit_system)
            name = self.words[line.key]
            self.fields[f"price:{line.key}"] = price_field(
                _("Price of one: {thing}").format(thing=name)
            )
            self.initial[f"price:{line.key}"] = _plain(prices.get(line.key))
            if line.kind != "boards":
                self.fields[f"have:{line.key}"] = forms.IntegerField(
                    label=_("In the shed: {thing}").format(thing=name),
                    required=False,
                    min_value=0,
                    max_value=10_000,
                )
                self.initial[f"have:{line.key}"] = have.get(line.key)

    @property
    def rows(self) -> list[PricedRow]:
        """Every line with its fields."""
        return [
            PricedRow(
                words,
                self[f"price:{key}"],
                self[f"have:{key}"] if f"have:{key}" in self.fields else None,
            )
            for key, words in self.words.items()
        ]

    def amounts(self) -> dict[str, Decimal | None]:
        """Return the price of each line; None where it is not known."""
        return {key: self.cleaned_data[f"price:{key}"] for key in self.words}

    def counts(self) -> dict[tuple[str, float], int]:
        """Return how many of each line are in the shed."""
        return {
            (key, 0.0): self.cleaned_data[f"have:{key}"] or 0
            for key in self.words
            if f"have:{key}" in self.fields
        }


class _WoodForm(GardenForm, forms.Form):
    """A row about wood of one section and length; it may stay empty."""

    use_required_attribute = False
    wood = forms.ChoiceField(label=gettext_lazy("Wood"))
    length_mm = QuantityField(PEN_LENGTH, label=gettext_lazy("Length"), least=50, most=10_000)

    def __init__(self, *args: Any, garden: Garden, **kwargs: Any) -> None:
        super().__init__(*args, garden=garden, **kwargs)
        woods = [(key, wood.words) for key, wood in profiles().items()]
        self.fields["wood"].choices = [("", pgettext("no wood", "None")), *woods]

    @property
    def key(self) -> str:
        """Of the section, as rows of the shed have it."""
        return f"{BOARD}{self.cleaned_data['wood']}"

    @property
    def whole_mm(self) -> int:
        """Length, rounded down: a board is never longer than it is [mm]."""
        return int(self.cleaned_data["length_mm"] + 0.1)


class OffcutForm(_WoodForm):
    """Boards or offcuts of one length in the shed."""

    count = forms.IntegerField(label=gettext_lazy("How many"), min_value=0, max_value=1_000)


class BoardForm(_WoodForm):
    """A board length that the shop has and the list does not name."""

    price = forms.DecimalField(
        label=gettext_lazy("Price of one"), min_value=0, max_value=MOST_PRICE, decimal_places=4
    )


class PricesAndShed:
    """The three parts as one."""

    def __init__(self, garden: Garden, lines: Iterable[BuyingLine], data: QueryDict | None) -> None:
        self.prices = PriceForm(data, garden=garden, lines=lines)
        self.board = BoardForm(data, garden=garden, prefix="board", empty_permitted=True)
        shed = ShedItem.objects.filter(garden=garden, key__startswith=BOARD)
        self._before = [(row.key, row.length_mm) for row in shed]
        rows: list[dict[str, Any]] = [
            {"wood": row.key.removeprefix(BOARD), "length_mm": row.length_mm, "count": row.count}
            for row in shed
        ]
        rows += [{}] * BLANK_ROWS
        self.offcuts = [
            OffcutForm(
                data, garden=garden, prefix=f"offcut-{number}", initial=row, empty_permitted=True
            )
            for number, row in enumerate(rows[:MOST_ROWS])
        ]

    @property
    def parts(self) -> list[forms.Form]:
        """Every form of the page."""
        return [self.prices, self.board, *self.offcuts]

    @property
    def faults(self) -> list[tuple[str, str]]:
        """Every fault as the field's id and the sentence, for the summary."""
        return [
            (bound.auto_id, f"{bound.label}: {error}")
            for part in self.parts
            for bound in part
            for error in bound.errors
        ]

    def is_valid(self) -> bool:
        """Whether every part is right; every part is asked, so that every fault is told."""
        return not [part for part in self.parts if not part.is_valid()]

    def amounts(self) -> dict[str, Decimal | None]:
        """Return the prices by key, that of another board length with them."""
        amounts = self.prices.amounts()
        if self.board.has_changed():
            amounts[f"{self.board.key}-{self.board.whole_mm}"] = self.board.cleaned_data["price"]
        return amounts

    def counts(self) -> dict[tuple[str, float], int]:
        """Return what is in the shed by key and length; 0 for what is gone."""
        counts: dict[tuple[str, float], int] = dict.fromkeys(self._before, 0)
        for row in self.offcuts:
            cleaned = row.cleaned_data if row.has_changed() else row.initial
            if cleaned.get("wood"):
                length_mm = row.whole_mm if row.has_changed() else cleaned["length_mm"]
                place = (f"{BOARD}{cleaned['wood']}", float(length_mm))
                counts[place] = counts.get(place, 0) + cleaned["count"]
        return counts | self.prices.counts()


def _plain(amount: Decimal | None) -> str | None:
    """Write a price without idle noughts, two places at least."""
    if amount is None:
        return None
    return f"{amount:.2f}" if amount == round(amount, 2) else f"{amount.normalize():f}"
