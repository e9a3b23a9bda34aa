"""The feed store: what is left, when it runs out, what to buy, and who may say so."""

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from flocks.feed_shopping import feeds_on_sale, shopping_of
from flocks.models import Batch, FeedCount, FeedHabits, FeedProduct, FeedPurchase
from garden.models import Garden, UndoStep
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    FeedCountFactory,
    FeedProductFactory,
    FeedPurchaseFactory,
    FeedRecordFactory,
    GardenFactory,
    ProcessingFactory,
    WeighingFactory,
)


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return ten birds, 33 days old, that are processed in 16 days."""
    return BatchFactory(garden=garden, name="Spring batch")


def page_of(client: Client, garden: Garden) -> str:
    """Return the page with its white space evened out."""
    response = client.get(reverse("feed_store", args=[garden.pk]))
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def shopping(garden: Garden) -> object:
    """Return what the page rests on."""
    batches = list(garden.batches.with_records())
    return shopping_of(garden, TODAY, batches, list(garden.feeds.with_store()))


def undo_newest(client: Client, garden: Garden) -> None:
    """Press Undo on the last step."""
    client.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))


def test_an_empty_store_says_what_to_do_first(owner, viewer, garden, batch):
    text = page_of(owner, garden)
    assert "No feed on your list yet." in text
    assert "The store does not hold today’s feed." in text
    assert "Fri 12 June, today" in text
    assert "Give your feeds a price" in text
    assert "Add a feed" in text
    assert "Add a feed" not in page_of(viewer, garden)


def test_a_garden_without_birds_buys_nothing(owner, garden):
    text = page_of(owner, garden)
    assert "No birds that need feed." in text
    assert "There is no batch to feed." in text


def test_a_feed_is_added_bought_counted_and_given(helper, garden, batch):
    helper.post(
        reverse("feed_product_new", args=[garden.pk]),
        {"name": "Grower", "kind": "any", "bag_kg": "25", "price": "16,90", "keeps_days": "42"},
    )
    feed = FeedProduct.objects.get()
    assert feed.price == Decimal("16.90")
    bought = {"on": "2026-06-01", "bags": "3", "price": ""}
    assert helper.post(reverse("feed_bought", args=[garden.pk, feed.pk]), bought).status_code == 302
    assert FeedPurchase.objects.get().price == Decimal("16.90")
    FeedRecordFactory(batch=batch, on=TODAY, mass_kg=5)
    assert "70.0 kg left, the oldest good to Mon 13 July" in page_of(helper, garden)
    counted = {"on": TODAY.isoformat(), "mass_kg": "12 kg"}
    helper.post(reverse("feed_counted", args=[garden.pk, feed.pk]), counted)
    text = page_of(helper, garden)
    assert "12.0 kg left" in text
    assert re.search(
        r"The store runs out between \w+ \d+ June and \w+ \d+ June, 8 times in 10.", text
    )
    undo_newest(helper, garden)
    assert not FeedCount.objects.exists()


def test_what_is_bought_covers_what_they_need(garden, batch):
    FeedProductFactory(garden=garden, name="All", price=Decimal("16.90"))
    state = shopping(garden)
    assert state.plan.is_proven
    assert state.plan.mass_kg >= state.needs.curves["any"][-1]
    hungry = (state.all_needed()[-1] <= state.plan.mass_kg).mean()
    assert hungry >= 0.95
    # Half of the flocks leave less than two bags: nobody buys for a season that never comes.
    assert state.likely_left_kg < 45


def test_the_plan_tells_days_bags_and_money(owner, garden, batch):
    FeedProductFactory(garden=garden, name="All", price=Decimal("16.90"))
    text = page_of(owner, garden)
    plan = shopping(garden).plan
    assert f"{plan.cost} in all, trips at 5.00 each included" in text
    assert "nothing cheaper keeps the chance of running out under 5 %" in text
    assert re.search(
        r"<b>Fri 12 June, today</b>, \d+\.\d\d<br>\d bags? of All, 25\.0 kg each", text
    )


def test_shopping_days_are_kept_and_more_than_two_are_refused(owner, garden, batch):
    address = reverse("feed_habits", args=[garden.pk])
    many = owner.post(address, {"days": ["0", "1", "2"], "trip_cost": "3"})
    assert many.status_code == 422
    assert "Choose the one or two days that suit best." in many.content.decode()
    answer = owner.post(address, {"days": ["1"], "trip_cost": "3,50", "meat_price_per_kg": "9"})
    assert answer.status_code == 302
    habits = FeedHabits.objects.get()
    assert (habits.weekdays, habits.trip_cost) == ({1}, Decimal("3.50"))
    days = {
        state_day.weekday() for state_day in map(shopping(garden).day, shopping(garden).plan.trips)
    }
    assert days <= {1, TODAY.weekday()}


def test_stale_feed_is_told_and_not_counted(owner, garden, batch):
    feed = FeedProductFactory(garden=garden, name="Old sack", keeps_days=30)
    FeedPurchaseFactory(product=feed, on=TODAY - timedelta(days=40), bags=4)
    text = page_of(owner, garden)
    assert "Too old:</strong> 100.0 kg of Old sack since Tue 2 June" in text
    assert shopping(garden).stock_kg == 0


def test_a_phase_without_feed_is_named(owner, garden, batch):
    FeedProductFactory(garden=garden, kind="starter")
    assert "No feed on your list is for all ages." in page_of(owner, garden)


def test_waste_is_learnt_from_a_batch_whose_feed_was_logged(garden, batch):
    assert shopping(garden).waste.batches == 0
    done = BatchFactory(
        garden=garden,
        name="Last year",
        hatch_on=TODAY - timedelta(days=400),
        finished_on=TODAY - timedelta(days=351),
    )
    end = done.finished_on
    for age in range(7, 49, 7):
        WeighingFactory(
            batch=done, on=done.hatch_on + timedelta(days=age), count=10, mean_g=_fast_g(age)
        )
    for age in range(0, 49, 7):
        FeedRecordFactory(batch=done, on=done.hatch_on + timedelta(days=age), mass_kg=9.5)
    ProcessingFactory(batch=done, on=end, count=10)
    assert shopping(garden).waste.batches == 1
    # A hole of three weeks in the log, and it teaches nothing.
    done.feedrecord_set.filter(on__gt=done.hatch_on + timedelta(days=25)).delete()
    assert shopping(garden).waste.batches == 0


def _fast_g(age: int) -> int:
    # Poultry CRC, mean of the sexes, by week; week 5 smoothed as in the reference table.
    return {7: 168, 14: 435, 21: 822, 28: 1330, 35: 1900, 42: 2500}[age]


def test_bags_of_every_phase_that_leave_much_are_remarked_on(owner, garden, batch):
    for kind in ("starter", "grower", "finisher"):
        FeedProductFactory(garden=garden, kind=kind, bag_kg=50.0)
    assert "Smaller bags, or one feed for all ages, leave less." in page_of(owner, garden)
    FeedProduct.objects.update(kind="any", bag_kg=5.0)
    assert "leave less" not in page_of(owner, garden)


def test_without_prices_bags_are_bought_by_their_mass(garden):
    FeedProductFactory(garden=garden, price=None)
    [feed] = feeds_on_sale(garden, garden.feeds.all())
    assert feed.price == Decimal("25.00")
    [usual] = feeds_on_sale(garden, ())
    assert (usual.kind, usual.bag_kg) == ("any", garden.feed_bag_kg)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"name": "Twin"}, "This garden already has a feed of that name."),
        ({"bag_kg": "0"}, "Give a weight of at least 1.0 kg."),
        ({"bag_kg": "a sack"}, "Give a weight"),
        ({"price": "-1"}, "greater than or equal to 0"),
        ({"price": "16.905"}, "no more than 2 decimal places"),
        ({"keeps_days": "0"}, "greater than or equal to 1"),
        ({"kind": "hay"}, "Select a valid choice"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(helper, garden, changes, reason):
    FeedProductFactory(garden=garden, name="Twin")
    usual = {"name": "New", "kind": "any", "bag_kg": "25", "price": "16.90", "keeps_days": "42"}
    response = helper.post(reverse("feed_product_new", args=[garden.pk]), usual | changes)
    assert response.status_code == 422
    assert reason in response.content.decode()
    assert FeedProduct.objects.count() == 1


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        ({"on": "2026-06-13", "bags": "1"}, "This day has not come yet."),
        ({"on": "2020-06-13", "bags": "1"}, "Give a day of the last two years."),
        ({"on": "2026-06-12", "bags": "0"}, "greater than or equal to 1"),
        ({"on": "2026-06-12", "bags": "900"}, "less than or equal to 500"),
    ],
)
def test_a_purchase_that_cannot_be_is_refused(helper, garden, data, reason):
    feed = FeedProductFactory(garden=garden)
    response = helper.post(reverse("feed_bought", args=[garden.pk, feed.pk]), data)
    assert response.status_code == 422
    assert reason in response.content.decode()


def test_a_line_is_removed_and_comes_back(helper, garden):
    line = FeedCountFactory(product__garden=garden)
    helper.post(reverse("feed_count_remove", args=[garden.pk, line.pk]))
    assert not FeedCount.objects.exists()
    undo_newest(helper, garden)
    assert FeedCount.objects.get().mass_kg == line.mass_kg


def test_a_feed_off_the_list_is_no_longer_bought(helper, garden, batch):
    feed = FeedProductFactory(garden=garden, name="Gone")
    helper.post(reverse("feed_product_retire", args=[garden.pk, feed.pk]))
    assert "Gone" not in page_of(helper, garden).partition("What to buy")[2]


def test_the_page_costs_the_same_for_many_batches(owner, garden, django_assert_max_num_queries):
    for n in range(4):
        BatchFactory(garden=garden, hatch_on=TODAY - timedelta(days=9 * n))
        FeedPurchaseFactory(product__garden=garden)
    with django_assert_max_num_queries(12):
        page_of(owner, garden)


def test_us_gardens_read_pounds(owner, garden, batch):
    Garden.objects.update(unit_system="us")
    FeedProductFactory(garden=garden, bag_kg=22.6796)
    text = re.sub(r"<script.*?</script>", "", page_of(owner, garden))
    assert "Bag of 50.0 lb" in text
    assert " kg" not in text


def test_a_stranger_finds_nothing_and_anothers_feed_is_not_ones_own(stranger, helper, garden):
    assert stranger.get(reverse("feed_store", args=[garden.pk])).status_code == 404
    theirs = FeedProductFactory(garden=GardenFactory())
    assert helper.get(reverse("feed_product_edit", args=[garden.pk, theirs.pk])).status_code == 404


def test_today_asks_in_one_line_when_the_feed_runs_out(helper, garden, batch):
    root = f"/g/{garden.pk}/batches/feed/"
    assert helper.get(f"{root}runs-out/").url == root
    nobody_keeps = helper.get(f"{root}runs-out/", headers={"HX-Request": "true"}).content.decode()
    assert "Feed store and what to buy" in nobody_keeps
    feed = FeedProductFactory(garden=garden, name="All")
    empty = helper.get(f"{root}runs-out/", headers={"HX-Request": "true"}).content.decode()
    assert "The store does not hold today’s feed." in empty
    FeedPurchase.objects.create(product=feed, on=garden.today(), bags=1)
    told = helper.get(f"{root}runs-out/", headers={"HX-Request": "true"}).content.decode()
    assert "The store runs out on Sat 20 June" in told
    assert "<html" not in told
    page = helper.get(f"/g/{garden.pk}/").content.decode()
    assert f'hx-get="{root}runs-out/"' in page


def test_the_line_costs_no_search_and_few_queries(
    helper, garden, batch, monkeypatch, django_assert_max_num_queries
):
    FeedProductFactory(garden=garden)
    monkeypatch.setattr("flocks.feed_shopping.cheapest_purchases", None)
    with django_assert_max_num_queries(13):
        helper.get(f"/g/{garden.pk}/batches/feed/runs-out/", headers={"HX-Request": "true"})
