"""What a garden learns from its own finished batches, and where it says so."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from flocks.forecasting import forecast_of
from flocks.forms import BatchForm
from flocks.models import Batch
from flocks.own_birds import own_birds
from garden.models import Garden
from tests.conftest import TODAY
from tests.factories import BatchFactory, FeedRecordFactory, ProcessingFactory, WeighingFactory

SLOW_SHARE = 0.85
TABLE_G = {14: 435, 21: 822, 28: 1330, 42: 2500}
"""Poultry CRC, mean of the sexes."""


def finished(garden: Garden, days_ago: int) -> Batch:
    """Return a batch of years ago whose birds stayed behind the table."""
    hatch_on = TODAY - timedelta(days=days_ago)
    batch = BatchFactory(
        garden=garden, hatch_on=hatch_on, finished_on=hatch_on + timedelta(days=49)
    )
    for age, mean_g in TABLE_G.items():
        on = hatch_on + timedelta(days=age)
        WeighingFactory(batch=batch, on=on, count=10, mean_g=mean_g * SLOW_SHARE)
        FeedRecordFactory(batch=batch, on=on, mass_kg=10)
    ProcessingFactory(batch=batch, on=batch.finished_on, count=10)
    return batch


@pytest.fixture
def learnt(garden: Garden) -> list[Batch]:
    """Return two finished batches."""
    return [finished(garden, 700), finished(garden, 340)]


def page_of(client: Client, name: str, *ids: int) -> str:
    """Return a page with its white space evened out."""
    return " ".join(client.get(reverse(name, args=ids)).content.decode().split())


def test_the_comparison_tells_ones_own_birds_with_the_formula_in_words(viewer, garden, learnt):
    text = page_of(viewer, "batch_compare", garden.pk)
    assert "Your own birds, from your 2 batches" in text
    assert "Your 2 batches count for 2 parts in 3, the table for 1." in text
    [birds] = own_birds(garden, TODAY)
    for age, table_g, own_g in birds.weights:
        if age < 50:
            assert own_g < table_g


def test_a_garden_without_finished_batches_has_no_own_birds(viewer, garden):
    BatchFactory(garden=garden)
    assert "Your own birds" not in page_of(viewer, "batch_compare", garden.pk)
    assert "own-fast" not in dict(BatchForm(garden=garden).fields["strain"].choices)


def test_the_next_batch_can_be_of_ones_own_birds(
    owner, garden, learnt, django_assert_max_num_queries
):
    choices = dict(BatchForm(garden=garden).fields["strain"].choices)
    assert choices["own-fast"].endswith(", from your 2 batches")
    batch = BatchFactory(garden=garden, name="Next", strain="own-fast")
    with django_assert_max_num_queries(12):
        text = page_of(owner, "batch", garden.pk, batch.pk)
    assert "<b>Your own birds, from your 2 batches:</b>" in text
    assert "(learnt here)." in text
    table = BatchFactory(garden=garden, name="By the table", strain="fast")
    own_g, table_g = (forecast_of(each, TODAY).weight_g(TODAY).median for each in (batch, table))
    assert own_g < 0.95 * table_g


def test_pages_of_such_a_batch_stay_within_their_queries(
    owner, garden, learnt, django_assert_max_num_queries
):
    batch = BatchFactory(garden=garden, strain="own-fast")
    for name in ("batch_feeding", "weighing_advice"):
        with django_assert_max_num_queries(12):
            page_of(owner, name, garden.pk, batch.pk)
    with django_assert_max_num_queries(18):
        page_of(owner, "batch_compare", garden.pk)
