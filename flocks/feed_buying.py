"""What feed is needed, what is on sale, and a plan of purchases.

PURE. `flocks.feed_buying_search` finds the cheapest plan. Days are counted from 0, today. A need is a curve of
cumulative kilograms that must be on hand; how careful it is decides who draws it (`flocks.feed_need`).
Money is decimal: what is told is added up from the prices themselves.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

ANY = "any"
"""The kind of a feed that is given at every age."""


class NoPurchaseError(ValueError):
    """No purchases cover the need; the message says why."""


@dataclass(frozen=True)
class Feed:
    """A feed on sale.

    `kind` is the phase it is for, such as ``starter``, or `ANY`; `price` is that of one bag. It may be fed on
    `keeps_days` days from the one it was bought on, that day included.
    """

    name: str
    kind: str
    bag_kg: float
    price: Decimal
    keeps_days: int


@dataclass(frozen=True)
class Lot:
    """Feed in the store: its kind, how much [kg], and the day from which it is stale."""

    kind: str
    mass_kg: float
    stale_on: int


@dataclass(frozen=True)
class BuyingProblem:
    """What is needed, what is there, and where more can come from.

    Parameters
    ----------
    needs : tuple of (str, tuple of float)
        For each kind of feed the cumulative need at the end of each day, never falling [kg]; all of
        one length.
    feeds, stock
        What is on sale and what is in the store.
    trip_days : tuple of int
        Days on which one could go and buy, rising; feed bought is there for that day's meals.
    trip_cost : Decimal
        Of one trip, whatever is bought on it.
    """

    needs: tuple[tuple[str, tuple[float, ...]], ...]
    feeds: tuple[Feed, ...]
    stock: tuple[Lot, ...]
    trip_days: tuple[int, ...]
    trip_cost: Decimal = Decimal(0)


@dataclass(frozen=True)
class Purchase:
    """Bags of a feed to buy on a day."""

    day: int
    feed: Feed
    bags: int

    @property
    def cost(self) -> Decimal:
        """Return what they cost."""
        return self.bags * self.feed.price


@dataclass(frozen=True)
class BuyingPlan:
    """The purchases, by day and then by feed."""

    purchases: tuple[Purchase, ...]
    trip_cost: Decimal
    is_proven: bool
    """Whether nothing cheaper covers the need; otherwise the search was ended by its clock."""

    @cached_property
    def trips(self) -> tuple[int, ...]:
        """Return the days on which one goes."""
        return tuple(sorted({purchase.day for purchase in self.purchases}))

    @property
    def cost(self) -> Decimal:
        """Return what the bags and the trips cost."""
        bags = sum((purchase.cost for purchase in self.purchases), Decimal(0))
        return bags + len(self.trips) * self.trip_cost

    @property
    def mass_kg(self) -> float:
        """Return how much is bought [kg]."""
        return sum(purchase.bags * purchase.feed.bag_kg for purchase in self.purchases)
