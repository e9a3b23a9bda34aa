"""A full disk is said in plain words, and nothing is saved in part: rows, sign-ins, entries from a phone."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from uuid import uuid4

import psycopg
import pytest
from django.db import OperationalError, connection
from django.test import Client
from django.urls import reverse

from flocks.models import Batch, Note
from garden import undo
from garden.disk_full import is_disk_full
from garden.models import Garden, TakenEntry, UndoStep
from tests.conftest import TODAY
from tests.factories import BatchFactory

LONG = "x" * 1990


@pytest.fixture
def batch(garden: Garden) -> Batch:
    """Return a batch to write notes about."""
    return BatchFactory(garden=garden)


@contextmanager
def no_room(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Fill the disk: SQLite may add no page; PostgreSQL answers the last write as it does on a full disk."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT freelist_count * page_size FROM pragma_freelist_count, pragma_page_size"
            )
            (spare_bytes,) = cursor.fetchone()
            cursor.execute(f"CREATE TABLE in_the_way AS SELECT zeroblob({spare_bytes}) AS stuff")
            cursor.execute("PRAGMA max_page_count")
            (before,) = cursor.fetchone()
            cursor.execute("PRAGMA max_page_count = 1")  # it takes no fewer than there are
            yield
            cursor.execute(f"PRAGMA max_page_count = {before}")
            cursor.execute("DROP TABLE in_the_way")
        return

    def full(*_: object, **__: object) -> None:
        raise OperationalError from psycopg.errors.DiskFull("could not extend file")

    with monkeypatch.context() as patch:
        patch.setattr(undo.UndoStep.objects, "create", full)
        yield


def note_often(client: Client, batch: Batch, **headers: str) -> list[tuple[int, bytes]]:
    """Write notes until one is refused, at most twenty; what fits the last page is kept in order."""
    address = reverse("note_new", args=[batch.garden_id, batch.pk])
    client.raise_request_exception = False
    answers = []
    for number in range(20):
        if headers:
            headers["Outbox-Key"] = str(uuid4())
        answer = client.post(
            address, {"on": TODAY.isoformat(), "text": f"{number} {LONG}"}, headers=headers
        )
        answers.append((answer.status_code, answer.content))
        if answer.status_code >= 400:
            break
    return answers


def test_a_full_disk_is_told_and_no_row_is_half_written(helper, batch, monkeypatch):
    with no_room(monkeypatch):
        *kept, (status, page) = note_often(helper, batch)
        assert status == 507
        assert "The server’s disk is full" in page.decode()
        assert {code for code, _ in kept} <= {302}
        assert Note.objects.count() == UndoStep.objects.count() == len(kept)
        assert helper.get(reverse("batch", args=[batch.garden_id, batch.pk])).status_code == 200
    assert note_often(helper, batch)[0][0] == 302


def test_a_phone_keeps_its_entry_until_there_is_room(helper, batch, monkeypatch):
    person = {"Outbox-User": str(helper.user.pk)}
    with no_room(monkeypatch):
        *kept, (status, said) = note_often(helper, batch, **person)
        # From 500 on the outbox keeps an entry and sends it again under its key.
        assert status == 507
        assert "kept on the phone" in said.decode()
        assert Note.objects.count() == TakenEntry.objects.count() == len(kept)


def test_another_fault_is_not_taken_for_a_full_disk(helper, batch, monkeypatch):
    def broken(*_: object, **__: object) -> None:
        raise OSError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(undo.UndoStep.objects, "create", broken)
    ((status, page),) = note_often(helper, batch)
    assert status == 500
    assert "Something broke" in page.decode()
    assert not Note.objects.exists()


def test_every_way_to_meet_a_full_disk_is_known(tmp_path):
    database = sqlite3.connect(tmp_path / "small")
    database.execute("CREATE TABLE t (x)")
    database.execute("PRAGMA max_page_count = 3")
    with pytest.raises(sqlite3.OperationalError, match="full") as met:
        database.execute("INSERT INTO t VALUES (zeroblob(100000))")
    assert is_disk_full(met.value)
    assert is_disk_full(OSError(errno.ENOSPC, "No space left on device"))
    assert is_disk_full(psycopg.errors.DiskFull())
    wrapped = OperationalError("x")
    wrapped.__cause__ = psycopg.errors.DiskFull()
    assert is_disk_full(wrapped)
    assert not is_disk_full(sqlite3.OperationalError("database is locked"))
    assert not is_disk_full(None)
