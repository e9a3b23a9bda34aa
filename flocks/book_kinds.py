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
from garden.words import gettext as _
from garden.words import local_mark, mark


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


def _treatment(row: Treatment, _system: System) -> str:
    told = {
        "name": row.name,
        "first": day_words(row.on),
        "last": day_words(row.last_on),
        "wait": row.withdrawal_days,
        "free": day_words(row.course.free_on),
    }
    return _(_TREATED[row.last_on != row.on, bool(row.withdrawal_days)]).format(**told)


_TREATED = {
    (False, False): mark("{name}, no wait"),
    (False, True): mark("{name}, withdrawal {wait} days, free on {free}"),
    (True, False): mark("{name}, {first} to {last}, no wait"),
    (True, True): mark("{name}, {first} to {last}, withdrawal {wait} days, free on {free}"),
}
"""A course of medicine, by whether it took more than a day and whether there is a wait."""


def _arrival(row: Arrival, _system: System) -> str:
    if not row.dead_on_arrival:
        return _("{count} chicks from {source}").format(count=row.count, source=row.source)
    return _("{count} chicks from {source}, {dead} dead").format(
        count=row.count, source=row.source, dead=row.dead_on_arrival
    )


def _feed_lot(row: FeedLot, _system: System) -> str:
    lot = _("lot {number}").format(number=row.number)
    until = _("best before {day}").format(day=day_words(row.best_before)) if row.best_before else ""
    return _listed(row.product.name if row.product_id else "", lot, until)


def _listed(*parts: str) -> str:
    """Join what is there of some parts, each of which can stand alone."""
    return ", ".join(part for part in parts if part)


def _cleaning(row: Cleaning, _system: System) -> str:
    what = row.pen.name if row.pen_id else row.get_what_display()
    if not row.how:
        return _("{what} cleaned").format(what=what)
    return _("{what} cleaned: {how}").format(what=what, how=row.how)


def _visitor(row: Visitor, _system: System) -> str:
    who = f"{row.name}: {row.why}" if row.why else row.name
    return _listed(who, _("has met other birds") if row.met_birds else "")


def _cost(row: Cost, _system: System) -> str:
    told = {
        "amount": local_mark(str(row.amount)),
        "what": (row.what or row.get_kind_display()).lower(),
        "seasons": row.seasons,
    }
    if row.seasons > 1:
        return _("{amount} for {what}, over {seasons} seasons").format(**told)
    return _("{amount} for {what}").format(**told)


def _hours(row: Hours, _system: System) -> str:
    return f"{local_mark(f'{row.hours.normalize():f}')} h{' ' + row.what if row.what else ''}"


def _turn(row: Turn, _system: System) -> str:
    return f"{row.person.username}, {row.get_part_display().lower()}"


def _hand_over(row: HandOver, _system: System) -> str:
    return row.text


TREATMENT = BookKind(
    "treatment", "medicines", mark("medicine"), mark("Log a medicine"), mark("Medicines"),
    Treatment, TreatmentForm, _treatment, "register",
    mark("Use what your vet or the label says, at its dose. No bird is processed before the wait is over."),
)  # fmt: skip
ARRIVAL = BookKind(
    "arrival", "arrivals", mark("arrival"), mark("Log chicks that came"), mark("Chicks that came"),
    Arrival, ArrivalForm, _arrival, "register",
)  # fmt: skip
FEED_LOT = BookKind(
    "feed_lot", "feed-lots", mark("feed lot"), mark("Log a feed lot"), mark("Feed lots"),
    FeedLot, FeedLotForm, _feed_lot, "register",
)  # fmt: skip
CLEANING = BookKind(
    "cleaning", "cleaning", mark("cleaning"), mark("Log cleaning"), mark("Cleaning"),
    Cleaning, CleaningForm, _cleaning, "register",
)  # fmt: skip
VISITOR = BookKind(
    "visitor", "visitors", mark("visitor"), mark("Log a visitor"), mark("Visitors"),
    Visitor, VisitorForm, _visitor, "register",
    mark("Visitors bring what other birds have. Clean boots and hands, for them and for you."),
)  # fmt: skip
PACK = BookKind(
    "pack", "packs", mark("packs"), mark("Log packs in the freezer"), mark("Into the freezer"),
    Pack, PackForm, pack_in_words, "stock",
    mark("Cold to 4 °C before it is frozen. Keep raw poultry apart from other food."),
)  # fmt: skip
COST = BookKind(
    "cost", "costs", mark("cost"), mark("Log a cost"), mark("Costs"),
    Cost, CostForm, _cost, "money",
)  # fmt: skip
HOURS = BookKind(
    "hours", "hours", mark("hours"), mark("Log hours"), mark("Hours"),
    Hours, HoursForm, _hours, "money",
)  # fmt: skip
TURN = BookKind(
    "turn", "turns", mark("turn"), mark("Put somebody on the rota"), mark("Rota"),
    Turn, TurnForm, _turn, "rota",
)  # fmt: skip
HAND_OVER = BookKind(
    "hand_over", "notes", mark("note"), mark("Write a note for the next one"), mark("Notes for the next one"),
    HandOver, HandOverForm, _hand_over, "rota",
)  # fmt: skip
BOOK_KINDS = (
    TREATMENT, ARRIVAL, FEED_LOT, CLEANING, VISITOR, PACK, COST, HOURS, TURN, HAND_OVER,
)  # fmt: skip
REGISTER_KINDS = (TREATMENT, ARRIVAL, FEED_LOT, CLEANING, VISITOR)
"""Kinds that the register page shows."""
