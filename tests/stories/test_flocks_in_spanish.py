"""A grower who reads Spanish logs birds, feed and money; words change, and no figure or file does."""

import csv
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.translation import override

import flocks
from flocks import reference_words
from flocks.forecasting import forecast_of
from flocks.models import Batch, FeedRecord, Weighing
from flocks.record_kinds import KINDS
from garden.models import Garden, UndoStep
from tests.conftest import TODAY
from tests.factories import BatchPenFactory, CostFactory, LossFactory, WeighingFactory

REFERENCE = Path(flocks.__file__).parent / "reference"


@pytest.fixture(autouse=True)
def _english_afterwards() -> Iterator[None]:
    """A request leaves its language behind; the next story begins in English again."""
    with override("en-gb"):
        yield


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return ten birds, 33 days old, in Pen A."""
    share = BatchPenFactory(batch__garden=garden, batch__name="Spring batch", pen__name="Pen A")
    return share.batch


@pytest.fixture
def lector(helper: Client) -> Client:
    """Return a helper whose browser asks for Spanish."""
    helper.cookies["language"] = "es"
    return helper


def log(client: Client, kind: str, batch: Batch, **data: object) -> str:
    """Log a record of today; return the page that follows."""
    address = reverse(f"{kind}_new", args=[batch.garden_id, batch.pk])
    answer = client.post(address, {"on": TODAY.isoformat()} | data, follow=True)
    return answer.content.decode()


def test_figures_are_typed_and_told_with_a_comma(lector, batch):
    log(lector, "weighing", batch, weights="1,74 kg; 1,69 kg; 1,805 kg")
    assert Weighing.objects.get().weights_g == [1740, 1690, 1805]
    log(lector, "feed", batch, mass_kg="12,5")
    assert FeedRecord.objects.get().mass_kg == 12.5
    said = UndoStep.objects.order_by("pk").values_list("said", flat=True)
    assert list(said) == [
        "Anotado: 3 aves, 1,75 kg, Spring batch",
        "Anotado: 12,5 kg de pienso, Spring batch",
    ]


def test_one_bird_is_not_told_as_many(lector, batch):
    LossFactory(batch=batch, count=1, on=TODAY)
    LossFactory(batch=batch, count=2, on=TODAY)
    page = lector.get(reverse("loss_list", args=[batch.garden_id, batch.pk])).content.decode()
    assert "1 ave perdida" in page
    assert "2 aves perdidas" in page


def test_what_is_wrong_stands_beside_the_field_in_spanish(lector, batch):
    page = log(lector, "loss", batch, count="11", cause="unknown")
    assert "Solo quedan 10 aves." in page
    assert not batch.loss_set.exists()


def test_a_forecast_kept_in_memory_warns_each_reader_in_their_language(lector, viewer, batch):
    WeighingFactory(batch=batch, on=TODAY, count=10, mean_g=700)
    address = reverse("batch", args=[batch.garden_id, batch.pk])
    assert "¿es la estirpe correcta?" in lector.get(address).content.decode()
    assert "is it the right strain?" in viewer.get(address).content.decode()
    [told] = forecast_of(batch, TODAY).warnings
    with override("es"):
        assert str(told).startswith("el lote pesa el 39 %")


def test_a_file_says_the_same_to_every_reader(lector, viewer, batch):
    WeighingFactory(batch=batch, on=TODAY, count=2, mean_g=1700.5)
    address = reverse("batch_csv", args=[batch.garden_id, batch.pk])
    assert lector.get(address).content == viewer.get(address).content


def test_what_a_cost_is_for_is_told_whole(lector, batch):
    CostFactory(garden=batch.garden, batch=None, amount="90.50", seasons=2, what="", on=TODAY)
    page = lector.get(reverse("money", args=[batch.garden_id])).content.decode()
    assert "parte de 90,50, temporada 1 de 2" in page


def test_the_words_of_the_tables_are_those_that_are_translated():
    shown = {*reference_words.STRAINS, *reference_words.PHASES, *reference_words.SOURCES}
    read = set()
    for name, columns in (
        ("strains.csv", ("name", "curve_source", "spread_source", "feed_share_source")),
        ("feed_tables.csv", ("source",)),
        ("diet_phases.csv", ("phase",)),
    ):
        with (REFERENCE / name).open(encoding="utf-8", newline="") as lines:
            for row in csv.DictReader(lines):
                read.update(row[column] for column in columns)
    # Where the table stands as it is, there is nothing to tell.
    assert read - shown == {"as in the table"}
    assert shown <= read


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_every_kind_is_asked_for_in_spanish(lector, batch, kind):
    page = lector.get(reverse(f"{kind.key}_new", args=[batch.garden_id, batch.pk]))
    assert kind.ask not in page.content.decode()
