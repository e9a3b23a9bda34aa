"""The demo garden has something true to show on any day of the year."""

from datetime import date

import pytest

from flocks.models import Batch, Weighing
from flocks.stock import freezer_of
from flocks.withdrawal_words import wait_cautions
from garden.models import Garden, Planting
from rotation.demo import demo_make
from rotation.models import Plan, Stay
from rotation.planning import plan_faults
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "on",
    [date(2028, 2, 29), date(2026, 12, 31), date(2027, 6, 21)],
    ids=["leap day", "new year's eve", "midsummer"],
)
def test_the_demo_is_whole_on_any_day(on, settings):
    settings.PRETEND_TODAY = on
    garden = demo_make(user=UserFactory(), on=on)
    assert garden.is_demo
    assert garden.beds.count() == 12
    now = Batch.objects.get(name="First batch")
    assert now.age_days(on) == 33
    assert Weighing.objects.filter(batch=now).count() == 4
    assert sum(loss.count for loss in now.loss_set.all()) == 2
    assert Stay.objects.of(garden).standing().count() == 2
    assert plan_faults(garden, on) == []
    plan = Plan.objects.first()
    stays = list(plan.stays.all())
    off_bed = sum((stay.end_day - stay.first_day).days for stay in stays if stay.bed_id is None)
    in_all = sum((stay.end_day - stay.first_day).days for stay in stays)
    # Some days off the beds are honest; a demo that mostly stood off them would show nothing. The plan must
    # stay clear of that by five days, so that small changes of the engine do not undo it.
    assert garden.plan_for == Garden.PlanFor.MOST
    assert off_bed <= in_all / 4 - 5
    assert Planting.objects.filter(bed__garden=garden).count() == 80
    assert freezer_of(garden, on).packs == 1
    assert [day.on for day in now.processingday_set.all()] == [now.processing_on]
    assert wait_cautions(now, on) == []
