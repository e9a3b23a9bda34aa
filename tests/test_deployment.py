"""Production settings, security headers, the health check and the database's own rules."""

import os
import socket
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.apps import apps
from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.test import Client

ROOT = Path(__file__).parent.parent
OWN_APPS = ("rotation", "flocks", "pens", "garden")


def manage(*words: str, **variables: str) -> subprocess.CompletedProcess[str]:
    """Run a management command in a process of its own with exactly these variables."""
    environment = {"PATH": os.environ["PATH"]} | variables
    command = [sys.executable, "manage.py", *words]
    return subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )


def test_production_settings_pass_the_deployment_check(tmp_path):
    done = manage(
        "check", "--deploy", "--fail-level", "INFO",
        VAR_DIR=str(tmp_path), ALLOWED_HOSTS="garden.example.org",
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


def test_the_first_start_makes_a_secret_that_only_this_account_reads(tmp_path):
    assert manage("diffsettings", VAR_DIR=str(tmp_path)).returncode == 0
    secret = tmp_path / "secret_key"
    first = secret.read_text()
    assert len(first) > 60
    assert secret.stat().st_mode & 0o077 == 0
    manage("diffsettings", VAR_DIR=str(tmp_path))
    assert secret.read_text() == first


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("DEBUG", "perhaps", "DEBUG must be 1 or 0"),
        ("HSTS_SECONDS", "-5", "HSTS_SECONDS must be a whole number"),
        ("SECRET_KEY_FILE", "/nowhere/key", "SECRET_KEY_FILE cannot be read"),
        ("PLANNER", "sometimes", "PLANNER must be one of inline, background"),
        ("PRETEND_TODAY", "30 February", "PRETEND_TODAY must be a date"),
    ],
)
def test_a_variable_that_cannot_be_read_stops_the_start(tmp_path, name, value, said):
    done = manage("check", VAR_DIR=str(tmp_path), **{name: value})
    assert done.returncode != 0
    assert said in done.stderr


def test_a_folder_that_cannot_be_written_is_told_in_one_line():
    done = manage("check", VAR_DIR="/dev/null/var")
    assert done.returncode != 0
    assert done.stderr.splitlines() == [
        "Tillfeather cannot start. VAR_DIR: cannot write to /dev/null/var: Not a directory"
    ]


def test_a_port_in_use_is_told_before_anything_is_made(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = manage("serve", "--port", str(port), VAR_DIR=str(tmp_path))
    assert done.returncode == 1
    assert f"Cannot listen on 127.0.0.1:{port}: Address already in use." in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "garden.sqlite3").exists()


@pytest.mark.django_db
def test_a_demo_that_is_broken_off_leaves_nothing(monkeypatch, settings, tmp_path):
    settings.DEMO_PASSWORD_FILE = tmp_path / "demo_password"

    def break_off(**_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("rotation.management.commands.demo.demo_make", break_off)
    with pytest.raises(KeyboardInterrupt):
        call_command("demo")
    assert not get_user_model().objects.exists()


@pytest.mark.django_db
def test_health_answers_anybody_with_the_database_checked():
    answer = Client().get("/health/")
    assert answer.status_code == 200
    assert answer.json() == {"status": "ok", "database": connection.vendor}


@pytest.mark.django_db
def test_every_answer_carries_a_strict_policy():
    headers = Client().get("/accounts/login/").headers
    policy = headers["Content-Security-Policy"]
    assert "unsafe" not in policy
    assert "script-src 'self'" in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Referrer-Policy"] == "same-origin"


@pytest.mark.django_db
def test_models_and_migrations_agree():
    out = StringIO()
    call_command("makemigrations", "--check", "--dry-run", stdout=out)
    assert "No changes" in out.getvalue()


@pytest.mark.django_db(transaction=True)
def test_migrations_go_down_and_up_again():
    executor = MigrationExecutor(connection)
    latest = [node for node in executor.loader.graph.leaf_nodes() if node[0] in OWN_APPS]
    try:
        executor.migrate([(app, None) for app in OWN_APPS])
        tables = set(connection.introspection.table_names())
        assert (
            not {
                model._meta.db_table
                for app in OWN_APPS
                for model in apps.get_app_config(app).get_models()
            }
            & tables
        )
    finally:
        executor = MigrationExecutor(connection)
        executor.migrate(latest)
    tables = set(connection.introspection.table_names())
    assert {
        model._meta.db_table for app in OWN_APPS for model in apps.get_app_config(app).get_models()
    } <= tables
