"""A folder and a database for one benchmark: SQLite, or one on the PostgreSQL server of DATABASE_URL."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import psycopg

ROOT = Path(__file__).parent.parent.parent
MORNING = "2026-06-12"
"""The day on which benchmarks happen: midsummer, with birds in the garden."""


@contextmanager
def own_database(name: str, migrated: Path | None = None) -> Iterator[dict[str, str]]:
    """Give the environment of an installation with an empty, migrated database that is gone afterwards.

    Parameters
    ----------
    migrated : Path, optional
        An empty SQLite database that is up to date; a copy of it saves a migration.
    """
    server = os.environ.get("DATABASE_URL", "")
    with TemporaryDirectory(prefix=f"{name}-") as folder:
        environment = os.environ | {
            "VAR_DIR": folder,
            "HTTPS": "0",
            "PRETEND_TODAY": MORNING,
            "SECRET_KEY": "a benchmark has nothing to hide, and fifty letters are wanted",
            "DJANGO_SETTINGS_MODULE": "garden.settings",
        }
        environment.pop("DATABASE_URL", None)
        if not server.startswith("postgres"):
            if migrated:
                shutil.copy(migrated, Path(folder) / "garden.sqlite3")
            else:
                _migrate(environment)
            yield environment
            return
        database = f"{name}_{os.getpid()}"
        with psycopg.connect(server, autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {database}")
            try:
                environment["DATABASE_URL"] = f"{server.rpartition('/')[0]}/{database}"
                _migrate(environment)
                yield environment
            finally:
                connection.execute(f"DROP DATABASE {database} WITH (FORCE)")


def _migrate(environment: dict[str, str]) -> None:
    words = [sys.executable, "manage.py", "migrate", "--verbosity=0"]
    subprocess.run(words, cwd=ROOT, env=environment, check=True)
