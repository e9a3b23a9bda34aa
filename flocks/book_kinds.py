"""The kinds of lines in the garden's books: how each is called, asked for and told."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django import forms

from flocks.book_forms import (
    ArrivalForm,
    CleaningForm,
    CostForm,
    FeedLotForm,
    HandOverForm,
    HoursForm,
    TreatmentForm,
    TurnForm,
    VisitorForm,
)
from flocks.models import (
    Arrival,
    Cleaning,
    Cost,
    FeedLot,
    HandOver,
    Hours,
    Pack,
    Treatment,
    Turn,
    Visitor,
)
from flocks.models.records import Record
from flocks.stock_forms import PackForm
from flocks.stock_words import pack_in_words
from garden.day_words import day_words
from garden.units import System


@dataclass(frozen=True)
class BookKind:
    """One kind of line; `key` names its addresses, such as ``treatment_new``."""

    key: str
    folder: str
    noun: str
    ask: str
    """Heading of the page that logs one, and the words of its button."""
    heading: str
    """Heading of the list."""
    model: type[Record]
    form: type[forms.ModelForm]
    tell: Callable[[Any, System], str]
    """Writes a line in a few words, without its day."""
    book: str
    """Address of the page it is shown on."""
    caution: str = ""

    @property
    def id_name(self) -> str:
        """Return what an address calls the id of such a line."""
        return f"{self.key}_id"

    def said(self, row: Record, system: System) -> str:
        """Write a line with its batch, for the undo bar."""
        batch = getattr(row, "batch", None)
        told = self.tell(row, system)
        return f"{told}, {batch}" if batch else told


def _treatment(row: Treatment, _: System) -> str:
    wait = row.withdrawal_days
    days = f"{day_words(row.on)} to {day_words(row.last_on)}, " if row.last_on != row.on else ""
    told = (
        "no wait"
        if not wait
        else f"withdrawal {wait} days, free on {day_words(row.course.free_on)}"
    )
    return f"{row.name}, {days}{told}"


def _arrival(row: Arrival, _: System) -> str:
    dead = f", {row.dead_on_arrival} dead" if row.dead_on_arrival else ""
    return f"{row.count} chicks from {row.source}{dead}"


def _feed_lot(row: FeedLot, _: System) -> str:
    until = f", best before {day_words(row.best_before)}" if row.best_before else ""
    return f"{row.product.name + ', ' if row.product_id else ''}lot {row.number}{until}"


def _cleaning(row: Cleaning, _: System) -> str:
    what = row.pen.name if row.pen_id else row.get_what_display()
    return f"{what} cleaned{': ' + row.how if row.how else ''}"


def _visitor(row: Visitor, _: System) -> str:
    why = f", {row.why}" if row.why else ""
    return f"{row.name}{why}{', has met other birds' if row.met_birds else ''}"


def _cost(row: Cost, _: System) -> str:
    over = f", over {row.seasons} seasons" if row.seasons > 1 else ""
    return f"{row.amount} for {(row.what or row.get_kind_display()).lower()}{over}"


def _hours(row: Hours, _: System) -> str:
    return f"{row.hours.normalize():f} h{' ' + row.what if row.what else ''}"


def _turn(row: Turn, _: System) -> str:
    return f"{row.person.username}, {row.get_part_display().lower()}"


def _hand_over(row: HandOver, _: System) -> str:
    return row.text


TREATMENT = BookKind(
    "treatment", "medicines", "medicine", "Log a medicine", "Medicines",
    Treatment, TreatmentForm, _treatment, "register",
    "Use what your vet or the label says, at its dose. No bird is processed before the wait is over.",
)  # fmt: skip
ARRIVAL = BookKind(
    "arrival", "arrivals", "arrival", "Log chicks that came", "Chicks that came",
    Arrival, ArrivalForm, _arrival, "register",
)  # fmt: skip
FEED_LOT = BookKind(
    "feed_lot", "feed-lots", "feed lot", "Log a feed lot", "Feed lots",
    FeedLot, FeedLotForm, _feed_lot, "register",
)  # fmt: skip
CLEANING = BookKind(
    "cleaning", "cleaning", "cleaning", "Log cleaning", "Cleaning",
    Cleaning, CleaningForm, _cleaning, "register",
)  # fmt: skip
VISITOR = BookKind(
    "visitor", "visitors", "visitor", "Log a visitor", "Visitors",
    Visitor, VisitorForm, _visitor, "register",
    "Visitors bring what other birds have. Clean boots and hands, for them and for you.",
)  # fmt: skip
PACK = BookKind(
    "pack", "packs", "packs", "Log packs in the freezer", "Into the freezer",
    Pack, PackForm, pack_in_words, "stock",
    "Cold to 4 °C before it is frozen. Keep raw poultry apart from other food.",
)  # fmt: skip
COST = BookKind(
    "cost", "costs", "cost", "Log a cost", "Costs",
    Cost, CostForm, _cost, "money",
)  # fmt: skip
HOURS = BookKind(
    "hours", "hours", "hours", "Log hours", "Hours",
    Hours, HoursForm, _hours, "money",
)  # fmt: skip
TURN = BookKind(
    "turn", "turns", "turn", "Put somebody on the rota", "Rota",
    Turn, TurnForm, _turn, "rota",
)  # fmt: skip
HAND_OVER = BookKind(
    "hand_over", "notes", "note", "Write a note for the next one", "Notes for the next one",
    HandOver, HandOverForm, _hand_over, "rota",
)  # fmt: skip
BOOK_KINDS = (
    TREATMENT, ARRIVAL, FEED_LOT, CLEANING, VISITOR, PACK, COST, HOURS, TURN, HAND_OVER,
)  # fmt: skip
REGISTER_KINDS = (TREATMENT, ARRIVAL, FEED_LOT, CLEANING, VISITOR)
"""Kinds that the register page shows."""
