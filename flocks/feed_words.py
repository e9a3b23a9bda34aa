"""The feed store as its page tells it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby

from flocks.feed_buying import Purchase
from flocks.feed_shopping import Shopping, StoreOutlook
from flocks.models import FeedProduct, FeedPurchase
from garden.day_words import day_words
from garden.units import FEED_MASS, System
from garden.words import figure, ngettext
from garden.words import gettext as _

NEWEST_LINES = 12
"""Lines of the store that its page lists. A choice."""


def when_out(shopping: StoreOutlook) -> str:
    """Return one sentence on when the store runs out, such as between Wed 4 March and Sat 7 March."""
    low, high = shopping.day(shopping.out.low), shopping.day(shopping.out.high)
    if not shopping.paths:
        return _("No birds that need feed.")
    if low is None:
        return _("What is in the store lasts to the last processing day.")
    if low == high == shopping.on:
        return _("The store does not hold today’s feed.")
    if high is None:
        return _("The store runs out on {day} at the earliest, and perhaps lasts.").format(
            day=day_words(low)
        )
    if low == high:
        return _("The store runs out on {day}.").format(day=day_words(low))
    return _("The store runs out between {low} and {high}, 8 times in 10.").format(
        low=day_words(low), high=day_words(high)
    )


@dataclass(frozen=True)
class Trip:
    """What to buy on a day."""

    on: date
    purchases: tuple[Purchase, ...]
    cost: Decimal
    """With the trip."""


def purchases_by_day(shopping: Shopping) -> list[Trip]:
    """Return the trips of the plan."""
    if shopping.plan is None:
        return []
    trips = []
    for day, group in groupby(shopping.plan.purchases, key=lambda purchase: purchase.day):
        bought = tuple(group)
        cost = sum((one.cost for one in bought), shopping.plan.trip_cost)
        trips.append(Trip(shopping.day(day), bought, cost))
    return trips


@dataclass(frozen=True)
class StoredFeed:
    """A feed with what is left of it."""

    feed: FeedProduct
    mass_kg: float
    stale_on: date | None
    """Day on which the oldest of it is too old; None where nothing is left."""
    is_stale: bool


def store_by_feed(shopping: Shopping, feeds: Iterable[FeedProduct]) -> list[StoredFeed]:
    """Return each feed that is on the list or in the store."""
    told = []
    for feed in feeds:
        lots = [lot for lot in shopping.lots if lot.feed == feed.name]
        stale_on = min((lot.stale_on for lot in lots), default=None)
        if lots or not feed.retired_on:
            is_stale = stale_on is not None and stale_on <= shopping.on
            mass_kg = sum(lot.mass_kg for lot in lots)
            told.append(StoredFeed(feed, mass_kg, stale_on, is_stale))
    return told


@dataclass(frozen=True)
class StoreLine:
    """A purchase or a count as the page lists it."""

    kind: str
    pk: int
    on: date
    told: str


def _bought(row: FeedPurchase, feed: FeedProduct) -> str:
    told = {"n": row.bags, "feed": feed.name}
    if row.price is None:
        return ngettext("{n} bag of {feed}", "{n} bags of {feed}", row.bags).format(**told)
    priced = ngettext("{n} bag of {feed} at {price}", "{n} bags of {feed} at {price}", row.bags)
    return priced.format(**told, price=figure(row.price, 2))


def store_lines(feeds: Sequence[FeedProduct], system: System) -> list[StoreLine]:
    """Return the newest purchases and counts."""
    lines = []
    for feed in feeds:
        for row in feed.feedpurchase_set.all():
            lines.append((row, "purchase", _bought(row, feed)))
        for row in feed.feedcount_set.all():
            left = FEED_MASS.show(row.mass_kg, system)
            lines.append((row, "count", _("{feed}: {mass} left").format(feed=feed.name, mass=left)))
    lines.sort(key=lambda line: (line[0].on, line[0].logged_at), reverse=True)
    return [StoreLine(kind, row.pk, row.on, told) for row, kind, told in lines[:NEWEST_LINES]]
