"""People and gardens that the stories share."""

import os
import sqlite3
import subprocess
import sys
import tempfile
from datetime import date
from pathlib import Path

import pytest
from django.conf import settings as django_settings
from django.db import connection
from django.test import Client
from django.utils import translation
from django_tasks_db.management.commands import db_worker

from garden.catalogues import compile_all
from garden.models import Garden, Role
from rotation import task_worker
from tests.factories import GardenFactory, MembershipFactory, UserFactory

TODAY = date(2026, 6, 12)
"""The day on which the stories happen, a Friday in midsummer."""


FILES = tempfile.TemporaryDirectory()
"""Where files of the stories lie; gone when the tests are."""


def pytest_configure() -> None:
    """Serve static files and catalogues as they are written, never from a copy made earlier."""
    django_settings.STORAGES = django_settings.STORAGES | {
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    }
    django_settings.WHITENOISE_AUTOREFRESH = django_settings.WHITENOISE_USE_FINDERS = True
    django_settings.SECURE_SSL_REDIRECT = False
    django_settings.STATIC_ROOT = Path(FILES.name) / "static"
    django_settings.PHOTO_DIR = Path(FILES.name) / "photos"
    django_settings.CACHES = {
        "default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
    }
    django_settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    compile_all()


@pytest.fixture(autouse=True)
def today(settings) -> date:
    """Let every story happen on one day, whatever the clock says."""
    settings.PRETEND_TODAY = TODAY
    return TODAY


@pytest.fixture(autouse=True)
def english() -> None:
    """Begin every story in English: an answer in another language leaves its thread in that one."""
    translation.activate(django_settings.LANGUAGE_CODE)


@pytest.fixture(autouse=True)
def one_connection(monkeypatch) -> None:
    """Let a worker that works within a story keep the story's connection, and so its transaction."""
    for module in (task_worker, db_worker):
        monkeypatch.setattr(module, "close_old_connections", lambda: None)


@pytest.fixture(scope="session")
def migrated(tmp_path_factory, django_db_setup, django_db_blocker) -> Path:
    """Return an empty SQLite database brought up to date: a copy of the stories' own where that is one."""
    folder = tmp_path_factory.mktemp("migrated")
    path = folder / "garden.sqlite3"
    if connection.vendor != "sqlite":
        environment = {"PATH": os.environ["PATH"], "VAR_DIR": str(folder)}
        command = [sys.executable, "manage.py", "migrate", "--verbosity=0"]
        subprocess.run(command, cwd=django_settings.BASE_DIR, env=environment, check=True)
        return path
    with django_db_blocker.unblock():
        connection.ensure_connection()
        copy = sqlite3.connect(path)
        connection.connection.backup(copy)
        copy.close()
    return path


@pytest.fixture
def garden(db) -> Garden:
    """Return a garden that nobody belongs to yet."""
    return GardenFactory()


def _client_of(garden: Garden | None, role: Role | None, name: str) -> Client:
    user = UserFactory(username=name)
    if garden is not None:
        MembershipFactory(garden=garden, user=user, role=role)
    client = Client()
    client.force_login(user)
    client.user = user
    return client


@pytest.fixture
def owner(garden: Garden) -> Client:
    """Return a browser in which Olive, who owns the garden, is signed in."""
    return _client_of(garden, Role.OWNER, "olive")


@pytest.fixture
def helper(garden: Garden) -> Client:
    """Return a browser in which Hal, who helps, is signed in."""
    return _client_of(garden, Role.HELPER, "hal")


@pytest.fixture
def viewer(garden: Garden) -> Client:
    """Return a browser in which Vera, who looks on, is signed in."""
    return _client_of(garden, Role.VIEWER, "vera")


@pytest.fixture
def stranger(db) -> Client:
    """Return a browser in which Sten, who owns another garden, is signed in."""
    return _client_of(GardenFactory(name="Elsewhere"), Role.OWNER, "sten")
