"""What feed to buy: against every other way of buying, on small problems, and its words on impossible ones."""

from decimal import Decimal
from itertools import product
from random import Random

import numpy as np
import pytest
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_flow

from flocks.feed_buying import ANY, BuyingProblem, Feed, Lot, NoPurchaseError, Purchase
from flocks.feed_buying_search import cheapest_purchases


def feed(name: str = "Feed", kind: str = ANY, bag_kg: float = 25, **changes: object) -> Feed:
    """Return a feed on sale."""
    usual = {"price": Decimal("16.90"), "keeps_days": 60}
    return Feed(name, kind, bag_kg, **(usual | changes))


def needing(daily: list[float], **changes: object) -> BuyingProblem:
    """Return a problem with one need."""
    usual = {
        "needs": ((ANY, tuple(np.cumsum(daily).tolist())),),
        "feeds": (feed(),),
        "stock": (),
        "trip_days": tuple(range(0, len(daily), 7)),
        "trip_cost": Decimal(5),
    }
    return BuyingProblem(**(usual | changes))


def covers(problem: BuyingProblem, purchases: list[Purchase]) -> bool:
    """Judge purchases day by day by the greatest flow of whole kilograms from lots to days."""
    lots = [(lot.kind, 0, lot.stale_on, lot.mass_kg) for lot in problem.stock]
    lots += [
        (one.feed.kind, one.day, one.day + one.feed.keeps_days, one.bags * one.feed.bag_kg)
        for one in purchases
    ]
    wants = [
        (kind, day, int(total - (curve[day - 1] if day else 0)))
        for kind, curve in problem.needs
        for day, total in enumerate(curve)
    ]
    size = len(lots) + len(wants) + 2
    capacity = np.zeros((size, size), dtype=np.int32)
    for n, (kind, first, stale, mass_kg) in enumerate(lots):
        capacity[0, 1 + n] = int(mass_kg)
        for m, (wanted, day, _) in enumerate(wants):
            if kind in (wanted, ANY) and first <= day < stale:
                capacity[1 + n, 1 + len(lots) + m] = 10_000
    for m, (_, _, kilograms) in enumerate(wants):
        capacity[1 + len(lots) + m, size - 1] = kilograms
    flow = maximum_flow(csr_array(capacity), 0, size - 1).flow_value
    return flow == sum(kilograms for _, _, kilograms in wants)


def cheapest_of_all(problem: BuyingProblem, most_bags: int) -> Decimal | None:
    """Try every number of bags of every feed on every trip."""
    places = [(day, each) for day in problem.trip_days for each in problem.feeds]
    best = None
    for numbers in product(range(most_bags + 1), repeat=len(places)):
        bought = [
            Purchase(day, each, bags)
            for (day, each), bags in zip(places, numbers, strict=True)
            if bags
        ]
        trips = len({one.day for one in bought})
        cost = sum((one.cost for one in bought), trips * problem.trip_cost)
        if (best is None or cost < best) and covers(problem, bought):
            best = cost
    return best


def random_problem(seed: int) -> BuyingProblem:
    """Return a week or so of one or two kinds, with feed that goes stale."""
    chance = Random(seed)
    days = chance.randint(4, 8)
    kinds = chance.choice([(ANY,), ("starter", "grower")])
    needs = tuple(
        (kind, tuple(np.cumsum([chance.randint(0, 3) for _ in range(days)]).tolist()))
        for kind in kinds
    )
    feeds = tuple(
        feed(
            f"Feed {n}",
            chance.choice([*kinds, ANY]),
            bag_kg=chance.choice([4, 6, 10]),
            price=Decimal(chance.randint(300, 900)) / 100,
            keeps_days=chance.randint(2, 9),
        )
        for n in range(2)
    )
    trips = tuple(sorted([0, *chance.sample(range(1, days), chance.randint(1, 2))]))
    stock = (Lot(chance.choice([*kinds, ANY]), chance.randint(1, 8), chance.randint(1, 9)),)
    return BuyingProblem(needs, feeds, stock, trips, Decimal(chance.randint(0, 400)) / 100)


@pytest.mark.parametrize("seed", range(24))
def test_nothing_is_cheaper_than_the_plan(seed):
    problem = random_problem(seed)
    best = cheapest_of_all(problem, most_bags=3)
    try:
        plan = cheapest_purchases(problem)
    except NoPurchaseError:
        assert best is None
        return
    assert plan.is_proven
    assert covers(problem, list(plan.purchases))
    if best is not None:  # the plan may also buy more than three bags at once
        assert plan.cost <= best
    if all(one.bags <= 3 for one in plan.purchases):
        assert plan.cost == best


def test_a_full_store_buys_nothing():
    plan = cheapest_purchases(needing([1.0] * 14, stock=(Lot(ANY, 14.0, 30),)))
    assert plan.purchases == ()
    assert plan.cost == 0


def test_stale_feed_feeds_nobody():
    plan = cheapest_purchases(needing([1.0] * 14, stock=(Lot(ANY, 100.0, 7),)))
    assert [(one.day, one.bags) for one in plan.purchases] == [(7, 1)]


def test_money_is_counted_in_cents():
    plan = cheapest_purchases(needing([3.0] * 10, trip_cost=Decimal("0.10")))
    # 30 kg are two bags; one is bought as late as the first runs out.
    assert plan.cost == 2 * Decimal("16.90") + len(plan.trips) * Decimal("0.10")
    assert isinstance(plan.cost, Decimal)


@pytest.mark.parametrize(("trip_cost", "trips"), [("0", 2), ("0.30", 2), ("50", 1)])
def test_dear_trips_are_made_together(trip_cost, trips):
    big = feed("Sack", bag_kg=20, price=Decimal("10.00"), keeps_days=8)
    lasting = feed("Lasting", bag_kg=20, price=Decimal("10.50"), keeps_days=60)
    problem = needing([20 / 7] * 14, feeds=(big, lasting), trip_cost=Decimal(trip_cost))
    plan = cheapest_purchases(problem)
    assert len(plan.trips) == trips


def test_of_two_bag_sizes_the_rest_goes_into_the_small_one():
    small = feed("Small", bag_kg=10, price=Decimal("8.00"))
    plan = cheapest_purchases(needing([33 / 7] * 7, feeds=(feed(), small)))
    assert {one.feed.name: one.bags for one in plan.purchases} == {"Feed": 1, "Small": 1}


def test_each_phase_gets_its_own_feed_or_one_for_all_ages():
    starter = (1.0, 2.0, 2.0, 2.0)
    grower = (0.0, 0.0, 3.0, 6.0)
    problem = BuyingProblem(
        needs=(("starter", starter), ("grower", grower)),
        feeds=(feed("S", "starter", 5), feed("G", "grower", 5, price=Decimal(1))),
        stock=(Lot(ANY, 1.0, 9),),
        trip_days=(0,),
    )
    bought = {one.feed.name: one.bags for one in cheapest_purchases(problem).purchases}
    # Six kilograms of grower feed: one bag, with the kilogram for all ages; the starter needs its own bag.
    assert bought == {"S": 1, "G": 1}


def test_a_phase_without_feed_is_named():
    problem = needing([1.0] * 7, needs=(("grower", (1.0, 2.0)),), feeds=(feed(kind="starter"),))
    with pytest.raises(NoPurchaseError, match="grower phase, or for all ages"):
        cheapest_purchases(problem)


def test_feed_that_does_not_keep_to_the_next_trip_is_told():
    with pytest.raises(NoPurchaseError, match="Allow more days for trips"):
        cheapest_purchases(needing([1.0] * 14, feeds=(feed(keeps_days=3),)))


def test_a_season_with_five_feeds_is_planned_in_a_moment():
    starter = tuple(np.cumsum([*np.linspace(0.3, 3, 21), *[0.0] * 35]).tolist())
    grower = tuple(np.cumsum([*[0.0] * 21, *np.linspace(3, 6, 35)]).tolist())
    problem = BuyingProblem(
        needs=(("starter", starter), ("grower", grower)),
        feeds=tuple(
            feed(f"F{n}", kind, bag, price=Decimal(price), keeps_days=42)
            for n, (kind, bag, price) in enumerate(
                [("starter", 25, "16.90"), ("grower", 25, "15.40"), ("starter", 10, "8.20")]
            )
        ),
        stock=(Lot(ANY, 12.5, 30),),
        trip_days=tuple(range(0, 56, 7)),
        trip_cost=Decimal(5),
    )
    assert cheapest_purchases(problem).is_proven


def test_a_search_that_the_clock_ended_does_not_say_that_nothing_can_be_bought(monkeypatch):
    need = tuple(np.cumsum(np.linspace(1, 6, 40)).tolist())
    problem = BuyingProblem(
        needs=(("starter", need), ("grower", need)),
        feeds=(feed("S", "starter", 25, keeps_days=20), feed("G", "grower", 10, keeps_days=20)),
        stock=(),
        trip_days=tuple(range(0, 40, 2)),
        trip_cost=Decimal(5),
    )
    monkeypatch.setattr("flocks.feed_buying_search.SEARCH_SECONDS", 0.0)
    with pytest.raises(NoPurchaseError, match="in a few seconds, though there may be some"):
        cheapest_purchases(problem)
