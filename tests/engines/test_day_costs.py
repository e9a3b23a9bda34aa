"""What a day more costs in feed and brings in meat, to the cent."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from flocks.day_costs import Prices, day_costs, last_paying_on, money, week_more
from flocks.growth import forecast
from flocks.ready import carcass_g
from flocks.strains import built_in_strains

HATCHED = date(2026, 5, 10)
PRICES = Prices(Decimal("0.60"), Decimal("6.00"))


@pytest.fixture(scope="module")
def paths():
    """Return a fast flock never weighed."""
    return forecast(built_in_strains()["fast"], ages=range(151)).paths


@pytest.mark.parametrize(
    ("grams", "price", "told"),
    [
        (1000, "0.65", "0.65"),
        (208.3333, "0.60", "0.12"),  # 0.12499…
        (208.3334, "0.60", "0.12"),
        (209, "0.60", "0.13"),  # 0.1254
        (0, "9", "0.00"),
    ],
)
def test_money_is_rounded_once_and_to_the_cent(grams, price, told):
    assert money(grams, Decimal(price)) == Decimal(told)
    assert money(grams, None) is None


def test_each_day_says_what_it_costs_and_brings(paths):
    [day] = day_costs(paths, HATCHED, [42], PRICES)
    assert day.on == HATCHED + timedelta(days=42)
    assert day.cost == money(day.feed_g, PRICES.feed_per_kg)
    dressed_g = carcass_g(day.weight_g + day.gain_g) - carcass_g(day.weight_g)
    assert day.worth == money(dressed_g, PRICES.meat_per_kg)
    assert day.pays is True


def test_feed_for_a_kilogram_rises_from_day_to_day(paths):
    ratios = [day.feed_per_gain for day in day_costs(paths, HATCHED, range(28, 70, 7), PRICES)]
    assert ratios == sorted(ratios)


def test_dear_feed_stops_paying_sooner(paths):
    def last(feed: str) -> date | None:
        prices = Prices(Decimal(feed), Decimal("3.00"))
        return last_paying_on(day_costs(paths, HATCHED, range(28, 120), prices))

    assert last("0.50") > last("1.00")
    assert last("50") is None


def test_without_prices_nothing_is_said_of_money(paths):
    [day] = day_costs(paths, HATCHED, [42], Prices(None, Decimal(6)))
    assert (day.cost, day.pays) == (None, None)
    assert last_paying_on([day]) is None


def test_a_week_is_the_sum_of_its_days(paths):
    week = week_more(paths, HATCHED, 42, 10, PRICES)
    days = day_costs(paths, HATCHED, range(42, 49), PRICES)
    assert week.feed_g[1] == pytest.approx(sum(day.feed_g for day in days), rel=0.02)
    assert week.gain_g[1] == pytest.approx(sum(day.gain_g for day in days), rel=0.02)
    assert week.feed_kg == pytest.approx(10 * week.feed_g[1] / 1000)
    assert week.so_far < week.feed_per_gain
    assert 0.05 < week.likely_lost < 0.3
