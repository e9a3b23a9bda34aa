"""Where a batch's rows meet the growth engine."""

from datetime import date, timedelta

import pytest

from flocks.forecasting import (
    Estimate,
    birds_alive,
    birds_by_pen,
    draft_forecast,
    engine_feed_records,
    forecast_of,
    strain_of,
)
from flocks.growth import LAST_DAY
from flocks.headcount import departures
from flocks.models import Batch
from tests.conftest import TODAY
from tests.factories import (
    HATCHED,
    BatchFactory,
    BatchPenFactory,
    FeedRecordFactory,
    LossFactory,
    PenFactory,
    ProcessingFactory,
    WeighingFactory,
)

pytestmark = pytest.mark.django_db


def aged(days: int) -> date:
    """Return the day on which the birds of the stories are some days old."""
    return HATCHED + timedelta(days=days)


@pytest.fixture
def batch() -> Batch:
    """Return ten birds, 33 days old today, in one pen."""
    return BatchPenFactory(pen__floor_m2=1.2).batch


def test_a_heavier_weighing_brings_the_day_forward(batch):
    before = forecast_of(batch, TODAY).ready_on.median
    WeighingFactory(batch=batch, on=aged(28), count=8, mean_g=1600)
    assert forecast_of(Batch.objects.get(), TODAY).ready_on.median < before


def test_a_weighing_narrows_the_interval(batch):
    def width(forecast):
        return forecast.weight_g(TODAY).high - forecast.weight_g(TODAY).low

    before = width(forecast_of(batch, TODAY))
    WeighingFactory(batch=batch, on=aged(32), count=10, mean_g=1650)
    assert width(forecast_of(Batch.objects.get(), TODAY)) < before / 2


def test_what_is_logged_for_later_days_is_not_known_yet(batch):
    before = forecast_of(batch, aged(20)).weight_g(TODAY)
    WeighingFactory(batch=batch, on=aged(30), mean_g=900)
    assert forecast_of(Batch.objects.get(), aged(20)).weight_g(TODAY) == before


def test_rows_not_saved_can_be_tried(batch):
    trial = WeighingFactory.build(batch=batch, on=aged(28), count=8, mean_g=1000)
    lighter = forecast_of(batch, TODAY, weighings=[trial])
    assert lighter.weight_g(TODAY).median < forecast_of(batch, TODAY).weight_g(TODAY).median


def test_single_weights_tell_more_than_their_mean(batch):
    even = WeighingFactory.build(batch=batch, on=aged(28), count=3, mean_g=1300)
    even.weights_g = [1290, 1300, 1310]
    uneven = WeighingFactory.build(batch=batch, on=aged(28), count=3, mean_g=1300)
    uneven.weights_g = [900, 1300, 1700]

    def spread(row):
        forecast = forecast_of(batch, TODAY, weighings=[row])
        return forecast.on(forecast.bird_g, TODAY).high - forecast.on(forecast.bird_g, TODAY).low

    assert spread(even) < spread(uneven)


def test_days_outside_the_forecast_are_answered(batch):
    forecast = forecast_of(batch, TODAY)
    assert forecast.weight_g(HATCHED - timedelta(days=1)) == Estimate(0.0, 0.0, 0.0)
    long_after = forecast.last_day + timedelta(days=400)
    # The weight array has one entry more than the daily ones: the end of the last day.
    assert forecast.weight_g(long_after).median == pytest.approx(forecast.flock_g.median[-1])
    assert forecast.feed_kg(10, HATCHED - timedelta(days=5), HATCHED) == 0.0


def test_daily_figures_add_up(batch):
    forecast = forecast_of(batch, TODAY)
    eaten = forecast.on(forecast.eaten_g, TODAY).median
    # Medians of sums are not sums of medians, but here they are close.
    assert forecast.feed_kg(10, HATCHED, TODAY) == pytest.approx(10 * eaten / 1000, rel=0.02)
    dropped = forecast.nitrogen_g_by_day(10, TODAY, TODAY + timedelta(days=3))
    assert len(dropped) == 3
    # Reference table: a bird of week 5 drops about 2.1 to 2.6 g of nitrogen a day.
    assert dropped[0] == pytest.approx(23, rel=0.25)


def test_a_pen_gets_too_tight_on_the_first_day_over_the_limit(batch):
    forecast = forecast_of(batch, TODAY)
    first_day, end_day = aged(24), aged(49)
    crowded_on = forecast.crowded_on(14, 1.2, 20.0, first_day, end_day)
    assert first_day < crowded_on < end_day
    assert forecast.density_kg_m2(14, 1.2, crowded_on) > 20.0
    assert forecast.density_kg_m2(14, 1.2, crowded_on - timedelta(days=1)) <= 20.0
    assert forecast.crowded_on(2, 1.2, 20.0, first_day, end_day) is None


def test_a_forecast_reaches_past_processing_but_never_past_its_end(batch):
    assert forecast_of(batch, TODAY).last_day >= batch.processing_on
    batch.processing_on = aged(600)
    assert forecast_of(batch, TODAY).last_day == aged(LAST_DAY - 1)
    assert len(forecast_of(batch, TODAY, last_age=5000).flock_g.median) == LAST_DAY + 1


def test_birds_only_thought_of_can_be_forecast():
    draft = draft_forecast("fast", TODAY, target_g=2400)
    assert draft.ready_on.low < draft.ready_on.median < draft.ready_on.high
    assert draft_forecast("label", TODAY, target_g=2400).ready_on.median > draft.ready_on.median
    assert draft_forecast("label", TODAY, target_g=8000).ready_on.median is None


def test_a_strain_that_is_gone_is_an_unknown_one():
    assert strain_of("blue giants") == strain_of("unknown")


def feed(batch: Batch, *fillings: tuple[int, float]) -> list[tuple[float, float, float]]:
    """Give feed [kg] at some ages and return what the engine is told."""
    given = [FeedRecordFactory(batch=batch, on=aged(age), mass_kg=kg) for age, kg in fillings]
    records = engine_feed_records(batch, given, departures(batch))
    return [(row.from_day, row.to_day, row.feed_per_bird_g) for row in records]


def test_a_filling_lasts_until_the_next(batch):
    assert feed(batch, (0, 1.0), (4, 2.0), (8, 9.0)) == [(0, 4, 100.0), (4, 8, 200.0)]


def test_one_filling_alone_tells_nothing(batch):
    assert feed(batch, (3, 2.0)) == []


def test_feed_of_one_day_in_two_pens_is_one_filling(batch):
    assert feed(batch, (4, 1.0), (2, 1.0), (2, 0.5)) == [(2, 4, 150.0)]


def test_lost_birds_do_not_eat(batch):
    LossFactory(batch=batch, on=aged(2), count=5)
    # 10 birds on days 0 and 1, 5 birds on days 2 and 3: 30 bird-days share 3 kg.
    assert feed(batch, (0, 3.0), (4, 1.0)) == [(0, 4, pytest.approx(400.0))]


def test_a_long_gap_means_that_nobody_logged(batch):
    assert feed(batch, (0, 1.0), (2, 5.0), (17, 1.0), (18, 1.0)) == [
        (0, 2, pytest.approx(100.0)),
        (17, 18, pytest.approx(100.0)),
    ]


def test_birds_are_counted_by_pen():
    batch = BatchFactory(chicks=20)
    one, two = (BatchPenFactory(batch=batch, birds=10).pen for _ in range(2))
    LossFactory(batch=batch, on=aged(3), count=2)  # in the brooder: nobody knows whose
    LossFactory(batch=batch, pen=one, on=aged(26), count=3)
    ProcessingFactory(batch=batch, pen=two, on=aged(40), count=4)
    assert birds_alive(batch, aged(30)) == 15
    assert birds_by_pen(batch, aged(2)) == {one.pk: 10, two.pk: 10}
    assert birds_by_pen(batch, aged(30)) == {one.pk: 6, two.pk: 9}
    assert sum(birds_by_pen(batch, aged(45)).values()) == birds_alive(batch, aged(45)) == 11


def test_a_batch_loaded_with_its_records_asks_nothing_more(batch, django_assert_num_queries):
    WeighingFactory(batch=batch)
    FeedRecordFactory(batch=batch)
    PenFactory()
    with django_assert_num_queries(6):  # batch, shares with pens, four kinds of record
        loaded = Batch.objects.with_records().get()
        forecast_of(loaded, TODAY)
        birds_by_pen(loaded, TODAY)


def test_hens_kept_for_years_break_nothing(batch):
    for age in (140, 160, 900):
        WeighingFactory(batch=batch, on=aged(age), mean_g=4000)
        FeedRecordFactory(batch=batch, on=aged(age))
        FeedRecordFactory(batch=batch, on=aged(age + 5))
    forecast = forecast_of(batch, aged(1000))
    assert forecast.last_day == aged(LAST_DAY - 1)
    assert forecast.weight_g(aged(1000)).median == forecast.flock_g.median[-1]
