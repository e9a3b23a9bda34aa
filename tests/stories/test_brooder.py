"""The brooder page of a batch: how warm, how much room, and when the birds may go out."""

from datetime import timedelta

import pytest
from django.test import Client

from flocks.models import Batch
from garden.models import DayWeather, MonthWeather
from tests.conftest import TODAY
from tests.factories import BatchFactory, LossFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def batch(garden) -> Batch:
    """Return twenty chicks of ten days, to go out in a fortnight."""
    return BatchFactory(garden=garden, chicks=20, hatch_on=TODAY - timedelta(days=10))


def page(client: Client, batch: Batch) -> str:
    """Return the page's text."""
    return client.get(f"/g/{batch.garden.pk}/batches/{batch.pk}/brooder/").content.decode()


def nights(batch: Batch, low_c: float, *, days: int = 43) -> None:
    """Enter the same cold for every night of the first six weeks."""
    for age in range(days):
        on = batch.hatch_on + timedelta(days=age)
        DayWeather.objects.create(garden=batch.garden, on=on, low_c=low_c)


def test_today_and_every_day_of_age_are_told(batch, viewer):
    shown = page(viewer, batch)
    assert "Today, day 10: 29 °C to 32 °C" in shown
    assert "10, today" in shown
    assert shown.count("<tr>") >= 25
    assert "Fire" in shown


def test_room_is_for_the_chicks_that_live(batch, viewer):
    assert "0.93 m²" in page(viewer, batch)
    LossFactory(batch=batch, on=TODAY - timedelta(days=2), count=10)
    shown = page(viewer, batch)
    assert "How much room, 10 chicks" in shown
    assert "0.46 m²" in shown


def test_degrees_and_floor_in_the_gardens_units(batch, garden, viewer):
    garden.unit_system = "us"
    garden.save()
    shown = page(viewer, batch)
    assert "84 °F to 90 °F" in shown
    assert "ft²" in shown


def test_without_any_weather_the_page_says_what_it_takes_and_where_to_enter_it(batch, viewer):
    shown = page(viewer, batch)
    assert "if nights are not under 20 °C" in shown
    assert f"/g/{batch.garden.pk}/weather/" in shown


def test_nights_entered_decide(batch, helper):
    nights(batch, 12.0)
    cold = page(helper, batch)
    assert "looks too cold" in cold
    assert "From Tue 7 July on" in cold  # day 35: at five weeks 10 °C will do
    assert "as entered" in cold
    DayWeather.objects.update(low_c=21.0)
    assert "should be mild enough" in page(helper, batch)


def test_where_no_night_is_entered_the_month_is_taken(batch, viewer):
    for month in (6, 7):
        MonthWeather.objects.create(garden=batch.garden, month=month, low_c=16.0, high_c=24.0)
    shown = page(viewer, batch)
    assert "by what the month usually brings" in shown
    assert "From Tue 30 June on" in shown  # day 28: at four weeks 15.5 °C will do


def test_chicks_to_come_are_ordered_in_time(garden, viewer):
    later = BatchFactory(garden=garden, hatch_on=TODAY + timedelta(days=60))
    assert "Order the chicks by Tue 14 July 2026" in page(viewer, later)
    soon = BatchFactory(garden=garden, hatch_on=TODAY + timedelta(days=20))
    assert "Order the chicks now" in page(viewer, soon)


def test_two_weeks_is_too_young_whatever_the_night(garden, viewer):
    young = BatchFactory(
        garden=garden, hatch_on=TODAY, leaves_brooder_on=TODAY + timedelta(days=14)
    )
    nights(young, 25.0)
    assert "Day 14 is too young" in page(viewer, young)


def test_the_batch_page_leads_there_and_queries_do_not_grow(
    batch, viewer, django_assert_max_num_queries
):
    assert "brooder/" in viewer.get(f"/g/{batch.garden.pk}/batches/{batch.pk}/").content.decode()
    nights(batch, 12.0)
    with django_assert_max_num_queries(12):
        page(viewer, batch)
