"""Forecasts of finished batches are kept, and made anew as soon as anything they rest on changes."""

from datetime import timedelta

import pytest
from django.core.cache import cache
from django.urls import reverse

from flocks import forecasting
from flocks.forecasting import forecast_of
from flocks.models import Batch
from rotation import kept_forecasts
from rotation.dropped import careful_nitrogen_g, pen_droppings
from rotation.kept_forecasts import forecasts_of
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    CropFactory,
    FeedRecordFactory,
    LossFactory,
    PenFactory,
    WeighingFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def over(garden):
    """A batch finished a month ago, weighed once."""
    batch = BatchFactory(
        garden=garden,
        hatch_on=TODAY - timedelta(days=80),
        processing_on=TODAY - timedelta(days=31),
        finished_on=TODAY - timedelta(days=30),
    )
    WeighingFactory(batch=batch, on=TODAY - timedelta(days=55), count=5, mean_g=1200)
    return batch


@pytest.fixture
def worked_out(monkeypatch):
    """The batches that are worked out rather than remembered, from now on."""
    cache.clear()
    batches = []

    def forecast(batch, on, **asked):
        batches.append(batch.pk)
        return forecast_of(batch, on, **asked)

    monkeypatch.setattr(kept_forecasts, "forecast_of", forecast)
    return batches


def ask(batch, on=TODAY):
    return forecasts_of([Batch.objects.get(pk=batch.pk)], on)[batch.pk]


def test_a_finished_batch_is_worked_out_once(over, worked_out):
    first, again, tomorrow = ask(over), ask(over), ask(over, TODAY + timedelta(days=1))

    assert worked_out == [over.pk]
    told = forecast_of(over, over.finished_on)  # looks ahead as well, to the same figures
    for found in (first, again, tomorrow):
        days = len(found.nitrogen_g.median)
        assert days > (over.finished_on - over.hatch_on).days
        assert (found.nitrogen_g.median == told.nitrogen_g.median[:days]).all()
        assert (found.nitrogen_seasons_g == told.nitrogen_seasons_g[:days]).all()


def test_one_that_is_not_finished_is_asked_as_of_the_day(over, worked_out):
    Batch.objects.update(finished_on=None)
    ask(over)
    ask(over)

    assert worked_out == [over.pk, over.pk]
    assert forecasting.forecast_of(over, TODAY).last_day > TODAY


@pytest.mark.parametrize("change", ["weighing", "feed", "loss", "strain", "day"])
def test_whatever_it_rests_on_makes_it_anew(over, worked_out, change):
    ask(over)
    day = over.hatch_on + timedelta(days=20)
    if change == "weighing":
        over.weighing_set.update(mean_g=900)
    elif change == "feed":
        FeedRecordFactory(batch=over, on=day)
    elif change == "loss":
        LossFactory(batch=over, on=day)
    elif change == "strain":
        Batch.objects.update(strain="slow")
    else:
        Batch.objects.update(finished_on=TODAY - timedelta(days=29))
    ask(over)

    assert worked_out == [over.pk, over.pk]


def test_another_engine_makes_it_anew(over, worked_out, monkeypatch):
    ask(over)
    monkeypatch.setattr(kept_forecasts, "_engine", lambda: "another")
    ask(over)

    assert worked_out == [over.pk, over.pk]


def test_many_stays_are_told_as_one_by_one(garden, over):
    pen = PenFactory(garden=garden)
    BatchPenFactory(batch=over, pen=pen)
    LossFactory(batch=over, on=over.hatch_on + timedelta(days=30), count=3)
    forecast = forecast_of(over, TODAY)
    together = pen_droppings(over, pen.pk, forecast, TODAY, 0.8)

    for first, last in ((-3, 2), (22, 25), (28, 33), (40, 49), (60, 60)):
        days = [over.hatch_on + timedelta(days=age) for age in (first, last)]
        alone = careful_nitrogen_g(over, pen.pk, forecast, *days, 0.8)
        assert together.between(*days) == pytest.approx(alone)


def test_the_batch_page_leads_to_its_droppings(owner, garden, over):
    page = owner.get(reverse("batch", args=[garden.pk, over.pk])).content.decode()

    assert reverse("droppings", args=[garden.pk, over.pk]) in page


def test_a_crop_is_told_in_the_garden_s_units(owner, garden):
    crop = CropFactory(garden=garden, name="Cabbage", reference="Cabbage", nitrogen_kg_ha=180)
    where = reverse("crop", args=[garden.pk, crop.pk])
    assert "180 kg/ha, 18 g/m²" in owner.get(where).content.decode()
    garden.unit_system = "us"
    garden.save()

    assert "3.7 lb/1,000 sq ft" in owner.get(where).content.decode()
    listed = owner.get(reverse("crops", args=[garden.pk])).content.decode()
    assert "3.7 lb/1,000 sq ft" in listed
    assert "180 kg/ha" not in listed
