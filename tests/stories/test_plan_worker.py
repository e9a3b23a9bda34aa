"""The worker as a process: killed in the middle and started again, ended in order, kept beside the server."""

import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from io import StringIO
from multiprocessing.context import ForkServerProcess
from pathlib import Path
from time import monotonic, sleep
from urllib.request import urlopen

import pytest
from django.core.management import call_command
from django.db import DatabaseError

from garden.models import Garden
from rotation import pulse, task_tries, task_worker
from rotation.models import Plan, PlanRun, PlanWorker
from rotation.mornings import mornings_ask
from rotation.plan_runs import plan_run_ask
from rotation.task_worker import TaskWorker
from tests.conftest import TODAY
from tests.factories import (
    BatchFactory,
    BatchPenFactory,
    BedFactory,
    GardenFactory,
    PenFactory,
    PlantingFactory,
)
from tests.started import loaded, started

ROOT = Path(__file__).parent.parent.parent
PATIENCE_SECONDS = 180
"""More than anything here takes on a busy machine."""


def until(true: Callable[[], object]) -> None:
    """Wait for something to become true."""
    ends = monotonic() + PATIENCE_SECONDS
    while not true():
        assert monotonic() < ends, "waited in vain"
        sleep(0.05)


def ask() -> None:
    """Ask for the plan of a garden whose search no worker comes to the end of within a second."""
    garden = GardenFactory()
    for number in range(30):
        BedFactory(garden=garden, x_m=2.0 * (number % 6), y_m=3.0 * (number // 6))
    for number in range(12):
        hatch_on = date(2026, 5, 20) + timedelta(days=6 * number)
        batch = BatchFactory(garden=garden, chicks=5 + number % 4, hatch_on=hatch_on)
        BatchPenFactory(batch=batch, pen=PenFactory(garden=garden))
    plan_run_ask(garden=garden, because="a batch was added")


def work(*words: str) -> None:
    """Be a worker that looks for dead ones often and lets their tasks rest for a moment only."""
    pulse.BEAT_SECONDS = 0.2
    task_tries.FIRST_PAUSE_SECONDS = 0.1
    call_command("plan_worker", *words)


class Place:
    """A folder with a database of its own, the processes that work on it, and a look into its rows."""

    def __init__(self, folder: Path, database: Path) -> None:
        self.folder = folder
        self._processes: list[ForkServerProcess] = []
        shutil.copy(database, folder / "garden.sqlite3")

    def start(self, what: Callable[..., None] = work, *words: str) -> ForkServerProcess:
        """Start a worker, or something else, as a process of its own."""
        self._processes.append(started(self.folder, what, *words))
        return self._processes[-1]

    def killed(self, process: ForkServerProcess) -> None:
        """Kill a process and wait until it is gone."""
        process.kill()
        process.join()

    def rows(self, statement: str) -> list[tuple]:
        """Ask the database; nothing where its tables are not made yet."""
        connection = sqlite3.connect(self.folder / "garden.sqlite3", timeout=10)
        try:
            with connection:
                return connection.execute(statement).fetchall()
        except sqlite3.OperationalError:
            return []
        finally:
            connection.close()

    def end(self) -> None:
        """End what still runs."""
        for process in self._processes:
            self.killed(process)


@pytest.fixture(scope="module")
def _is_loaded(tmp_path_factory) -> None:
    """Load the product once for all stories here."""
    loaded(
        VAR_DIR=str(tmp_path_factory.mktemp("loaded")),
        PRETEND_TODAY=TODAY.isoformat(),
        PLAN_SECONDS_BACKGROUND="60",
        HTTPS="0",
    )


@pytest.fixture(scope="module")
def asked(_is_loaded, tmp_path_factory, migrated) -> Path:
    """Return a database in which somebody has asked for a plan."""
    place = Place(tmp_path_factory.mktemp("asked"), migrated)
    asking = place.start(ask)
    asking.join()
    assert asking.exitcode == 0, (place.folder / "said").read_text()
    return place.folder / "garden.sqlite3"


@pytest.fixture
def place(tmp_path, asked) -> Iterator[Place]:
    """Return a folder with that database; whatever was started on it ends with the story."""
    place = Place(tmp_path, asked)
    yield place
    place.end()


def test_a_plan_whose_workers_are_killed_twice_is_finished_once(place):
    """Once before anything was saved, once after the first plan; the third worker ends what they began."""
    run = "select claimed_by <> '', plan_id, finished_at, tries from rotation_planrun"
    tasks = (
        "select status, json_array_length(worker_ids) from django_tasks_database_dbtaskresult "
        "where task_path = 'rotation.queued.plan_run'"
    )

    def time_passes() -> None:
        """Let whoever was killed have been silent for long, so that its task is found and does not rest."""
        for table, where in (
            ("rotation_planrun", "where alive_at <> ''"),
            ("rotation_planworker", ""),
        ):
            place.rows(f"update {table} set alive_at = '2026-01-01 00:00:00' {where}")
        place.rows("update rotation_rhythm set due_at = '2026-01-01 00:00:00'")

    first = place.start()
    until(lambda: place.rows(run)[0][0])
    place.killed(first)
    assert place.rows(run) == [(1, None, None, 1)]
    assert place.rows("select count(*) from rotation_plan") == [(0,)]

    time_passes()
    second = place.start()
    until(lambda: place.rows(run)[0][1])
    place.killed(second)
    early = place.rows(run)[0][1]
    assert place.rows(run) == [(1, early, None, 2)]
    assert place.rows("select id from rotation_plan") == [(early,)]

    time_passes()
    place.rows("update rotation_planrun set seconds_allowed = 1")
    place.start()
    until(lambda: place.rows(run)[0][2])
    until(lambda: place.rows(tasks) == [("SUCCESSFUL", 3)])
    [(claimed, saved, finished_at, tries)] = place.rows(run)
    assert (claimed, finished_at is None, tries) == (1, False, 3)
    assert place.rows("select id, because from rotation_plan") == [(saved, "a batch was added")]
    assert place.rows("select count(*) from rotation_planrun") == [(1,)]
    assert place.rows("select count(*) from rotation_plan") == [(1,)]
    assert place.rows("select count(*) from rotation_plannedstay where bed_id <> ''") > [(3,)]


def test_a_worker_that_is_ended_in_order_gives_its_run_back_at_once(place):
    run = "select claimed_by <> '', plan_id is null, finished_at, tries from rotation_planrun"
    worker = place.start()
    until(lambda: place.rows(run) == [(1, 0, None, 1)])
    worker.terminate()
    worker.join(PATIENCE_SECONDS)
    assert (worker.exitcode, (place.folder / "said").read_text()) == (0, "")
    assert place.rows(run) == [(0, 0, None, 0)]
    assert place.rows("select * from rotation_planworker") == []


def test_the_server_keeps_a_worker_beside_it(tmp_path, migrated):
    """Killed, it is started again; with the server it ends."""
    place = Place(tmp_path, migrated)
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    server = subprocess.Popen(
        [sys.executable, "manage.py", "serve", "--port", str(port)], cwd=ROOT,
        env={"PATH": os.environ["PATH"], "VAR_DIR": str(tmp_path), "HTTPS": "0"},
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    try:
        workers = "select name from rotation_planworker order by id desc"
        until(lambda: place.rows(workers))
        first = place.rows(workers)[0][0]
        os.kill(int(first.split(":")[1]), signal.SIGKILL)
        until(lambda: place.rows(workers)[0][0] != first)
        until(lambda: _answers(port))
        server.terminate()
        server.wait(PATIENCE_SECONDS)
        assert server.returncode == 0
        until(lambda: [name for (name,) in place.rows(workers) if name != first] == [])
    finally:
        server.kill()


def _answers(port: int) -> bool:
    try:
        with urlopen(f"http://127.0.0.1:{port}/healthz", timeout=5) as answer:
            return answer.status == 200
    except OSError:
        return False


@pytest.fixture
def birds(garden: Garden, settings) -> Garden:
    """Return a garden with birds and a bed, that is planned quickly."""
    settings.PLAN_SECONDS_BACKGROUND = 0.3
    BedFactory(garden=garden)
    batch = BatchFactory(garden=garden, chicks=4, processing_on=TODAY + timedelta(days=3))
    BatchPenFactory(batch=batch, pen=PenFactory(garden=garden), birds=4)
    return garden


@pytest.mark.django_db
def test_once_works_off_what_waits_and_ends(birds):
    plan_run_ask(garden=birds, because="a weighing was added")
    call_command("plan_worker", "--once")
    assert PlanRun.objects.get().plan == Plan.objects.get()
    assert not PlanWorker.objects.exists()


@pytest.mark.django_db
def test_every_garden_is_looked_at_once_on_every_new_day(birds, settings):
    assert mornings_ask() == 1
    assert mornings_ask() == 0
    call_command("plan_worker", "--once")
    planned = Plan.objects.get()
    assert planned.because == "a new day"
    PlantingFactory(bed=birds.beds.get(), starts_on=TODAY)
    assert mornings_ask() == 0
    settings.PRETEND_TODAY = TODAY + timedelta(days=1)
    assert mornings_ask() == 1
    call_command("plan_worker", "--once")
    settings.PRETEND_TODAY = TODAY + timedelta(days=2)
    assert mornings_ask() == 1
    call_command("plan_worker", "--once")
    assert PlanRun.objects.count() == 2
    assert Plan.objects.latest("pk").from_day == TODAY + timedelta(days=1) > planned.from_day
    out = StringIO()
    call_command("plan_gardens", "--again", stdout=out)
    assert out.getvalue() == "1 garden put into the queue.\n"


@pytest.mark.django_db
def test_a_garden_without_birds_is_not_looked_at(garden):
    assert mornings_ask() == 0


@pytest.mark.django_db
def test_a_worker_waits_for_a_database_that_does_not_answer(monkeypatch, caplog):
    worker, names = TaskWorker(until_idle=False), []

    def run() -> None:
        names.append(worker.name)
        if len(names) == 1:
            raise DatabaseError("gone for a moment")

    monkeypatch.setattr(task_worker, "AFTER_FAULT_SECONDS", 0)
    monkeypatch.setattr(task_worker.connection, "close", lambda: None)
    monkeypatch.setattr(worker, "run", run)
    worker.work()
    assert len(set(names)) == 2
    assert "gone for a moment" in caplog.text


def test_a_worker_ends_with_its_parent(place):
    worker = place.start(work, "--parent", "1")
    worker.join(PATIENCE_SECONDS)
    assert worker.exitcode == 0
    assert place.rows("select * from rotation_planworker") == []
