"""A backup holds every row and photo, comes back as it was, and is refused where it is not sound."""

import errno
import gzip
import json
import shutil
import sqlite3
import tarfile
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from garden.backups import container, databases
from garden.backups.container import BackupError
from garden.backups.making import backup_make, backup_restore, restorable
from garden.models import Garden
from rotation.models import Photo
from rotation.photo_files import photo_path, photo_write
from rotation.pictures import Picture
from tests.any_rows import any_garden
from tests.factories import GardenFactory, MembershipFactory, PhotoFactory

BACKUPS = Path(__file__).parent / "data/backups"
OLDEST = {
    "sqlite": BACKUPS / "2026-11-sqlite.tar",
    "postgresql": BACKUPS / "2026-11-postgresql.tar",
}
"""Made once, of the demo garden, and never again: whatever becomes of the tables, these can be put back."""

Rows = dict[str, list[tuple[tuple[str, object], ...]]]


@pytest.fixture(autouse=True)
def folder(tmp_path, settings) -> Path:
    """Give the installation a folder of its own."""
    settings.VAR_DIR = tmp_path
    settings.PHOTO_DIR = tmp_path / "photos"
    return tmp_path


def every_row(database: object = connection) -> Rows:
    """Return every row of every table with the names of its columns; what was applied when is left out."""
    found = {}
    names = databases.tables() if database is connection else databases._sqlite_tables(database)
    cursor = database.cursor()
    for table in set(names) - {"django_migrations", "django_content_type", "auth_permission"}:
        cursor.execute(f'SELECT * FROM "{table}"')
        columns = [column[0] for column in cursor.description]
        rows = (zip(columns, map(str, row), strict=True) for row in cursor.fetchall())
        found[table] = sorted(tuple(sorted(row)) for row in rows)
    return found


def opened(copy: Path) -> sqlite3.Connection:
    """Return a copy of a database, read as Django reads it."""
    kinds = sqlite3.PARSE_DECLTYPES | sqlite3.PARSE_COLNAMES
    return sqlite3.connect(copy, detect_types=kinds)


@pytest.fixture
def before_migrating(monkeypatch) -> Rows:
    """Tell, once a backup was put back, what it held before it was brought up to date."""
    before: Rows = {}

    def look_first(migrate: Callable[..., None]) -> Callable[..., None]:
        def look(*words: object, **options: object) -> None:
            before.update(every_row(opened(words[0]) if isinstance(words[0], Path) else connection))
            migrate(*words, **options)

        return look

    for name in ("_migrate", "call_command"):
        monkeypatch.setattr(databases, name, look_first(getattr(databases, name)))
    return before


@pytest.mark.django_db(transaction=True)
def test_every_row_and_photo_comes_back_as_it_was(folder):
    member = MembershipFactory()
    any_garden(Random(7), member.garden, [member.user])
    name = photo_write(Picture(b"large", b"small", 4, 3))
    PhotoFactory(garden=member.garden, name=name)
    before = every_row()
    contents = backup_make(folder / "mine.tar")
    assert sum(contents.rows.values()) >= sum(map(len, before.values()))
    assert len(contents.photos) == 2

    shutil.rmtree(folder / "photos")
    Garden.objects.update(name="Spoilt")
    Photo.objects.all().delete()
    GardenFactory(name="Made since")
    with pytest.raises(BackupError, match="gardens here already"):
        backup_restore(folder / "mine.tar")
    _, kept = backup_restore(folder / "mine.tar", replace=True)

    assert every_row() == before
    assert photo_path(name, "large").read_bytes() == b"large"
    assert photo_path(name, "small").read_bytes() == b"small"
    assert backup_restore(kept, replace=True)[0].rows["garden_garden"] == 2
    assert Garden.objects.filter(name="Spoilt").count() == 1


@pytest.mark.django_db(transaction=True)
def test_the_oldest_backup_comes_back_with_every_row_it_held(before_migrating, capsys):
    call_command("restore", OLDEST[connection.vendor])
    assert "is put back: 772 rows, 2 files of photos" in capsys.readouterr().out
    assert before_migrating["flocks_feedrecord"]
    now = every_row()
    for table, rows in before_migrating.items():
        # A column that came later stands beside what was there; none of what was there has changed.
        columns = {name for name, _ in rows[0]} if rows else set()
        kept = sorted(tuple(cell for cell in row if cell[0] in columns) for row in now[table])
        assert kept == rows, table
    photo = Photo.objects.get()
    assert photo_path(photo.name, "large").stat().st_size == 644


def test_a_backup_that_cannot_be_finished_leaves_nothing(db, folder, monkeypatch):
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(databases, "snapshot", None)
    monkeypatch.setattr(container.os, "fsync", full)
    (folder / "some").write_bytes(b"x")
    with pytest.raises(OSError, match="No space"), container.backup_written(folder / "b") as writer:
        writer.add("some", folder / "some")
    assert [path.name for path in folder.iterdir()] == ["some"]


def test_a_backup_takes_no_other_files_place(db, folder):
    (folder / "precious").write_text("letters")
    with pytest.raises(CommandError, match=r"already\. It is kept"):
        call_command("backup", folder / "precious")
    assert (folder / "precious").read_text() == "letters"


def cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-15_000])


def cut_between_files(path: Path) -> None:
    with tarfile.open(path) as tar:
        ends = tar.getmember(container.LIST).offset
    path.write_bytes(path.read_bytes()[:ends])


def one_bit_turned(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[5000] ^= 1
    path.write_bytes(content)


def list_changed(path: Path) -> None:
    path.write_bytes(path.read_bytes().replace(b'"garden_bed": 12', b'"garden_bed": 13'))


def another_file(path: Path) -> None:
    path.write_bytes(gzip.compress(json.dumps({"format": "tillfeather-garden/1"}).encode()))


def an_empty_tar(path: Path) -> None:
    tarfile.open(path, "w").close()


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (cut_short, "damaged"),
        (cut_between_files, "ends without its list"),
        (one_bit_turned, "is damaged: database"),
        (list_changed, "its list of contents was changed"),
        (another_file, "no backup of Tillfeather"),
        (an_empty_tar, "no backup"),
        (Path.unlink, "cannot be read: No such file"),
    ],
)
def test_a_damaged_backup_is_refused_before_anything_is_touched(db, folder, spoil, said):
    path = shutil.copy(OLDEST[connection.vendor], folder / "spoilt.tar")
    garden = GardenFactory()
    spoil(path)
    with pytest.raises(CommandError, match=said):
        call_command("restore", path, replace=True)
    assert list(Garden.objects.all()) == [garden]
    assert not (folder / "photos").exists()


def small_backup(path: Path, **other: object) -> Path:
    """Write a backup with nothing in it."""
    told = {"made_at": "2026", "engine": connection.vendor, "migrations": (), "rows": {}}
    with container.backup_written(path) as writer:
        writer.finish(container.Contents(**told | other))
    return path


def test_a_newer_backup_is_refused_in_plain_words(db, folder, monkeypatch):
    later = small_backup(folder / "later.tar", migrations=("garden.0999_hives",))
    with pytest.raises(BackupError, match=r"newer Tillfeather: garden\.0999_hives is not known"):
        restorable(later)
    monkeypatch.setattr(container, "VERSION", 2)
    newer = small_backup(folder / "newer.tar")
    monkeypatch.undo()
    with pytest.raises(BackupError, match=r"made by a newer Tillfeather \(form 2"):
        restorable(newer)


def test_a_backup_of_another_engine_is_refused_and_says_what_to_do(db, folder):
    (other,) = OLDEST.keys() - {connection.vendor}
    with pytest.raises(CommandError, match="Gardens move between the two by their own archives"):
        call_command("restore", OLDEST[other], check=True)
