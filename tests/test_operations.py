"""What whoever runs the product relies on: a start that is refused, health, readiness, figures, logs, files."""

import configparser
import json
import logging
import re
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import OperationalError, connection
from django.test import Client
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from garden.clock import now
from garden.json_log import JsonLines
from garden.production import NEEDED, check_production
from rotation.enqueuing import LETTER, enqueue
from rotation.models import PlanWorker
from rotation.plan_runs import worker_alive
from rotation.views import health
from tests.test_deployment import manage

ROOT = Path(__file__).parent.parent
DEPLOY = ROOT / "deploy"
SAID = {
    "SECRET_KEY": "x" * 50,
    "ALLOWED_HOSTS": "garden.example.org",
    "DATABASE_URL": "sqlite:////nowhere",
    "HTTPS": "1",
    "EMAIL_HOST": "none",
}
"""The least that production wants to be told."""


@pytest.fixture
def told(monkeypatch) -> None:
    """Tell everything that is wanted."""
    for name, value in SAID.items():
        monkeypatch.setenv(name, value)


@pytest.mark.usefixtures("told")
def test_production_starts_with_everything_said():
    check_production()


@pytest.mark.usefixtures("told")
@pytest.mark.parametrize("name", NEEDED)
def test_what_is_missing_in_production_is_named(monkeypatch, name):
    monkeypatch.delenv(name)
    with pytest.raises(ImproperlyConfigured, match=f"^{name} is not set: ") as refused:
        check_production()
    assert "\n" not in str(refused.value)


@pytest.mark.usefixtures("told")
@pytest.mark.parametrize(
    ("name", "value"),
    [("HTTPS", "0"), ("DEBUG", "1"), ("ALLOWED_HOSTS", "a.example,*"), ("SECRET_KEY", "short")],
)
def test_what_is_unsafe_in_production_is_refused(monkeypatch, name, value):
    monkeypatch.setenv(name, value)
    with pytest.raises(ImproperlyConfigured, match=f"^{name} must "):
        check_production()


def test_a_refused_start_is_one_plain_line(tmp_path):
    done = manage("check", PRODUCTION="1", VAR_DIR=str(tmp_path))
    assert done.returncode == 1
    [line] = done.stderr.splitlines()
    assert line.startswith("Tillfeather cannot start. SECRET_KEY is not set: ")
    assert list(tmp_path.iterdir()) == []


def test_alive_asks_nothing_of_the_database(client):
    """No story may ask the database unless it says so, and this one does not."""
    assert client.get("/healthz").json() == {"status": "ok"}


@pytest.mark.django_db
def test_ready_means_a_database_brought_up_to_date_and_a_living_worker(client, settings):
    settings.PLANNER = "background"
    assert client.get("/readyz").status_code == 503
    assert client.get("/readyz").json()["worker"] == "failing"
    worker_alive(name="w")
    answer = client.get("/readyz")
    assert (answer.status_code, set(answer.json().values())) == (200, {"ok"})
    PlanWorker.objects.update(alive_at=now() - timedelta(seconds=11))
    assert client.get("/readyz").status_code == 503
    settings.PLANNER = "inline"
    assert client.get("/readyz").status_code == 200


@pytest.mark.django_db
def test_ready_says_what_is_wrong_where_the_database_is_gone_or_old(client, monkeypatch):
    monkeypatch.setattr(health, "_is_migrated", lambda: False)
    assert client.get("/readyz").json()["migrations"] == "failing"

    def gone() -> None:
        raise OperationalError("password of nobody")

    monkeypatch.setattr(connection, "cursor", gone)
    answer = client.get("/readyz")
    assert (answer.status_code, answer.json()["database"]) == (503, "failing")
    assert "password" not in answer.content.decode()


@pytest.mark.django_db
def test_figures_are_told_to_the_scraper_alone(client, settings):
    assert client.get("/metrics").status_code == 404
    settings.METRICS_TOKEN = "tell-me"
    assert client.get("/metrics", headers={"Authorization": "Bearer tell-mé"}).status_code == 404
    client.get("/accounts/login/")
    enqueue(LETTER, 1)
    enqueue(LETTER, 2)
    DBTaskResult.objects.filter(args_kwargs__args=[2]).update(status=TaskResultStatus.FAILED)
    worker_alive(name="w")
    answer = client.get("/metrics", headers={"Authorization": "Bearer tell-me"})
    lines = answer.content.decode().splitlines()
    assert answer.headers["Content-Type"].startswith("text/plain; version=")
    assert any(
        re.fullmatch(
            r'tillfeather_requests_total\{method="GET",route="account_login",status="200"\} \d+\.0',
            line,
        )
        for line in lines
    )
    assert 'tillfeather_tasks{status="ready",task="letter"} 1.0' in lines
    assert 'tillfeather_tasks{status="failed",task="letter"} 1.0' in lines
    assert "tillfeather_workers 1.0" in lines


def lines_of(caplog) -> list[str]:
    """Return what was logged, as production writes it."""
    return [JsonLines().format(record) for record in caplog.records]


@pytest.mark.django_db
def test_a_request_is_one_line_that_tells_of_no_person(garden, owner, caplog):
    with caplog.at_level(logging.INFO, logger="garden.request_log"):
        address = f"/g/{garden.pk}/beds/?who=olive@example.org"
        answer = owner.get(address, headers={"X-Request-ID": "0123456789abcdef0123"})
        Client().get("/join/a-secret-token/")
        Client().get("/healthz", headers={"X-Request-ID": "olive@example.org"})
        owner.get("/g/999999/")
    text = "\n".join(lines_of(caplog))
    for hidden in ("olive", "example.org", "a-secret-token", garden.name, "127.0.0.1"):
        assert hidden not in text
    first = json.loads(lines_of(caplog)[0])
    assert answer.headers["X-Request-ID"] == "0123456789abcdef0123"
    assert first["ms"] >= 0
    assert {
        name: first[name] for name in ("request_id", "method", "route", "garden", "status")
    } == {
        "request_id": "0123456789abcdef0123",
        "method": "GET",
        "route": "beds",
        "garden": garden.pk,
        "status": 200,
    }
    assert "healthz" not in text


def test_a_fault_is_told_by_its_kind_and_place_alone(caplog):
    """Neither its text nor what another package says of it, which may hold rows and addresses."""
    try:
        raise ValueError("olive@example.org")
    except ValueError:
        logging.getLogger("django.request").exception("Internal Server Error: %s", "/join/secret/")
        logging.getLogger("rotation.x").exception("could not plan garden %s", 7)
    strange, own = (json.loads(line) for line in lines_of(caplog))
    assert strange.keys() == {"at", "level", "logger", "fault", "where"}
    assert (own["event"], own["fault"]) == ("could not plan garden 7", "ValueError")
    assert "test_operations.py" in own["where"][-1]
    assert "olive" not in json.dumps([strange, own])


def test_the_image_takes_what_the_product_runs_on_and_no_more():
    """The line that parts both is where the file of requirements has it."""
    text = (DEPLOY / "Containerfile").read_text()
    assert "sed '/^# What the tests need/,$d' requirements.txt" in text
    runs, tests = (ROOT / "requirements.txt").read_text().split("\n# What the tests need")
    assert {"gunicorn==", "Django==", "django-tasks-db=="} <= set(
        re.findall(r"^[\w-]+==", runs, re.M)
    )
    assert "pytest==" in tests
    assert re.search(r"^USER tillfeather$", text, re.M)


def test_compose_names_all_that_production_wants_and_fails_closed():
    text = (DEPLOY / "compose.yaml").read_text()
    environment = text.split("  environment: &environment\n")[1].split("  volumes:")[0]
    given = dict(re.findall(r"^    (\w+): (.+)$", environment, re.M))
    assert given["PRODUCTION"] == '"1"'
    assert set(NEEDED) <= set(given)
    assert "\t" not in text
    for name in ("SECRET_KEY", "ALLOWED_HOSTS", "EMAIL_HOST"):
        assert given[name].startswith(f"${{{name}:?")
    assert re.findall(r"^  (\w+):$", text.split("services:\n")[1], re.M)[:4] == [
        "database", "migrate", "web", "worker",
    ]  # fmt: skip
    example = (DEPLOY / "example.env").read_text()
    for name in set(re.findall(r"\$\{(\w+):\?", text)):
        assert re.search(rf"^{name}=$", example, re.M), name


@pytest.mark.parametrize("name", ["tillfeather-web.service", "tillfeather-worker@.service"])
def test_services_run_commands_that_are_there(name):
    unit = configparser.RawConfigParser(strict=False, interpolation=None)
    unit.optionxform = str
    unit.read(DEPLOY / "systemd" / name)
    words = unit["Service"]["ExecStart"].split()
    assert words[0].startswith("/opt/tillfeather/.venv/bin/")
    known = "garden.wsgi" in words or words[1:] == ["manage.py", "plan_worker"]
    assert known
    for word in words:
        if word.startswith("deploy/"):
            assert (ROOT / word).exists()
