"""The ledger of a bed: what droppings brought, what harvests took, and the balance after each.

PURE. Phosphorus neither escapes into the air nor washes out easily, and birds bring several times
what a harvest takes, so its balance mostly grows: that is what the ledger is there to show. The
nitrogen balance is only bookkeeping; what a crop can still use of it is for `garden.nutrients`.

Masses are grams of the element.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

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


def phosphorus_dropped_g(nitrogen_g: float) -> float:
    """Return the phosphorus that goes with nitrogen dropped by broilers [g].

    For droppings of which only the nitrogen was recorded; diets with phytase give 20 to 30 % less
    (from memory).
    """
    return nitrogen_g * PHOSPHORUS_PER_NITROGEN.value


class EntryKind(StrEnum):
    """What an entry does to the bed: droppings add, a harvest takes away."""

    DROPPINGS = "droppings"
    HARVEST = "harvest"


@dataclass(frozen=True)
class LedgerEntry:
    """One event on a bed; the masses [g] are of what was dropped or harvested, both at least 0.

    `what` names it for the page, for example a batch or a crop. ValueError for a negative mass.
    """

    day: date
    kind: EntryKind
    what: str
    nitrogen_g: float
    phosphorus_g: float

    def __post_init__(self) -> None:
        if not (self.nitrogen_g >= 0 and self.phosphorus_g >= 0):
            raise ValueError("nitrogen_g, phosphorus_g: expected numbers >= 0")


@dataclass(frozen=True)
class LedgerLine:
    """An entry, what it changed (less than 0 for a harvest) and the balances after it [g]."""

    entry: LedgerEntry
    nitrogen_change_g: float
    phosphorus_change_g: float
    nitrogen_balance_g: float
    phosphorus_balance_g: float


def ledger(entries: Iterable[LedgerEntry], *, kept_share: float) -> tuple[LedgerLine, ...]:
    """Return the ledger of a bed, oldest line first.

    Parameters
    ----------
    entries : iterable of LedgerEntry
        In any order; those of one day keep theirs.
    kept_share : float
        Share of the nitrogen dropped that stays in the bed, 0 to 1, as `NitrogenPolicy.kept_share`.
        Phosphorus stays whole.

    Returns
    -------
    tuple of LedgerLine
        Balances start from 0, so they tell the change since the first entry, not what the soil
        holds. They may be negative.
    """
    lines: list[LedgerLine] = []
    nitrogen_balance_g = phosphorus_balance_g = 0.0
    for entry in sorted(entries, key=lambda entry: entry.day):
        nitrogen_change_g, phosphorus_change_g = _change_g(entry, kept_share)
        nitrogen_balance_g += nitrogen_change_g
        phosphorus_balance_g += phosphorus_change_g
        lines.append(
            LedgerLine(
                entry=entry,
                nitrogen_change_g=nitrogen_change_g,
                phosphorus_change_g=phosphorus_change_g,
                nitrogen_balance_g=nitrogen_balance_g,
                phosphorus_balance_g=phosphorus_balance_g,
            )
        )
    return tuple(lines)


def _change_g(entry: LedgerEntry, kept_share: float) -> tuple[float, float]:
    if entry.kind == EntryKind.HARVEST:
        return -entry.nitrogen_g, -entry.phosphorus_g
    return entry.nitrogen_g * kept_share, entry.phosphorus_g
