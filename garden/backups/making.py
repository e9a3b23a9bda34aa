"""Making a backup of an installation, and putting one back."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO

from django.conf import settings
from django.contrib.auth import get_user_model
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

from garden.backups.container import (
    BackupError,
    Contents,
    backup_checked,
    backup_files,
    backup_written,
)
from garden.backups.databases import FILE_OF, put_back, snapshot, tables
from garden.clock import now
from garden.models import Garden

PHOTO = re.compile(r"photos/[\w-]{2}/[\w-]+-(large|small)\.jpg")
ENGINES = {"sqlite": "SQLite", "postgresql": "PostgreSQL"}


def usual_path(what: str = "tillfeather") -> Path:
    """Return where a backup goes unless told: a name that tells the moment."""
    folder = settings.VAR_DIR / "backups"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder / f"{what}-{now():%Y%m%d-%H%M%S-%f}.tar"


def backup_make(path: Path) -> Contents:
    """Write all rows and photos of this installation to one file, while it is in use.

    The database comes first: a photo's files are there before its row is, and stay for an hour after it.

    Raises
    ------
    BackupError
        Where it cannot be done; no file is left behind.
    """
    if path.exists():
        raise BackupError(f"There is a file {path} already. It is kept; give another name.")
    engine = connection.vendor
    try:
        with TemporaryDirectory(dir=path.parent, prefix=".backup-") as folder:
            database = Path(folder) / FILE_OF[engine]
            with snapshot(database) as rows:
                migrations = tuple(sorted(".".join(key) for key in _applied()))
            with backup_written(path) as writer:
                writer.add(database.name, database)
                for photo in _photos():
                    writer.add(f"photos/{photo.parent.name}/{photo.name}", photo)
                return writer.finish(Contents(now().isoformat(), engine, migrations, rows))
    except OSError as fault:
        raise BackupError(f"No backup was made: {fault.strerror or fault}.") from None


def backup_restore(path: Path, *, replace: bool = False) -> tuple[Contents, Path | None]:
    """Put an installation back as a backup has it; return that, and where what was there has been kept.

    Nothing is touched before all of the file has been read and found sound.

    Raises
    ------
    BackupError
        Where the file is damaged, newer than this installation or of another database engine, or where there
        is something here already and `replace` was not asked for.
    """
    contents = restorable(path)
    kept = None
    if not is_empty():
        if not replace:
            raise BackupError(
                "There are people or gardens here already. With --replace the backup takes their "
                "place, and what is here now is kept in a backup of its own."
            )
        kept = usual_path("before-restore")
        backup_make(kept)
    try:
        with TemporaryDirectory(dir=settings.VAR_DIR, prefix=".restore-") as folder:
            # The pictures first, so that no row is ever without its own.
            for name, file in backup_files(path):
                if PHOTO.fullmatch(name):
                    _photo_in(name, file, Path(folder))
            for name, file in backup_files(path):
                if name == FILE_OF[connection.vendor]:
                    is_old = set(contents.migrations) < _known()
                    put_back(file, contents.rows, Path(folder), is_old=is_old)
    except OSError as fault:
        raise BackupError(f"The backup was not put back: {fault.strerror or fault}.") from None
    return contents, kept


def restorable(path: Path) -> Contents:
    """Return what a backup holds where this installation can take it.

    Raises
    ------
    BackupError
        Where it cannot.
    """
    contents = backup_checked(path)
    newer = sorted(set(contents.migrations) - _known())
    if newer:
        raise BackupError(
            f"This backup was made by a newer Tillfeather: {newer[0]} is not known here. "
            "Update Tillfeather first."
        )
    if contents.engine != connection.vendor:
        raise BackupError(
            f"This backup holds a {ENGINES.get(contents.engine, contents.engine)} database, and this "
            f"installation runs on {ENGINES[connection.vendor]}. Gardens move between the two by their "
            "own archives, under “In and out”."
        )
    return contents


def is_empty() -> bool:
    """Whether nobody has used the database yet."""
    there = set(tables())
    return not any(
        model._meta.db_table in there and model._base_manager.exists()
        for model in (get_user_model(), Garden)
    )


def _photos() -> Iterator[Path]:
    return iter(sorted(settings.PHOTO_DIR.glob("*/*.jpg")))


def _photo_in(name: str, file: IO[bytes], folder: Path) -> None:
    """Put a picture in its place, unless it is there: under one name there is never another."""
    _, group, picture = name.split("/")
    path = settings.PHOTO_DIR / group / picture
    if path.exists():
        return
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    part = folder / picture
    with part.open("wb") as copy:
        shutil.copyfileobj(file, copy)
    part.chmod(0o600)
    shutil.move(part, path)


def _applied() -> set[tuple[str, str]]:
    return set(MigrationRecorder(connection).applied_migrations())


def _known() -> set[str]:
    """Return the migrations that this installation has, those that others have taken the place of included."""
    found = MigrationLoader(None, ignore_no_migrations=True).disk_migrations
    replaced = [key for migration in found.values() for key in migration.replaces]
    return {".".join(key) for key in (*found, *replaced)}
