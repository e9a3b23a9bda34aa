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
MOST_QUERIES = {"plan": 17, "today": 13, "batch": 13}
"""The plan also holds itself against the garden as it is now, wishes and searches that go on included; Today
reads the books too, and a batch that was given a medicine what was set aside of its wait. Every other page
keeps to the usual 12."""
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


def test_pages_of_the_demo_are_light(demo, django_assert_max_num_queries):
    client, garden = demo
    pages = {name: {} for name in ("today", "beds", "eat", "bed_labels", "batches", "plan")}
    pages["batch"] = {"batch_id": Batch.objects.get(name="First batch").pk}
    pages["bed"] = {"bed_id": Bed.objects.get(garden=garden, name="Bed 1").pk}
    for name, ids in pages.items():
        # Session, user, membership with garden and undo step are four of them on every page.
        with django_assert_max_num_queries(MOST_QUERIES.get(name, USUAL_QUERIES), info=name):
            answer = client.get(reverse(name, kwargs=ids | {"garden_id": garden.pk}))
        assert answer.status_code == 200, name
        assert len(gzip.compress(answer.content)) < MOST_BYTES, name
