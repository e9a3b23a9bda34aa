"""Where the feed store meets the birds: what is left, what they will need, when it runs out, what to buy.

Reads rows and asks the pure engines `feed_store`, `feed_need`, `feed_waste` and `feed_buying`. One forecast
for each unfinished batch; the rows are a garden's feeds with their lines and its batches with records.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from flocks.feed import phase_on
from flocks.feed_buying import (
    ANY,
    BuyingPlan,
    BuyingProblem,
    Feed,
    Lot,
    NoPurchaseError,
)
from flocks.feed_buying_search import cheapest_purchases
from flocks.feed_need import NeedCurves, RunOut, need_curves, runs_out
from flocks.feed_store import Bought, Counted, Given, StoredLot, lots_on, store_left
from flocks.feed_waste import NOTHING_MORE, Waste, waste_learnt
from flocks.forecasting import days, diet_of, engine_feed_records, forecast_of, paths_of
from flocks.headcount import alive_after, birds_alive, departures
from flocks.models import Batch, FeedHabits, FeedProduct
from garden.models import Garden
from garden.words import gettext as _

Array = NDArray[np.float64]

MOST_DAYS = 120
"""How far ahead feed is planned [day]. A choice: a batch and the brooder weeks of the next."""
LEAST_DAYS_RECORDED = 7
"""Days of feed records from which a batch's own waste is in its forecast [day]. A choice."""
GAP_DAYS = 14
"""Longest time without a record, and from hatch to the first, in a feed log that is whole [day]. A choice."""
MUCH_LEFT_SHARE = 1 / 3
"""Share of what is bought beyond which its being left over is remarked on [1]. A choice."""
SEED = 2026


@dataclass(frozen=True)
class StoreOutlook:
    """What the store has and needs, and when it runs out."""

    on: date
    lots: tuple[StoredLot, ...]
    waste: Waste
    paths: dict[str, Array]
    """Cumulative need by kind at the end of each day from `on`, (days, seasons) [kg]."""
    out: RunOut

    def day(self, number: int | None) -> date | None:
        """Return the day of a number counted from `on`."""
        return None if number is None else self.on + timedelta(days=number)

    @property
    def stock_kg(self) -> float:
        """Return what is in the store and still fresh [kg]."""
        return sum(lot.mass_kg for lot in self.lots if lot.stale_on > self.on)

    @property
    def stale(self) -> list[StoredLot]:
        """Return what is too old."""
        return [lot for lot in self.lots if lot.stale_on <= self.on]

    def all_needed(self) -> Array:
        """Return the need of all kinds together, (days, seasons) [kg]."""
        return sum(self.paths.values(), np.zeros((1, 1)))


@dataclass(frozen=True)
class Shopping(StoreOutlook):
    """The same with what it lacks."""

    needs: NeedCurves
    plan: BuyingPlan | None
    no_plan: str
    """Why there is no plan, where there is none."""

    @property
    def likely_left_kg(self) -> float:
        """Return what the likeliest flocks leave of the store and the purchases [kg]."""
        bought = self.plan.mass_kg if self.plan else 0.0
        return max(0.0, self.stock_kg + bought - float(np.median(self.all_needed()[-1])))

    @property
    def leaves_much(self) -> bool:
        """Tell whether so much is left that other bags should be thought of."""
        bought = self.plan.mass_kg if self.plan else 0.0
        phases = [kind for kind in self.needs.curves if kind != ANY]
        return bool(phases) and self.likely_left_kg > MUCH_LEFT_SHARE * bought > 0.0


def shopping_of(
    garden: Garden,
    on: date,
    batches: Sequence[Batch],
    feeds: Sequence[FeedProduct],
) -> Shopping:
    """Return the state of a garden's feed store on a day.

    Parameters
    ----------
    batches : sequence of Batch
        All of the garden's, with records and with `garden` set: finished ones teach the waste.
    feeds : sequence of FeedProduct
        All of the garden's by `with_store`, given up ones too.
    """
    seen = store_outlook(on, batches, feeds)
    fresh = lots_on(seen.lots, on)
    kinds = {lot.kind for lot in fresh} | {feed.kind for feed in feeds_on_sale(garden, feeds)}
    needs = need_curves(_by_feed(seen.paths, kinds))
    plan, no_plan = _plan(_problem(garden, on, needs, feeds, fresh, habits_of(garden, feeds)))
    return Shopping(
        on, seen.lots, seen.waste, seen.paths, seen.out, needs=needs, plan=plan, no_plan=no_plan
    )


def store_outlook(on: date, batches: Sequence[Batch], feeds: Iterable[FeedProduct]) -> StoreOutlook:
    """Return the same without a buying plan: no search, so for pages that only say when it runs out."""
    waste = waste_learnt(list(_ratios(batches)))
    lots = store_left([*_store_lines(feeds), *_given(batches)])
    paths = _paths([batch for batch in batches if batch.finished_on is None], on, waste)
    stock: dict[str, float] = {}
    for lot in lots_on(lots, on):
        stock[lot.kind] = stock.get(lot.kind, 0.0) + lot.mass_kg
    return StoreOutlook(on, lots, waste, paths, runs_out(paths, stock))


def feeds_on_sale(garden: Garden, feeds: Iterable[FeedProduct]) -> tuple[Feed, ...]:
    """Return the feeds to plan with: those with a price; without prices, each at the price of its mass.

    A garden that has named no feed buys the bag of its settings, for all ages.
    """
    on_sale = [feed for feed in feeds if feed.retired_on is None]
    priced = [feed for feed in on_sale if feed.price is not None]
    if priced:
        return tuple(
            Feed(feed.name, feed.kind, feed.bag_kg, feed.price, feed.keeps_days) for feed in priced
        )
    usual = FeedProduct(name=_("Feed"), bag_kg=garden.feed_bag_kg)
    return tuple(
        Feed(feed.name, feed.kind, feed.bag_kg, Decimal(f"{feed.bag_kg:.2f}"), feed.keeps_days)
        for feed in on_sale or [usual]
    )


def habits_of(garden: Garden, feeds: Sequence[FeedProduct] = ()) -> FeedHabits:
    """Return how a garden shops; unsaved where it never said.

    One query, and none where `feeds`, loaded by `FeedProductQuerySet.with_store`, brought it along.
    """
    if feeds:
        found = getattr(feeds[0].garden, "feed_habits", None)
    else:
        found = FeedHabits.objects.filter(garden=garden).first()
    return found or FeedHabits(garden=garden)


def waste_of(batch: Batch, learnt: Waste) -> Waste:
    """Return the waste to add to a batch's forecast: none where its feed was logged, or its strain learnt."""
    if batch.strain.startswith("own-"):
        return NOTHING_MORE
    given = list(batch.feedrecord_set.all())
    records = engine_feed_records(batch, given, departures(batch))
    recorded = sum(record.to_day - record.from_day for record in records)
    return NOTHING_MORE if recorded >= LEAST_DAYS_RECORDED else learnt


def _by_feed(paths: dict[str, Array], kinds: set[str]) -> dict[str, Array]:
    """Put phases together that have no feed of their own: one feed for all ages must cover their sum."""
    own = {kind: path for kind, path in paths.items() if kind in kinds}
    others = [path for kind, path in paths.items() if kind not in kinds]
    return own | ({ANY: sum(others)} if others else {})


def _plan(problem: BuyingProblem) -> tuple[BuyingPlan | None, str]:
    try:
        return cheapest_purchases(problem), ""
    except NoPurchaseError as error:
        return None, str(error)


def _problem(
    garden: Garden,
    on: date,
    needs: NeedCurves,
    feeds: Sequence[FeedProduct],
    fresh: tuple[Lot, ...],
    habits: FeedHabits,
) -> BuyingProblem:
    ahead = max((len(curve) for curve in needs.curves.values()), default=0)
    # Today is always a day to go: who has run out does not wait for Saturday.
    trips = [n for n in range(ahead) if (on + timedelta(days=n)).weekday() in habits.weekdays]
    return BuyingProblem(
        needs=tuple(needs.curves.items()),
        feeds=feeds_on_sale(garden, feeds),
        stock=fresh,
        trip_days=tuple(sorted({0, *trips})) if ahead else (),
        trip_cost=habits.trip_cost,
    )


def _store_lines(feeds: Iterable[FeedProduct]) -> Iterable[Bought | Counted]:
    for feed in feeds:
        for row in feed.feedpurchase_set.all():
            mass_kg = row.bags * feed.bag_kg
            yield Bought(row.on, row.logged_at, feed.name, feed.kind, mass_kg, feed.keeps_days)
        for row in feed.feedcount_set.all():
            yield Counted(row.on, row.logged_at, feed.name, feed.kind, row.mass_kg, feed.keeps_days)


def _given(batches: Iterable[Batch]) -> Iterable[Given]:
    for batch in batches:
        diet = diet_of(batch.strain)
        for row in batch.feedrecord_set.all():
            kind = phase_on(diet, batch.age_days(row.on)).name
            feed = row.product.name if row.product else ""
            yield Given(row.on, row.logged_at, kind, row.mass_kg, feed)


def _paths(running: Sequence[Batch], on: date, learnt: Waste) -> dict[str, Array]:
    """Return what all unfinished batches need together."""
    ends = [max(batch.processing_on, on + timedelta(days=1)) for batch in running]
    ahead = min(MOST_DAYS, max(((end - on).days for end in ends), default=0))
    daily: dict[str, Array] = {}
    for number, (batch, end) in enumerate(zip(running, ends, strict=True)):
        eaten_kg = _eaten_kg(batch, on, ahead, end, waste_of(batch, learnt), number)
        diet = diet_of(batch.strain)
        kinds = [
            phase_on(diet, batch.age_days(day)).name for day in days(on, on + timedelta(ahead))
        ]
        for kind in dict.fromkeys(kinds):
            mine = eaten_kg * np.array([[each == kind] for each in kinds])
            daily[kind] = daily.get(kind, 0.0) + mine
    return {kind: np.cumsum(each, axis=0) for kind, each in daily.items() if each.any()}


def _eaten_kg(batch: Batch, on: date, ahead: int, end: date, waste: Waste, number: int) -> Array:
    """Return what a batch is given on each day from `on`, (days, seasons) [kg]."""
    by_age = np.diff(paths_of(batch, on).feed_g, axis=0)
    ages = batch.age_days(on) + np.arange(ahead)
    there = (ages >= 0) & (ages < len(by_age)) & (np.arange(ahead) < (end - on).days)
    grams = by_age[np.clip(ages, 0, len(by_age) - 1)] * there[:, None]
    seasons = grams.shape[1]
    # Flocks of two batches are not alike because they have the same number.
    shuffled = np.random.default_rng(SEED + number).permutation(seasons)
    spilt = np.random.default_rng(SEED - 1 - number).permutation(seasons)
    factor = (1 + waste.share) * np.exp(waste.log_sd * ndtri((spilt + 0.5) / seasons))
    return birds_alive(batch, on) * grams[:, shuffled] * factor / 1000


def _ratios(batches: Iterable[Batch]) -> Iterable[float]:
    """Return given over eaten for the finished batches whose feed log is whole."""
    for batch in batches:
        if ratio := given_over_eaten(batch):
            yield ratio


def given_over_eaten(batch: Batch) -> float | None:
    """Return feed given over feed eaten of a finished batch [1]; None where its feed log is not whole."""
    eaten_kg = _whole_log_eaten_kg(batch) if batch.finished_on else None
    return sum(row.mass_kg for row in batch.feedrecord_set.all()) / eaten_kg if eaten_kg else None


def _whole_log_eaten_kg(batch: Batch) -> float | None:
    """Return what the tables and weighings say was eaten; None where feed went unlogged."""
    logged = sorted({row.on for row in batch.feedrecord_set.all()})
    edges: list[Any] = [batch.hatch_on, *logged, batch.finished_on]
    gaps = [(later - day).days for day, later in pairwise(edges)]
    if not logged or max(gaps) > GAP_DAYS:
        return None
    forecast = forecast_of(batch, batch.finished_on, feed_records=())
    gone = departures(batch)
    return sum(
        forecast.feed_kg(alive_after(batch, day, gone), day)
        for day in days(batch.hatch_on, batch.finished_on)
    )
