"""Taking a database out whole while it is in use, and putting one back: SQLite and PostgreSQL."""

import gzip
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic
from typing import IO, Any

from django.conf import settings
from django.core.management import call_command
from django.db import connection, transaction
from django.db.backends.postgresql.client import DatabaseClient

from garden.backups.container import BackupError

BUSY_SECONDS = 10.0
"""How long it is waited for others to let go of the database. Our choice."""
COMPRESSION = 1
"""Of nine: ten times quicker than the best and a fifth larger, on this product's rows. Our choice."""
FILE_OF = {"sqlite": "database.sqlite3.gz", "postgresql": "database.sql.gz"}
"""The name of the database in a backup."""


@contextmanager
def snapshot(path: Path) -> Iterator[dict[str, int]]:
    """Write the database as it is at one moment to a compressed file; give the rows of each table then.

    Nobody has to stop working meanwhile.
    """
    if connection.vendor == "sqlite":
        yield _sqlite_out(path)
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
                cursor.execute("SELECT pg_export_snapshot()")
                moment = cursor.fetchone()[0]
                rows = _rows(cursor.execute, cursor.fetchone, tables())
            _run("pg_dump", f"--snapshot={moment}", "--no-owner", "--no-acl", out=path)
        yield rows


def tables() -> list[str]:
    """Return the names of the tables that the database holds."""
    with connection.cursor() as cursor:
        return sorted(connection.introspection.table_names(cursor))


def put_back(file: IO[bytes], rows: dict[str, int], folder: Path, *, is_old: bool) -> None:
    """Put a database in the place of the present one, and bring it up to date where it `is_old`.

    Raises
    ------
    BackupError
        Where that cannot be done. What was there is then still there; on PostgreSQL, only if it was the
        reading in that failed, and not the bringing up to date.
    """
    if connection.vendor == "sqlite":
        _sqlite_in(file, rows, folder / "database.sqlite3", is_old=is_old)
        return
    _postgresql_in(file)
    if is_old:
        call_command("migrate", interactive=False, verbosity=0)
    # No migration makes it, and an old backup may lack it.
    call_command("createcachetable", verbosity=0)


def _rows(execute: Any, fetch: Any, names: list[str]) -> dict[str, int]:
    counts = {}
    for name in names:
        found = execute(f"SELECT COUNT(*) FROM {connection.ops.quote_name(name)}")  # noqa: S608 - from the catalogue
        counts[name] = (found.fetchone() if found is not None else fetch())[0]
    return counts


def _sqlite_out(path: Path) -> dict[str, int]:
    connection.ensure_connection()
    whole = path.with_name(f"{path.name}.whole")
    try:
        copy = sqlite3.connect(whole)
        try:
            connection.connection.backup(copy, progress=_patient())
            copy.execute("PRAGMA journal_mode=DELETE")
            _sqlite_check(copy, "The database itself is damaged, so no backup was made")
            rows = _rows(copy.execute, None, _sqlite_tables(copy))
        finally:
            copy.close()
        with whole.open("rb") as plain, gzip.open(path, "wb", COMPRESSION) as packed:
            shutil.copyfileobj(plain, packed)
    finally:
        whole.unlink(missing_ok=True)
    return rows


def _sqlite_in(file: IO[bytes], rows: dict[str, int], path: Path, *, is_old: bool) -> None:
    """Unpack, check and migrate a copy; only then does it take the place of what is there, in one go."""
    with gzip.open(file) as packed, path.open("wb") as plain:
        shutil.copyfileobj(packed, plain)
    copy = sqlite3.connect(path)
    try:
        _sqlite_check(copy, "The database in this backup is damaged")
        if _rows(copy.execute, None, _sqlite_tables(copy)) != rows:
            raise BackupError("The database in this backup has not the rows that its list tells.")
    finally:
        copy.close()
    if is_old:
        _migrate(path)
    copy = sqlite3.connect(path)
    try:
        connection.ensure_connection()
        copy.backup(connection.connection, progress=_patient())
    finally:
        copy.close()


def _patient() -> Callable[[int, int, int], None]:
    """Return what is asked at each try to write: it gives up where another program holds the database."""
    until = monotonic() + BUSY_SECONDS

    def look(status: int, *_: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and monotonic() > until:
            raise BackupError(
                "The database is in use elsewhere. Stop the web server and the workers first."
            )

    return look


def _sqlite_tables(copy: sqlite3.Connection) -> list[str]:
    told = copy.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
    return [name for (name,) in told if not name.startswith("sqlite_")]


def _sqlite_check(copy: sqlite3.Connection, wrong: str) -> None:
    try:
        (found,) = copy.execute("PRAGMA quick_check(1)").fetchone()
    except sqlite3.DatabaseError as fault:
        found = str(fault)
    if found != "ok":
        raise BackupError(f"{wrong}: {found}.")


def _migrate(path: Path) -> None:
    """Bring a copy up to date in a process of its own, for this one's connection is to the old one."""
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "migrate", "--verbosity=0"]
    environment = os.environ | {"DATABASE_URL": f"sqlite:///{path}"}
    done = subprocess.run(  # noqa: S603 - no shell, and every word is ours
        [*command, "--no-input"], env=environment, capture_output=True, text=True, check=False
    )
    if done.returncode:
        fault = done.stderr.strip().splitlines()[-1:]
        raise BackupError(f"The backup could not be brought up to date: {' '.join(fault)}")


def _postgresql_in(file: IO[bytes]) -> None:
    """Let the old tables go and read the new ones, in one transaction."""
    names = ", ".join(connection.ops.quote_name(name) for name in tables())
    first = f"DROP TABLE {names} CASCADE;\n" if names else ""
    connection.close()
    with gzip.open(file) as packed:
        _run("psql", "-X", "-q", "-1", "-v", "ON_ERROR_STOP=1", script=[first.encode(), packed])


def _run(
    program: str, *words: str, out: Path | None = None, script: list[Any] | None = None
) -> None:
    """Run one of PostgreSQL's own programs on this database."""
    told, environment = DatabaseClient.settings_to_cmd_args_env(connection.settings_dict, [])
    command = [program, *words, *told[1:]]
    try:
        process = subprocess.Popen(  # noqa: S603 - no shell; words are ours or the settings'
            command,
            env=os.environ | (environment or {}),
            stdin=subprocess.PIPE if script else subprocess.DEVNULL,
            stdout=subprocess.PIPE if out else subprocess.DEVNULL,
            stderr=subprocess.PIPE,
        )
    except FileNotFoundError:
        raise BackupError(
            f"{program} is not installed here; it comes with PostgreSQL’s client programs."
        ) from None
    with process:
        if out:
            with gzip.open(out, "wb", COMPRESSION) as packed:
                shutil.copyfileobj(process.stdout, packed)
        if script:
            _feed(process, *script)
        fault = process.stderr.read().decode(errors="replace").strip()
    if process.returncode:
        raise BackupError(f"{program} failed: {fault}")


def _feed(process: subprocess.Popen[bytes], first: bytes, rest: IO[bytes]) -> None:
    try:
        process.stdin.write(first)
        shutil.copyfileobj(rest, process.stdin)
        process.stdin.close()
    except BrokenPipeError:
        return  # it has ended early, and says why
