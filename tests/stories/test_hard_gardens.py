"""Gardens at the ends of what is possible: birds never processed, batches years ahead, far too many records."""

import time
from datetime import date, timedelta

import pytest
from django.urls import reverse

from flocks.models import Batch, Weighing
from garden.models import Garden
from pens.models import Pen
from rotation.models import Plan
from rotation.planning import plan_faults, plan_mend
from tests.conftest import TODAY
from tests.factories import BatchFactory, BatchPenFactory, BedFactory, PenFactory, StayFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _quick(settings) -> None:
    settings.PLAN_SECONDS = 0.1


@pytest.fixture
def pen(garden: Garden) -> Pen:
    """Return a pen, and three beds that it fits."""
    for _ in range(3):
        BedFactory(garden=garden)
    return PenFactory(garden=garden)


def batch_in(pen: Pen, hatched: int, processed: int | None = None) -> Batch:
    """Make a batch for a pen, by days from today."""
    hatch_on = TODAY + timedelta(days=hatched)
    days = {} if processed is None else {"processing_on": TODAY + timedelta(days=processed)}
    batch = BatchFactory(garden=pen.garden, hatch_on=hatch_on, **days)
    BatchPenFactory(batch=batch, pen=pen)
    return batch


def planned_days(batch: Batch) -> list[date]:
    """Return every day that the newest plan has a batch's pen somewhere."""
    return sorted(
        stay.first_day + timedelta(days=number)
        for stay in Plan.objects.first().stays.filter(batch=batch)
        for number in range((stay.end_day - stay.first_day).days)
    )


def test_the_next_birds_wait_while_the_overdue_ones_have_their_pen(garden, pen):
    """Nobody logged the processing of yesterday, and the next chicks were to come out today."""
    overdue, next_ones = batch_in(pen, -50, processed=-1), batch_in(pen, -24)
    plan_mend(garden=garden, on=TODAY, because="x")
    assert planned_days(overdue) == [TODAY]
    assert planned_days(next_ones)[0] == TODAY + timedelta(days=1)
    assert plan_faults(garden, TODAY) == []


def test_birds_that_stand_in_the_pen_have_it_before_older_ones_that_nobody_signed_off(garden, pen):
    gone, there = batch_in(pen, -50, processed=-1), batch_in(pen, -30)
    StayFactory(pen=pen, batch=there, bed=garden.beds.first(), first_day=TODAY - timedelta(days=2))
    plan_mend(garden=garden, on=TODAY, because="x")
    assert planned_days(gone) == []
    assert planned_days(there)[0] == TODAY


def test_a_batch_years_ahead_is_planned_when_its_time_comes(garden, pen, owner):
    far, near = batch_in(pen, 700), batch_in(pen, -20)
    plan_mend(garden=garden, on=TODAY, because="x")
    assert planned_days(near)
    assert planned_days(far) == []
    assert owner.get(reverse("plan", args=[garden.pk])).status_code == 200


def test_three_thousand_weighings_are_read_in_time(garden, pen, owner):
    batch = batch_in(pen, -33)
    Weighing.objects.bulk_create(
        Weighing(
            batch=batch,
            on=batch.hatch_on + timedelta(days=1 + number % 32),
            count=5,
            mean_g=60 + 55 * (number % 32) + number % 7,
        )
        for number in range(3000)
    )
    began = time.monotonic()
    answer = owner.get(reverse("today", args=[garden.pk]))
    assert answer.status_code == 200
    assert time.monotonic() - began < 10  # minutes, were each of them judged by itself


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Pacific/Pago_Pago", "Europe/Dublin"])
def test_every_page_opens_in_any_zone(zone, garden, owner, settings):
    settings.PRETEND_TODAY = None
    garden.time_zone = zone
    garden.save()
    for name in ("today", "beds", "batches", "plan", "build"):
        assert owner.get(reverse(name, args=[garden.pk])).status_code == 200
