"""The demo garden's feed store: three feeds from a made-up shop, bought, given and counted."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from flocks.models import FeedCount, FeedHabits, FeedProduct, FeedPurchase
from garden.models import Garden

# name, for, bag kg, price of a bag, bags bought that many days ago, kg counted two days ago
FEEDS = (
    ("Chick crumb", "starter", 20.0, "15.80", ((34, 1), (9, 1)), 16.5),
    ("Grower pellet", "grower", 25.0, "16.40", ((13, 1),), 9.0),
    ("Finisher pellet", "finisher", 25.0, "15.90", (), None),
)
COUNTED_DAYS_AGO = 2
TRIP_COST = Decimal("4.50")
MEAT_PRICE_PER_KG = Decimal("9.50")


def feed_store_make(*, garden: Garden, user: Any, on: date) -> None:
    """Fill the feed store of a garden whose today is `on`."""
    FeedHabits.objects.create(
        garden=garden, trip_cost=TRIP_COST, meat_price_per_kg=MEAT_PRICE_PER_KG
    )
    for name, kind, bag_kg, price, bought, counted_kg in FEEDS:
        feed = FeedProduct.objects.create(
            garden=garden, name=name, kind=kind, bag_kg=bag_kg, price=Decimal(price)
        )
        for days_ago, bags in bought:
            FeedPurchase.objects.create(
                product=feed,
                on=on - timedelta(days=days_ago),
                bags=bags,
                price=feed.price,
                logged_by=user,
            )
        if counted_kg is not None:
            counted_on = on - timedelta(days=COUNTED_DAYS_AGO)
            FeedCount.objects.create(
                product=feed, on=counted_on, mass_kg=counted_kg, logged_by=user
            )
