"""Pages opened every morning stay light: queries counted, bytes weighed, on the demo garden."""

import gzip

import pytest
from django.test import Client
from django.urls import reverse

from flocks.models import Batch
from garden.models import Bed
from rotation.demo import demo_make
from tests.conftest import TODAY
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db
MOST_QUERIES = {"plan": 17}
"""The plan also holds itself against the garden as it is now, wishes and searches that go on included; every
other page keeps to the usual 12."""
USUAL_QUERIES = 12
MOST_BYTES = 60_000


@pytest.fixture
def demo():
    """Return a browser in which the demo garden's owner is signed in, and the garden."""
    user = UserFactory(username="demo")
    garden = demo_make(user=user, on=TODAY)
    client = Client()
    client.force_login(user)
    return client, garden


@pytest.mark.parametrize(
    "name", ["today", "beds", "eat", "bed_labels", "batch", "bed", "batches", "plan"]
)
def test_a_page_of_the_demo_is_light(demo, name, django_assert_max_num_queries):
    client, garden = demo
    ids = {"garden_id": garden.pk}
    if name == "batch":
        ids["batch_id"] = Batch.objects.get(name="First batch").pk
    if name == "bed":
        ids["bed_id"] = Bed.objects.get(garden=garden, name="Bed 1").pk
    # Session, user, membership with garden and undo step are four of them on every page.
    with django_assert_max_num_queries(MOST_QUERIES.get(name, USUAL_QUERIES)):
        answer = client.get(reverse(name, kwargs=ids))
    assert answer.status_code == 200
    assert len(gzip.compress(answer.content)) < MOST_BYTES
