"""Money to the cent: shared out without losing one, written off over seasons, added up for a batch.

PURE. Amounts are `Decimal` in the garden's own money.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")


def to_cents(amount: Decimal) -> Decimal:
    """Return an amount rounded to the cent, half a cent up."""
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


def shared_out_money(amount: Decimal, weights: Sequence[int]) -> list[Decimal]:
    """Share an amount out by weights so that the shares sum to it to the cent.

    Parameters
    ----------
    amount : Decimal
        At least 0, in whole cents.
    weights : sequence of int
        At least 0 each.

    Returns
    -------
    list of Decimal
        A share for each weight. Cents that do not divide go to the largest remainders, the first first.

    Raises
    ------
    ValueError
        When nobody is there to take a share.
    """
    whole = sum(weights)
    if whole <= 0:
        raise ValueError("an amount takes somebody to carry it")
    exact = [amount * weight / whole for weight in weights]
    shares = [share.quantize(CENT, rounding=ROUND_FLOOR) for share in exact]
    left = int((amount - sum(shares, Decimal(0))) / CENT)
    order = sorted(range(len(weights)), key=lambda place: (shares[place] - exact[place], place))
    for place in order[:left]:
        shares[place] += CENT
    return shares


def written_off(amount: Decimal, seasons: int) -> list[Decimal]:
    """Return each season's part of an amount; together they are all of it."""
    return shared_out_money(amount, [1] * seasons)


@dataclass(frozen=True)
class MoneyLine:
    """One line of an account."""

    what: str
    amount: Decimal
    """In whole cents."""
    how: str = ""
    """How it comes about, in words."""


@dataclass(frozen=True)
class Account:
    """What a batch cost and brought in."""

    lines: tuple[MoneyLine, ...]
    sold: Decimal
    birds: int
    """Birds processed and fit to eat."""
    dressed_kg: float | None
    hours: Decimal
    worth_per_kg: Decimal | None
    """What a kilogram dressed would sell for."""
    unit_kg: Decimal = Decimal(1)
    """The garden's unit of weight [kg]."""
    wasted: Decimal | None = None
    """What of the feed was given above what such birds eat."""
    currency: str = ""
    """The garden's money; empty where none is named."""

    @property
    def total(self) -> Decimal:
        """Return what it cost: the sum of the lines."""
        return sum((line.amount for line in self.lines), Decimal(0))

    @property
    def per_bird(self) -> Decimal | None:
        """Return the cost of a bird on the table."""
        return to_cents(self.total / self.birds) if self.birds else None

    @property
    def per_kg(self) -> Decimal | None:
        """Return the cost of a kilogram dressed."""
        kg = self._dressed
        return to_cents(self.total / kg) if kg else None

    @property
    def worth(self) -> Decimal | None:
        """Return what all of it would sell for."""
        kg = self._dressed
        return to_cents(self.worth_per_kg * kg) if kg and self.worth_per_kg is not None else None

    @property
    def margin(self) -> Decimal | None:
        """Return what would be left if all of it were sold."""
        return None if self.worth is None else self.worth - self.total

    @property
    def shortfall(self) -> Decimal | None:
        """Return what would be missing if all of it were sold."""
        return None if self.margin is None else -self.margin

    @property
    def per_dressed(self) -> Decimal | None:
        """Return the cost of the garden's own unit of dressed weight, a kilogram or a pound."""
        kg = self._dressed
        return to_cents(self.total * self.unit_kg / kg) if kg else None

    @property
    def worth_per_unit(self) -> Decimal | None:
        """Return what the garden's own unit of dressed weight would sell for."""
        worth = self.worth_per_kg
        return None if worth is None else to_cents(worth * self.unit_kg)

    @property
    def _dressed(self) -> Decimal | None:
        return Decimal(f"{self.dressed_kg:.3f}") if self.dressed_kg else None
