"""A garden as one archive: out, in elsewhere, nothing lost; and archives that must not come in."""

import json
from datetime import UTC, datetime
from random import Random
from typing import Any

import pytest
from django.apps import apps
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from flocks.models import Weighing
from garden.models import Garden, Membership, Role
from rotation.archive import checksum, garden_archive
from rotation.archive_import import garden_bring_in
from rotation.archive_models import FLOORS, LEFT_BEHIND, carried_models, stays_behind
from rotation.archive_reading import DAMAGED, NEWER, NOT_ONE, ArchiveError, read_archive
from rotation.models import ChoreMark, WhatIf
from tests.any_rows import any_garden
from tests.factories import (
    BatchPenFactory,
    GardenFactory,
    MembershipFactory,
    PlantingFactory,
    UserFactory,
    WeighingFactory,
    WhatIfFactory,
    processed_sooner,
)
from tests.stories.test_every_address import rows_of

pytestmark = pytest.mark.django_db


class _PutBackError(Exception):
    """Ends an example and takes its rows with it."""


def told(archive: dict[str, Any]) -> dict[str, Any]:
    """Return what an archive says of the garden."""
    return {"garden": archive["garden"], "rows": archive["rows"]}


def there_and_back(garden: Garden, user: Any) -> tuple[dict[str, Any], Garden]:
    """Take a garden out, as a file, and in again for somebody."""
    archive = garden_archive(garden)
    read = read_archive(json.dumps(archive).encode())
    return archive, garden_bring_in(archive=read, user=user)


@settings(
    max_examples=12,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(seed=st.integers(0, 2**32))
def test_whatever_a_garden_holds_comes_out_as_it_went_in(db, seed):
    try:
        with transaction.atomic():
            garden = GardenFactory()
            users = [UserFactory(), UserFactory()]
            assume(any_garden(Random(seed), garden, users) > 5)
            archive, twin = there_and_back(garden, users[0])
            assert twin.pk != garden.pk
            again = garden_archive(twin)
            assert again["garden"] == archive["garden"]
            for label, rows in archive["rows"].items():
                assert again["rows"][label] == rows, label
            raise _PutBackError
    except _PutBackError:
        pass


def test_a_garden_with_a_row_of_nearly_everything_is_the_same_in_a_third_place(garden, owner):
    rows_of(garden, owner.user)
    archive = garden_archive(garden)
    empty = {label for label, rows in archive["rows"].items() if not rows}
    assert {"garden.soiltest", "garden.heap", "pens.design", "flocks.feedproduct"} - empty
    assert {"rotation.plannedstay", "rotation.pinnedstay", "rotation.closure"} - empty
    _, twin = there_and_back(garden, UserFactory())
    again, third = there_and_back(twin, UserFactory())
    assert told(again) == told(archive)
    assert told(garden_archive(third)) == told(archive)


def test_every_model_is_carried_or_says_that_it_stays_behind():
    mine = {
        model._meta.label_lower
        for floor in FLOORS
        for model in apps.get_app_config(floor).get_models()
    }
    carried = {each.label for each in carried_models()}
    behind = {label for label in mine if stays_behind(apps.get_model(label))}
    assert carried | behind == mine
    assert not carried & behind
    assert LEFT_BEHIND.keys() <= mine


def test_moments_and_names_of_those_who_logged_are_kept(garden, owner, stranger):
    batch = BatchPenFactory(batch__garden=garden).batch
    WeighingFactory(batch=batch, logged_by=owner.user, mean_g=812.5)
    long_ago = datetime(2026, 5, 31, 6, 30, 0, 123456, tzinfo=UTC)
    Weighing.objects.update(logged_at=long_ago)
    archive, twin = there_and_back(garden, stranger.user)
    row = Weighing.objects.get(batch__garden=twin)
    assert (row.mean_g, row.logged_at, row.logged_by) == (812.5, long_ago, None)
    assert archive["rows"]["flocks.weighing"][0]["logged_by"] == "olive"
    assert garden_archive(twin)["rows"]["flocks.weighing"][0]["logged_by"] == "olive"
    _, home = there_and_back(twin, owner.user)
    assert Weighing.objects.get(batch__garden=home).logged_by == owner.user


def test_ids_in_a_chore_and_in_a_what_if_are_those_of_the_new_rows(garden, owner):
    BatchPenFactory()  # so that the ids here and there differ
    share = BatchPenFactory(batch__garden=garden)
    key = f"feed:{share.batch_id}:{share.pen_id}"
    ChoreMark.objects.create(garden=garden, on="2026-06-12", chore=key, mark="done")
    WhatIfFactory(garden=garden, changes=processed_sooner(share.batch))
    _, twin = there_and_back(garden, owner.user)
    new = twin.batches.get().shares.get()
    assert new.batch_id != share.batch_id
    assert ChoreMark.objects.get(garden=twin).chore == f"feed:{new.batch_id}:{new.pen_id}"
    assert WhatIf.objects.get(garden=twin).changes[0]["batch"] == new.batch_id


def send(client: Client, content: bytes) -> HttpResponse:
    """Send an archive as a file."""
    return client.post(reverse("bring_in"), {"file": SimpleUploadedFile("garden.json", content)})


def changed(garden: Garden, change: Any, *, seal: bool = True) -> bytes:
    """Return a garden's archive with a change, its checksum made to fit where asked."""
    archive = json.loads(json.dumps(garden_archive(garden)))
    change(archive)
    if seal:
        archive["sha256"] = checksum(archive)
    return json.dumps(archive).encode()


def set_in(*path: Any, to: Any) -> Any:
    """Return a change of one value deep in an archive."""

    def change(archive: dict[str, Any]) -> None:
        *way, last = path
        for step in way:
            archive = archive[step]
        archive[last] = to

    return change


BED = ("rows", "garden.bed", 0)


@pytest.mark.parametrize(
    ("path", "value", "reason"),
    [
        (("format",), "tillfeather-garden/2", NEWER),
        (("format",), "somebody-else/1", NOT_ONE),
        (("format",), 7, NOT_ONE),
        (("rows", "garden.hedge"), [], NEWER),
        ((*BED, "hedge"), 1, NEWER),
        (("rows",), [], DAMAGED),
        ((*BED, "length_mm"), "2400", "Bed 1: “length_mm” is not as it can be."),
        ((*BED, "length_mm"), 5, "Bed 1: “length_mm” is not as it can be."),
        ((*BED, "length_mm"), 1e999, NOT_ONE),
        ((*BED, "kind"), "swamp", "Bed 1: “kind” is not as it can be."),
        ((*BED, "name"), "x" * 41, "Bed 1: “name” is not as it can be."),
        ((*BED, "name"), "a\x00b", "Bed 1: “name” is not as it can be."),
        ((*BED, "name"), None, "Bed 1: “name” is not as it can be."),
        ((*BED, "width_mm"), 9000.0, "Two rows of the archive cannot both be."),
        (("rows", "garden.planting", 0, "bed"), 2, "names a row that the archive lacks"),
        (("rows", "garden.planting", 0, "bed"), 0, "names a row that the archive lacks"),
        (("rows", "garden.planting", 0, "starts_on"), "soon", "“starts_on” is not as it can be"),
        (("garden", "time_zone"), "Middle/Earth", "The garden: “time_zone” is not as it can be."),
    ],
)
def test_an_archive_that_holds_what_cannot_be_is_refused_with_a_sentence(
    garden, owner, path, value, reason
):
    PlantingFactory(bed__garden=garden)
    before = Garden.objects.count()
    answer = send(owner, changed(garden, set_in(*path, to=value)))
    text = answer.content.decode()
    assert answer.status_code == 422
    if value == 1e999:
        assert DAMAGED in text or NOT_ONE in text
    else:
        assert reason in text
    assert Garden.objects.count() == before


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "The submitted file is empty."),
        (b"\xff\xfe\x00", NOT_ONE),
        (b"[1, 2]", NOT_ONE),
        (b"[" * 100_000, NOT_ONE),
        (b'{"format": "tillfeather-garden/1", "rows": {', DAMAGED),
        (b'{"format": "tillfeather-garden/1", "garden": {}, "rows": {}}', DAMAGED),
    ],
)
def test_what_is_no_whole_archive_is_refused(owner, content, reason):
    answer = send(owner, content)
    assert answer.status_code == 422
    assert reason in answer.content.decode()


def test_a_changed_letter_is_noticed(garden, owner):
    content = changed(garden, set_in("garden", "name", to="Somebody else’s"), seal=False)
    assert DAMAGED in send(owner, content).content.decode()


def test_too_large_an_archive_is_not_even_read(garden, monkeypatch):
    monkeypatch.setattr("rotation.archive_reading.MOST_ROWS", 3)
    MembershipFactory(garden=garden)
    rows_of(garden, UserFactory())
    content = json.dumps(garden_archive(garden)).encode()
    with pytest.raises(ArchiveError, match="more than 3 rows"):
        read_archive(content)
    monkeypatch.setattr("rotation.archive_reading.MOST_BYTES", 100)
    with pytest.raises(ArchiveError, match="larger than"):
        read_archive(content)


def test_whoever_brings_a_garden_owns_it_and_nobody_else_sees_it(garden, viewer, helper):
    rows_of(garden, viewer.user)
    fetched = viewer.get(reverse("archive_out", args=[garden.pk]))
    assert fetched["Content-Disposition"].startswith("attachment; filename=")
    answer = send(viewer, fetched.content)
    twin = Garden.objects.latest("pk")
    assert answer.url == reverse("today", args=[twin.pk])
    assert Membership.objects.get(garden=twin).role == Role.OWNER
    assert Membership.objects.get(garden=twin).user == viewer.user
    assert helper.get(reverse("today", args=[twin.pk])).status_code == 404
    for name in ("today", "beds", "batches", "plan", "build", "in_out"):
        assert viewer.get(reverse(name, args=[twin.pk])).status_code == 200, name


def test_an_archive_takes_a_few_queries_for_each_kind_of_row(garden, django_assert_max_num_queries):
    for _ in range(30):
        WeighingFactory(batch=BatchPenFactory(batch__garden=garden).batch)
    with django_assert_max_num_queries(2 * len(carried_models()) + 2):
        garden_archive(garden)
