"""Weighing made easy: crates, long lists, tables read in, how many birds and when."""

import gzip
import re
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from flocks.models import Batch, Weighing
from flocks.record_lines import MOST_LINES
from garden.models import Garden, UndoStep
from tests.conftest import TODAY
from tests.factories import BatchPenFactory, WeighingFactory


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return ten birds, 33 days old."""
    return BatchPenFactory(batch__garden=garden, batch__name="Spring batch").batch


def send(client: Client, batch: Batch, **data: object) -> HttpResponse:
    """Send a table of weights."""
    return client.post(reverse("weighings_import", args=[batch.garden_id, batch.pk]), data)


def log(client: Client, batch: Batch, **data: object) -> HttpResponse:
    """Log a weighing of today."""
    address = reverse("weighing_new", args=[batch.garden_id, batch.pk])
    return client.post(address, {"on": TODAY.isoformat()} | data)


@pytest.mark.parametrize(
    ("data", "mean_g"),
    [
        ({"count": "4", "together_g": "8.2 kg", "crate_g": "1.4 kg"}, 1700),
        ({"count": "4", "together_g": "6800"}, 1700),
    ],
)
def test_a_crate_is_weighed_with_its_birds(helper, batch, data, mean_g):
    assert log(helper, batch, **data).status_code == 302
    row = Weighing.objects.get()
    assert (row.count, row.mean_g, row.weights_g) == (4, mean_g, [])


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        ({"together_g": "6800"}, "Say how many birds are in the crate."),
        ({"count": "4", "together_g": "1 kg", "crate_g": "1.4 kg"}, "must be lighter"),
        ({"count": "4", "crate_g": "1.4 kg"}, "Give what crate and birds weigh together."),
        ({"count": "4", "mean_g": "1700", "together_g": "6800"}, "not both"),
        ({"count": "4", "together_g": "200 kg"}, "50.00 kg is too heavy"),
        ({"weights": "1700", "count": "1", "together_g": "1700"}, "not both"),
    ],
)
def test_a_crate_that_cannot_be_is_told(helper, batch, data, reason):
    response = log(helper, batch, **data)
    assert response.status_code == 422
    assert reason in response.content.decode()
    assert not Weighing.objects.exists()


def test_three_thousand_weighings_do_not_slow_the_page(owner, batch, django_assert_max_num_queries):
    Weighing.objects.bulk_create(
        Weighing(
            batch=batch,
            on=batch.hatch_on + timedelta(days=n % 33 + 1),
            count=2,
            mean_g=60 + 45 * (n % 33),
            weights_g=[55 + 45 * (n % 33), 65 + 45 * (n % 33)],
        )
        for n in range(3000)
    )
    with django_assert_max_num_queries(12):
        response = owner.get(reverse("batch", args=[batch.garden_id, batch.pk]))
    text = response.content.decode()
    assert len(gzip.compress(response.content)) < 60_000
    assert "Weighings (3,000)" in text
    assert text.count("/weighings/") < 3 * MOST_LINES
    assert text.count('<circle class="point"') == 33 + 1  # one a day, and one in the key
    page = owner.get(
        reverse("weighing_list", args=[batch.garden_id, batch.pk]), {"page": "60"}
    ).content.decode()
    assert "3,000 in all, newest first; page 60 of 60." in page
    assert "Older" not in page


def test_a_long_list_is_one_tap_from_the_batch(viewer, batch):
    for n in range(MOST_LINES + 1):
        WeighingFactory(batch=batch, on=batch.hatch_on + timedelta(days=n + 1), mean_g=100 + 40 * n)
    text = viewer.get(reverse("batch", args=[batch.garden_id, batch.pk])).content.decode()
    assert f"All {MOST_LINES + 1} of them" in text
    page = viewer.get(reverse("weighing_list", args=[batch.garden_id, batch.pk]))
    assert page.content.decode().count("8 birds, ") == MOST_LINES + 1
    assert "Read in a table" not in page.content.decode()


def test_a_table_is_looked_over_and_then_read_in_as_one_step(helper, garden, batch):
    text = "day,weight\n2026-06-07,1340\n2026-06-07,1290\n2026-05-31,800\n2026-06-30,9\n"
    look = send(helper, batch, text=text)
    shown = " ".join(look.content.decode().split())
    assert look.status_code == 200
    assert "2 weighings to add. 1 row cannot be read and will be left out." in shown
    assert "Row 5, “2026-06-30, 9”: Tue 30 June has not come yet." in shown
    assert "1.32 kg</td><td>2 and 1 more" in shown
    assert not Weighing.objects.exists()

    kept = re.search(
        r'<textarea name="text" hidden>(.*?)</textarea>', look.content.decode(), re.DOTALL
    )
    done = send(helper, batch, text=kept[1], confirm="1")
    assert done.status_code == 302
    assert [(row.count, row.mean_g) for row in Weighing.objects.all()] == [(1, 800), (2, 1315)]
    assert Weighing.objects.filter(logged_by=helper.user).count() == 2
    assert UndoStep.objects.latest("pk").said == "Read in: 2 weighings, Spring batch"
    helper.post(reverse("undo", args=[garden.pk, UndoStep.objects.latest("pk").pk]))
    assert not Weighing.objects.exists()


def test_a_file_is_read_and_sent_twice_adds_nothing(helper, batch):
    table = b"day;birds;mean\n2026-06-07;5;1,34 kg\n"
    for _ in range(2):
        look = send(helper, batch, file=SimpleUploadedFile("weights.csv", table))
        send(helper, batch, text=table.decode(), confirm="1")
    assert Weighing.objects.count() == 1
    assert "already here" in send(helper, batch, text=table.decode()).content.decode()
    assert look.status_code == 200


def test_what_the_product_exports_it_reads(helper, batch):
    WeighingFactory(batch=batch, count=2, mean_g=805, weights_g=[800, 810])
    exported = helper.get(reverse("batch_csv", args=[batch.garden_id, batch.pk])).content
    Weighing.objects.all().delete()
    send(helper, batch, text=exported.decode(), confirm="1")
    row = Weighing.objects.get()
    assert (row.count, row.mean_g, row.weights_g) == (2, 805, [800, 810])


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        ({"text": ""}, "Give a row of headings and at least one row of weights."),
        ({"text": "a,b\n1,2"}, "A column “day”"),
        ({"file": SimpleUploadedFile("w.csv", b"\xff\xfe\x00d")}, "Save the file as CSV in UTF-8"),
        ({"file": SimpleUploadedFile("w.csv", b"x" * 1_000_001)}, "larger than a megabyte"),
    ],
)
def test_what_is_no_table_is_told_beside_its_field(helper, batch, data, reason):
    response = send(helper, batch, **data)
    assert response.status_code == 422
    assert reason in response.content.decode()


def test_a_table_with_nothing_but_faults_adds_nothing(helper, batch):
    response = send(helper, batch, text="day,weight\n2026-06-07,50 kg\n", confirm="1")
    assert "Nothing new to add." in response.content.decode()
    assert not Weighing.objects.exists()


def test_who_may_read_in(viewer, stranger, batch):
    address = reverse("weighings_import", args=[batch.garden_id, batch.pk])
    assert viewer.get(address).status_code == viewer.post(address).status_code == 403
    assert stranger.get(address).status_code == stranger.post(address).status_code == 404


def test_the_page_says_how_many_birds_and_which_day(viewer, batch):
    WeighingFactory(batch=batch)
    address = reverse("weighing_advice", args=[batch.garden_id, batch.pk])
    text = " ".join(viewer.get(address).content.decode().split())
    assert re.search(r"Weigh \d of your 10 birds: their average is then within 5 %", text)
    days = re.search(r"On (\w{3} \d+ June): the day they are ready would then be known", text)
    assert days
    assert re.search(r"to about (\d+) days? instead of (\d+)\.", text)
