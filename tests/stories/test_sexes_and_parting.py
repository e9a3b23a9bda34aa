"""What a grower knows of the birds beyond their weight: their sexes, who was picked, which feed they got."""

import re
from datetime import date, timedelta
from decimal import Decimal

import pytest

from flocks.feed_shopping import shopping_of
from flocks.forecasting import forecast_of, paths_of
from flocks.models import Batch, FeedProduct, FeedPurchase, FeedRecord, Processing, Weighing
from flocks.outlook import pen_outlooks
from tests.factories import BatchFactory, FeedProductFactory, PenFactory

pytestmark = pytest.mark.django_db
HATCHED = date(2026, 5, 10)


def loaded(batch: Batch) -> Batch:
    return Batch.objects.with_records().get(pk=batch.pk)


@pytest.fixture
def today(settings) -> date:
    settings.PRETEND_TODAY = HATCHED + timedelta(days=50)
    return settings.PRETEND_TODAY


@pytest.fixture
def batch(garden, today) -> Batch:
    return BatchFactory(
        garden=garden, hatch_on=HATCHED, chicks=40, strain="fast",
        processing_on=HATCHED + timedelta(days=63),
    )  # fmt: skip


def weight_g(batch: Batch, age: int, on_age: int = 50) -> float:
    at = loaded(batch)
    return (
        forecast_of(at, HATCHED + timedelta(days=on_age))
        .weight_g(HATCHED + timedelta(days=age))
        .median
    )


def test_a_batch_of_males_is_expected_to_be_heavier(batch):
    mixed = weight_g(batch, 42)
    Batch.objects.update(males=40)
    males = weight_g(batch, 42)
    Batch.objects.update(males=0)

    assert weight_g(batch, 42) < mixed < males
    assert males / weight_g(batch, 42) == pytest.approx(1.17, abs=0.05)


def test_a_weighing_of_females_does_not_make_the_flock_light(batch):
    on = HATCHED + timedelta(days=35)
    row = Weighing.objects.create(batch=batch, on=on, count=10, mean_g=1700)
    as_they_came = weight_g(batch, 42)
    row.sex = Weighing.Sex.FEMALE
    row.save()

    assert weight_g(batch, 42) > 1.02 * as_they_came


def test_a_strain_that_names_its_sex_is_not_moved_twice(batch):
    Batch.objects.update(strain="fast-male")
    told = weight_g(batch, 42)
    Batch.objects.update(males=40)
    Weighing.objects.create(batch=batch, on=HATCHED, count=10, mean_g=40, sex="male")

    assert weight_g(batch, 42) == told


def test_after_the_heaviest_went_the_rest_is_lighter_and_ready_later(batch):
    on = HATCHED + timedelta(days=42)
    before = forecast_of(loaded(batch), on + timedelta(days=1))
    Processing.objects.create(batch=batch, on=on, count=10, heaviest=True)
    after = forecast_of(loaded(batch), on + timedelta(days=1))
    later = on + timedelta(days=5)

    assert after.weight_g(on).median == before.weight_g(on).median
    assert 0.93 < after.weight_g(later).median / before.weight_g(later).median < 0.98
    assert after.ready_on.median > before.ready_on.median
    # Eaten up to then is what it was.
    assert after.on(after.eaten_g, on).median == pytest.approx(before.on(before.eaten_g, on).median)
    assert after.on(after.eaten_g, later).median < before.on(before.eaten_g, later).median


def test_birds_taken_as_they_came_leave_the_rest_as_it_was(batch):
    on = HATCHED + timedelta(days=42)
    before = forecast_of(loaded(batch), on)
    Processing.objects.create(batch=batch, on=on, count=10)

    assert forecast_of(loaded(batch), on).flock_g.median.tolist() == before.flock_g.median.tolist()


def test_a_weighing_of_the_rest_is_read_as_of_the_rest(batch):
    """Birds exactly as heavy as the rest should be change the forecast by nothing much."""
    on = HATCHED + timedelta(days=40)
    Processing.objects.create(batch=batch, on=on, count=10, heaviest=True)
    told = weight_g(batch, 49)
    Weighing.objects.create(batch=batch, on=HATCHED + timedelta(days=49), count=30, mean_g=told)

    assert weight_g(batch, 49) == pytest.approx(told, rel=0.01)
    Processing.objects.update(heaviest=False)
    assert weight_g(batch, 56) != pytest.approx(told, rel=0.01)


def test_the_page_of_readiness_asks_about_the_rest(batch, today):
    whole = paths_of(loaded(batch), today).weight_g[50].mean()
    Processing.objects.create(batch=batch, on=HATCHED + timedelta(days=42), count=10, heaviest=True)

    assert paths_of(loaded(batch), today).weight_g[50].mean() < 0.98 * whole


def test_forms_ask_for_what_is_known(helper, batch, garden):
    root = f"/g/{garden.pk}/batches/{batch.pk}/"
    day = (HATCHED + timedelta(days=35)).isoformat()
    assert "Females only" in helper.get(f"{root}weighings/new/").content.decode()
    helper.post(f"{root}weighings/new/", {"on": day, "sex": "male", "weights": "1900 2100"})
    helper.post(f"{root}processings/new/", {"on": day, "count": 5, "heaviest": "on"})

    assert Weighing.objects.get().sex == "male"
    assert Processing.objects.get().heaviest
    listed = helper.get(f"{root}processings/").content.decode()
    assert "5 birds processed, the heaviest" in listed


def test_a_weighing_of_a_strain_of_one_sex_does_not_ask_which(helper, batch, garden):
    Batch.objects.update(strain="fast-female")
    page = helper.get(f"/g/{garden.pk}/batches/{batch.pk}/weighings/new/").content.decode()

    assert "Females only" not in page


def test_more_males_than_chicks_are_refused_beside_the_field(owner, batch, garden):
    page = owner.get(f"/g/{garden.pk}/batches/{batch.pk}/edit/")
    form = page.context["form"]
    typed = {name: form[name].value() or "" for name in form.fields}
    typed |= {"males": 41, "pens": [PenFactory(garden=garden).pk], "target_g": "2.3 kg"}
    answer = owner.post(f"/g/{garden.pk}/batches/{batch.pk}/edit/", typed)

    assert answer.status_code == 422
    assert "There are fewer chicks than that." in answer.content.decode()


def test_feed_given_may_name_its_product(helper, batch, garden):
    root = f"/g/{garden.pk}/batches/{batch.pk}/feed/"
    assert "which feed" not in helper.get(f"{root}new/").content.decode().lower()
    barley = FeedProductFactory(garden=garden, name="Barley mix")
    FeedProductFactory(name="Of another garden")
    page = helper.get(f"{root}new/").content.decode()
    assert "Barley mix" in page
    assert "Of another garden" not in page
    day = (HATCHED + timedelta(days=35)).isoformat()
    helper.post(f"{root}new/", {"on": day, "mass_kg": "12", "product": barley.pk})

    assert FeedRecord.objects.get().product == barley
    assert "kg of Barley mix" in helper.get(root).content.decode()


def test_a_feed_of_another_garden_is_refused(helper, batch, garden):
    FeedProductFactory(garden=garden)
    theirs = FeedProductFactory(name="Of another garden")
    answer = helper.post(
        f"/g/{garden.pk}/batches/{batch.pk}/feed/new/",
        {"on": HATCHED.isoformat(), "mass_kg": "12", "product": theirs.pk},
    )

    assert answer.status_code == 422
    assert not FeedRecord.objects.exists()


def test_what_was_given_of_a_feed_leaves_that_feed_s_store(batch, garden, today):
    """Of two feeds for all ages the older bag would go first, unless the other one was named."""
    old, new = (
        FeedProductFactory(garden=garden, name=n, price=Decimal(10)) for n in ("Old", "New")
    )
    for feed, age in ((old, 20), (new, 30)):
        FeedPurchase.objects.create(product=feed, on=HATCHED + timedelta(days=age), bags=1)
    given = FeedRecord.objects.create(
        batch=batch, on=HATCHED + timedelta(days=40), mass_kg=10, product=new
    )

    def left() -> dict[str, float]:
        batches = list(garden.batches.with_records())
        for row in batches:
            row.garden = garden
        feeds = list(FeedProduct.objects.filter(garden=garden).with_store())
        lots = shopping_of(garden, today, batches, feeds).lots
        return {lot.feed: lot.mass_kg for lot in lots}

    assert left() == {"Old": pytest.approx(old.bag_kg), "New": pytest.approx(new.bag_kg - 10)}
    given.product = None
    given.save()
    assert left() == {"Old": pytest.approx(old.bag_kg - 10), "New": pytest.approx(new.bag_kg)}


def test_a_feed_that_is_deleted_leaves_what_was_given(batch, garden):
    feed = FeedProductFactory(garden=garden)
    FeedRecord.objects.create(batch=batch, on=HATCHED, mass_kg=10, product=feed)
    feed.delete()

    assert FeedRecord.objects.get().product is None


@pytest.mark.parametrize("left", [0, 1])
def test_no_bird_or_one_is_no_crowd(batch, today, left):
    Processing.objects.create(batch=batch, on=HATCHED + timedelta(days=45), count=40 - left)
    at = loaded(batch)
    told = pen_outlooks(at, forecast_of(at, today), today)

    assert all(outlook.crowded_on is None and outlook.too_many == 0 for outlook in told)
    assert sum(outlook.birds for outlook in told) == (left if told else 0)


def test_the_page_says_what_is_reckoned_with_and_why(owner, batch, garden):
    address = f"/g/{garden.pk}/batches/{batch.pk}/"
    plain = owner.get(address).content.decode()
    assert "weight of males and females" not in plain.lower()
    Batch.objects.update(males=12)
    on = HATCHED + timedelta(days=42)
    Processing.objects.create(batch=batch, on=on, count=10, heaviest=True)
    told = owner.get(address).content.decode()

    assert "12 of 40 are males." in told
    assert re.search(r"The 10 heaviest went: the rest is reckoned \d % lighter", told)
    assert "A weighing of one sex is read as" in told
    assert "the others keep their places as they grow" in " ".join(told.split())


def test_today_asks_what_the_page_asks(helper, batch, garden):
    pens = [PenFactory(garden=garden, name=name) for name in ("Front", "Back")]
    for pen in pens:
        batch.shares.create(pen=pen, birds=20)
    text = helper.get(f"/g/{garden.pk}/").content.decode()

    assert text.count(">Front</option>") == 4  # weight, feed, loss, water
    for asked in ('name="crate_g"', 'name="sex"', "Females only"):
        assert asked in text
    Batch.objects.update(strain="fast-female")
    assert "Females only" not in helper.get(f"/g/{garden.pk}/").content.decode()
