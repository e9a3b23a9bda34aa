"""The ledger of a bed: what came, what went, what went into the air, and the balance after each line.

PURE. Every gram that an entry brings is afterwards in the bed, in the air or carried off again, and the
ledger adds up to that. Nitrogen escapes in part; phosphorus and potassium stay, and birds bring several
times what a harvest takes, so their balances mostly grow: that is what the ledger is there to show. The
balance is bookkeeping: what a crop can use of it is told apart, year by year, by `usable_nitrogen_g`.

Masses are grams of the element. Washing out by rain is not counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from garden.npk import NOTHING, Element, Npk, NpkBand
from garden.nutrients import SECOND_YEAR_SHARE, THIRD_YEAR_SHARE, YEAR_DAYS, NitrogenPolicy
from garden.provenance import Figure, Mark

PHOSPHORUS_PER_NITROGEN = Figure(
    value=0.016 / 0.053,
    unit="g phosphorus per g nitrogen dropped",
    source="recalled: ASABE D384.2, 0.016 kg P and 0.053 kg N per finished broiler",
    mark=Mark.FROM_MEMORY,
)
PHOSPHATE_PER_PHOSPHORUS = Figure(
    value=2.29,
    unit="g P2O5 per g P",
    source="molar masses, 141.94 / (2 x 30.97)",
    mark=Mark.DERIVED,
)
COMPOST_FIRST_YEAR = Figure(
    value=0.20,
    unit="share of nitrogen in compost",
    source="recalled: extension guides, composted poultry manure 0.10 to 0.30",
    mark=Mark.FROM_MEMORY,
)


def phosphorus_dropped_g(nitrogen_g: float) -> float:
    """Return the phosphorus that goes with nitrogen dropped by broilers [g].

    For droppings of which only the nitrogen is reckoned with; diets with phytase give 20 to 30 % less
    (from memory).
    """
    return nitrogen_g * PHOSPHORUS_PER_NITROGEN.value


class EntryKind(StrEnum):
    """What an entry is; the value is the word for a page."""

    OPENING = "soil test"
    DROPPINGS = "droppings"
    LIFTED = "lifted for compost"
    COMPOST = "compost"
    MANURE = "manure"
    FERTILISER = "fertiliser"
    LEGUME = "legume"
    HARVEST = "harvest"


TAKES_AWAY = {EntryKind.LIFTED, EntryKind.HARVEST}
LOSES_TO_AIR = {EntryKind.DROPPINGS, EntryKind.MANURE}


@dataclass(frozen=True)
class LedgerEntry:
    """One event on a bed, or one that is planned.

    Parameters
    ----------
    day : date
        Its day, or the last of several.
    kind : EntryKind
        Says which way the mass goes.
    what : str
        Names it for the page, as a batch or a crop.
    mass : NpkBand
        As dropped, spread, lifted or picked, each at least 0. [g]
    first_day : date, optional
        Where it went on for several days.
    by_day : tuple of float
        Shares of the mass by day from `first_day`, adding up to 1; empty for a single day.
    is_planned : bool
        Whether it has not happened yet.
    source : str
        Where its grams come from, in words.
    key : tuple
        Whatever the page needs to link to what it came from.

    Raises
    ------
    ValueError
        For a negative mass.
    """

    day: date
    kind: EntryKind
    what: str
    mass: NpkBand
    first_day: date | None = None
    by_day: tuple[float, ...] = ()
    is_planned: bool = False
    source: str = ""
    key: tuple[object, ...] = ()

    def __post_init__(self) -> None:
        if not all(mass.least_g >= 0 for mass in (self.mass.low, self.mass.likely, self.mass.high)):
            raise ValueError("mass: expected nitrogen, phosphorus and potassium >= 0")


@dataclass(frozen=True)
class LedgerLine:
    """An entry, what it changed and the balances after it [g].

    `change` is less than nothing for what takes away; `to_air_g` is nitrogen that escaped. `balance.low`
    and `balance.high` are what it would be if every estimate so far were off on the same side.
    """

    entry: LedgerEntry
    change: NpkBand
    to_air_g: float
    balance: NpkBand


def ledger(entries: Iterable[LedgerEntry], *, kept_share: float) -> tuple[LedgerLine, ...]:
    """Return the ledger of a bed, oldest line first.

    Parameters
    ----------
    entries : iterable of LedgerEntry
        In any order; those of one day keep theirs.
    kept_share : float
        Share of the nitrogen dropped that stays in the bed, 0 to 1, as `NitrogenPolicy.kept_share`.

    Returns
    -------
    tuple of LedgerLine
        Balances start from 0, so without a soil test they tell the change since the first entry, not what
        the soil holds. They may be negative.
    """
    lines: list[LedgerLine] = []
    balance = NpkBand.exactly(NOTHING)
    for entry in sorted(entries, key=lambda entry: entry.day):
        change = change_of(entry, kept_share)
        balance = balance + change
        lines.append(LedgerLine(entry, change, to_air_g(entry, kept_share), balance))
    return tuple(lines)


def to_air_g(entry: LedgerEntry, kept_share: float) -> float:
    """Return the nitrogen of an entry that goes into the air, likely [g]."""
    lost = 1.0 - kept_share if entry.kind in LOSES_TO_AIR else 0.0
    return entry.mass.likely.nitrogen_g * lost


def change_of(entry: LedgerEntry, kept_share: float) -> NpkBand:
    """Return what an entry changes in the bed; less than nothing for what takes away."""
    mass = entry.mass
    if entry.kind in TAKES_AWAY:
        return NpkBand(mass.high * -1.0, mass.likely * -1.0, mass.low * -1.0)
    if entry.kind not in LOSES_TO_AIR:
        return mass
    return NpkBand(*(_less_air(each, kept_share) for each in (mass.low, mass.likely, mass.high)))


def _less_air(mass: Npk, kept_share: float) -> Npk:
    return Npk(mass.nitrogen_g * kept_share, mass.phosphorus_g, mass.potassium_g)


@dataclass(frozen=True)
class DayBalance:
    """A bed's balance of one element at the end of a day [g]."""

    day: date
    low_g: float
    likely_g: float
    high_g: float


def balance_by_day(
    entries: Sequence[LedgerEntry],
    element: Element,
    *,
    first_day: date,
    end_day: date,
    kept_share: float,
) -> list[DayBalance]:
    """Return the balance at the end of every day of ``[first_day, end_day)``.

    What came before `first_day` is in the balance of that day; an entry of several days comes day by day.
    """
    days = (end_day - first_day).days
    changes = [[0.0] * days for _ in range(3)]
    for entry in entries:
        change = change_of(entry, kept_share)
        grams = [band.of(element) for band in (change.low, change.likely, change.high)]
        for at, share in _days_of(entry, first_day):
            if at < days:
                for row, gram in zip(changes, grams, strict=True):
                    row[max(at, 0)] += gram * share
    balances, sums = [], [0.0, 0.0, 0.0]
    for number, day_changes in enumerate(zip(*changes, strict=True)):
        sums = [each + change for each, change in zip(sums, day_changes, strict=True)]
        balances.append(DayBalance(first_day + timedelta(days=number), *sums))
    return balances


def _days_of(entry: LedgerEntry, first_day: date) -> Iterable[tuple[int, float]]:
    if not entry.by_day or entry.first_day is None:
        return [((entry.day - first_day).days, 1.0)]
    start = (entry.first_day - first_day).days
    return [(start + number, share) for number, share in enumerate(entry.by_day)]


def release_shares(kind: EntryKind, policy: NitrogenPolicy) -> tuple[float, float, float]:
    """Return the shares of nitrogen left in the bed that crops can use in the first three years.

    Droppings and manure follow the garden's policy; compost gives less in the first year; what a soil test
    finds, fertiliser and a legume's roots are taken as usable at once.
    """
    later = (SECOND_YEAR_SHARE.value, THIRD_YEAR_SHARE.value)
    if kind in LOSES_TO_AIR:
        return policy.first_year_share, *later
    if kind is EntryKind.COMPOST:
        return COMPOST_FIRST_YEAR.value, *later
    return 1.0, 0.0, 0.0


def usable_nitrogen_g(
    entries: Iterable[LedgerEntry], on: date, policy: NitrogenPolicy
) -> tuple[float, float, float]:
    """Return what crops can use in the year that ends with `on`, by the year in which it came.

    Returns
    -------
    tuple of float
        From what came in that year, in the year before and in the year before that. What was lifted again
        is taken off the year in which it was lifted. [g]
    """
    given = [0.0, 0.0, 0.0]
    for entry in entries:
        year = (on - entry.day).days // YEAR_DAYS
        if not 0 <= year < len(given) or entry.kind is EntryKind.HARVEST:
            continue
        # What was lifted lay there before, lost its share to the air, and would have released its share too.
        like = EntryKind.DROPPINGS if entry.kind is EntryKind.LIFTED else entry.kind
        kept = policy.kept_share if entry.kind in LOSES_TO_AIR else 1.0
        sign = -1.0 if entry.kind is EntryKind.LIFTED else 1.0
        share = release_shares(like, policy)[year]
        given[year] += sign * entry.mass.likely.nitrogen_g * kept * share
    return given[0], given[1], given[2]
