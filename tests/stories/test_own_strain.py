"""A garden that has raised four batches of its own birds forecasts the fifth by them."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from flocks.forecasting import forecast_of, own_strain_of, strain_for, strain_of
from flocks.models import Batch, Processing
from garden.models import Garden
from rotation.batch_log import load_log
from rotation.facts import facts_of
from rotation.today import day_sheet
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    FeedRecordFactory,
    GardenFactory,
    PenFactory,
    WeighingFactory,
)

pytestmark = pytest.mark.django_db

FIRST_HATCH = date(2025, 3, 1)


def raised(garden: Garden, number: int, share: float, strain: str = "fast", **more) -> Batch:
    """Return a finished batch that weighed a share of what its table says."""
    hatched = FIRST_HATCH + timedelta(days=60 * number)
    batch = BatchFactory(
        garden=garden,
        name=f"Batch {number}",
        strain=strain,
        hatch_on=hatched,
        leaves_brooder_on=hatched + timedelta(days=21),
        processing_on=hatched + timedelta(days=50),
        **({"finished_on": hatched + timedelta(days=50)} | more),
    )
    for age in (14, 28, 42):
        mean_g = share * float(strain_of("fast").curve.weight_g(age))
        WeighingFactory(batch=batch, on=hatched + timedelta(days=age), count=10, mean_g=mean_g)
    return batch


@pytest.fixture
def garden() -> Garden:
    """Return a garden with four light batches behind it."""
    garden = GardenFactory()
    for number in range(4):
        raised(garden, number, 0.8)
    return garden


def next_batch(garden: Garden, strain: str) -> Batch:
    batch = raised(garden, 9, 0.8, strain=strain, finished_on=None)
    batch.weighing_set.all().delete()
    return Batch.objects.get(pk=batch.pk)


def test_the_next_batch_is_expected_lighter_from_your_4_batches(garden):
    by_table, on = next_batch(garden, "fast"), FIRST_HATCH + timedelta(days=540)
    table_g = forecast_of(by_table, on).weight_g(by_table.hatch_on + timedelta(days=42)).median
    Batch.objects.filter(pk=by_table.pk).update(strain="own-fast")
    own = Batch.objects.get(pk=by_table.pk)

    assert own_strain_of(own).told == "from your 4 batches"
    own_g = forecast_of(own, on).weight_g(own.hatch_on + timedelta(days=42)).median
    assert own_g / table_g == pytest.approx(0.85, abs=0.03)


def test_a_garden_without_finished_batches_falls_back_to_the_table():
    batch = next_batch(GardenFactory(), "own-fast")

    assert own_strain_of(batch) is None
    assert strain_for(batch) == strain_of("fast")


def test_another_garden_s_batches_and_other_strains_teach_nothing(garden):
    other = GardenFactory()
    raised(other, 1, 1.3)
    raised(garden, 5, 1.3, strain="ranger")

    assert own_strain_of(next_batch(garden, "own-fast")).batches == 4
    assert own_strain_of(next_batch(other, "own-fast")).batches == 1


def test_a_batch_is_not_taught_by_later_ones(garden):
    second = garden.batches.get(name="Batch 1")

    assert own_strain_of(second).batches == 1


def test_feed_that_was_logged_is_learnt_too(garden):
    plain = own_strain_of(next_batch(garden, "own-fast")).strain
    for batch in garden.batches.exclude(finished_on=None):
        for day in range(0, 43, 7):
            FeedRecordFactory(batch=batch, on=batch.hatch_on + timedelta(days=day), mass_kg=12)
    sparing = own_strain_of(Batch.objects.get(strain="own-fast")).strain

    assert sparing.feed_at_weight != plain.feed_at_weight


def test_the_garden_s_batches_are_read_once(garden, django_assert_num_queries):
    batch = next_batch(garden, "own-fast")
    batch.garden = Garden.objects.get(pk=garden.pk)

    with django_assert_num_queries(6):
        strain_for(batch)
        strain_for(batch)


def test_today_and_the_planner_learn_a_strain_once_however_many_batches_use_it(garden):
    def queries() -> tuple[int, int]:
        fresh = Garden.objects.get(pk=garden.pk)
        with CaptureQueriesContext(connection) as sheet:
            day_sheet(fresh, on)
        fresh = Garden.objects.get(pk=garden.pk)
        with CaptureQueriesContext(connection) as facts:
            facts_of(fresh, on)
        return len(sheet), len(facts)

    on = FIRST_HATCH + timedelta(days=560)
    one = raised(garden, 9, 0.8, strain="own-fast", finished_on=None)
    BatchPenFactory(batch=one, pen=PenFactory(garden=garden))
    with_one = queries()
    for number in (10, 11):
        more = raised(garden, number, 0.8, strain="own-fast", finished_on=None)
        BatchPenFactory(batch=more, pen=PenFactory(garden=garden))

    assert queries() == with_one


def test_the_planner_s_log_tells_who_was_picked(garden):
    batch = raised(garden, 9, 0.8, finished_on=None)
    WeighingFactory(batch=batch, on=batch.hatch_on + timedelta(days=20), sex="female")
    Processing.objects.create(
        batch=batch, on=batch.hatch_on + timedelta(days=30), count=2, heaviest=True
    )
    batch = garden.batches.prefetch_related("shares").get(pk=batch.pk)
    load_log([batch])

    assert {row.sex for row in batch.weighing_set.all()} == {"", "female"}
    assert [row.heaviest for row in batch.processing_set.all()] == [True]
