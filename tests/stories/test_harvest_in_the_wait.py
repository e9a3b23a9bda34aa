"""What is picked too soon after birds: the form of a harvest asks what becomes of it."""

from datetime import date

import pytest
from django.urls import reverse

from garden.models import EarlyHarvest, HarvestWeight, UndoStep
from rotation.models import Stay
from tests.factories import (
    CropFactory,
    PlantingFactory,
)

pytestmark = pytest.mark.django_db


def address(name, garden, *ids):
    return reverse(name, args=[garden.pk, *ids])


@pytest.fixture
def lettuce(garden, bed, stay):
    """Lettuce in the bed that birds left on 5 June: safe from 3 October."""
    crop = CropFactory(garden=garden, name="Lettuce", contact="touches")
    return PlantingFactory(
        bed=bed,
        crop=crop,
        starts_on=date(2026, 4, 20),
        first_harvest_on=date(2026, 6, 8),
        ends_on=date(2026, 10, 30),
    )


def test_a_harvest_inside_the_wait_asks_beside_the_field_what_becomes_of_it(
    owner, garden, bed, lettuce
):
    where = address("harvest_new", garden, bed.pk)
    assert "What becomes of it?" not in owner.get(where).content.decode()
    sent = {"planting": lettuce.pk, "on": "2026-06-10", "mass_kg": "1.5 kg"}

    asked = owner.post(where, sent)
    assert asked.status_code == 422
    shown = asked.content.decode()
    assert "Lettuce is not safe to eat raw before Sat 3 October 2026" in shown
    assert shown.count('name="why"') == 3
    assert 'value="1.5 kg"' in shown
    assert not HarvestWeight.objects.exists()
    assert owner.post(where, sent | {"why": "raw"}).status_code == 422
    assert owner.post(where, sent | {"why": "cooked"}).status_code == 302
    early = EarlyHarvest.objects.get()
    assert (early.planting, early.why, early.safe_from) == (lettuce, "cooked", date(2026, 10, 3))
    assert early.logged_by == owner.user
    # and both lines go with one tap
    owner.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))
    assert not HarvestWeight.objects.exists()
    assert not EarlyHarvest.objects.exists()


def test_a_harvest_moved_into_the_wait_is_asked_about_once(owner, garden, bed, lettuce):
    row = HarvestWeight.objects.create(
        bed=bed, crop=lettuce.crop, planting=lettuce, on=date(2026, 5, 1), mass_kg=1.0
    )
    where = address("harvest_edit", garden, row.pk)
    sent = {"planting": lettuce.pk, "on": "2026-06-11", "mass_kg": "1 kg"}

    assert owner.post(where, sent).status_code == 422
    assert owner.post(where, sent | {"why": "lost"}).status_code == 302
    assert owner.post(where, sent | {"mass_kg": "2 kg"}).status_code == 302  # said already
    assert EarlyHarvest.objects.count() == 1


def test_a_harvest_after_the_wait_needs_no_reason(owner, garden, bed, lettuce):
    Stay.objects.update(first_day=date(2026, 1, 2), end_day=date(2026, 1, 4))

    sent = {"planting": lettuce.pk, "on": "2026-06-10", "mass_kg": "1.5 kg"}
    assert owner.post(address("harvest_new", garden, bed.pk), sent).status_code == 302
    assert not EarlyHarvest.objects.exists()
