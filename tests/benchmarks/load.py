"""200 people read and log at once against the server that `make run` starts: requests a second, p95, errors.

Run with ``python -m tests.benchmarks.load [--people 200] [--seconds 300] [--gardens 100]``; DATABASE_URL may
name a PostgreSQL server on which a database may be made. Locust plays the people, on this machine only, and
takes a share of its processors. Each person opens a page or logs something every 2 to 6 seconds.
"""

import argparse
import csv
import json
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any
from uuid import uuid4

if __name__ != "__main__":
    from locust import HttpUser, between, task

from tests.benchmarks.own_database import MORNING, ROOT, own_database

CSRF = "a" * 32
READY_S = 120


def main() -> None:
    """Make gardens, start the server, let Locust run, print one line of a table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--people", type=int, default=200)
    asked.add_argument("--seconds", type=int, default=300)
    asked.add_argument("--gardens", type=int, default=100)
    asked.add_argument("--make", action="store_true", help=argparse.SUPPRESS)
    words = asked.parse_args()
    if words.make:
        _make(words.gardens, words.people)
        return
    with own_database("load") as environment, TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "tests.benchmarks.load", "--make"]
        command += [f"--gardens={words.gardens}", f"--people={words.people}"]
        people = Path(environment["VAR_DIR"]) / "people.json"
        with people.open("w") as file:
            subprocess.run(command, cwd=ROOT, env=environment, stdout=file, check=True)
        port = _free_port()
        server = _server(environment | {"DEMO": "0"}, port)
        try:
            rows = _locust(words, port, people, Path(folder))
        finally:
            os.killpg(server.pid, signal.SIGTERM)
            server.wait(timeout=60)
    sys.exit(_told(rows, words, "postgres" in environment.get("DATABASE_URL", "")))


def _free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return probe.getsockname()[1]


def _server(environment: dict[str, str], port: int) -> subprocess.Popen[bytes]:
    """Start what `make run` starts, and wait until it answers."""
    words = [
        "make",
        "-o",
        ".venv/installed",
        "-o",
        ".venv/compiled",
        "run",
        f"PORT={port}",
        "DEMO=0",
    ]
    words.append(f"VAR_DIR={environment['VAR_DIR']}")
    server = subprocess.Popen(
        words, cwd=ROOT, env=environment, start_new_session=True, stdout=subprocess.DEVNULL
    )
    until = time.monotonic() + READY_S
    while time.monotonic() < until:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.2)
        else:
            return server
    raise TimeoutError("no server came up")


def _locust(words: Any, port: int, people: Path, folder: Path) -> list[dict[str, str]]:
    command = [
        sys.executable, "-m", "locust", "--headless", "--only-summary", "--skip-log-setup",
        "--locustfile", __file__, "--host", f"http://127.0.0.1:{port}",
        "--users", str(words.people), "--spawn-rate", str(max(1, words.people // 10)),
        "--run-time", f"{words.seconds}s", "--stop-timeout", "30", "--csv", str(folder / "load"),
    ]  # fmt: skip
    told = {"LOAD_PEOPLE": str(people), "PYTHONPATH": str(ROOT)}
    subprocess.run(
        command, cwd=folder, env=os.environ | told, check=False, stdout=subprocess.DEVNULL
    )
    for line in (folder / "load_failures.csv").read_text().splitlines()[1:]:
        print(line)
    with (folder / "load_stats.csv").open() as file:
        return list(csv.DictReader(file))


def _told(rows: list[dict[str, str]], words: Any, is_postgresql: bool) -> int:
    engine = "PostgreSQL" if is_postgresql else "SQLite"
    print(f"{engine}, {words.people} people, {words.seconds} s, {words.gardens} gardens\n")
    print("| what | requests | errors | a second | median ms | p95 ms | longest ms |")
    print("| --- | --: | --: | --: | --: | --: | --: |")
    for row in rows:
        figures = (
            float(row[name])
            for name in ("Requests/s", "Median Response Time", "95%", "Max Response Time")
        )
        a_second, median, p95, longest = figures
        print(
            f"| {row['Name']} | {row['Request Count']} | {row['Failure Count']} | {a_second:.1f} | "
            f"{median:.0f} | {p95:.0f} | {longest:.0f} |"
        )
    return int(rows[-1]["Failure Count"] != "0")


def _make(gardens: int, people: int) -> None:
    """Fill the database, sign people in and print what Locust needs of them."""
    import django

    django.setup()
    from datetime import date

    from django.contrib.auth import get_user_model

    from tests.benchmarks.power_cut import session_of
    from tests.benchmarks.scale_rows import gardens_make

    gardens_make(gardens, date.fromisoformat(MORNING))
    users = list(get_user_model().objects.order_by("pk"))
    told = []
    for number in range(people):
        user = users[number % len(users)]
        garden = user.memberships.get().garden
        batch = garden.batches.unfinished().get()
        told.append(
            {
                "user": user.pk,
                "session": session_of(user),
                "garden": garden.pk,
                "batch": batch.pk,
                "pens": list(batch.pens.values_list("pk", flat=True)),
                "beds": list(garden.beds.values_list("pk", flat=True)),
            }
        )
    print(json.dumps(told))


if __name__ != "__main__":
    PEOPLE: list[dict[str, Any]] = json.loads(Path(os.environ["LOAD_PEOPLE"]).read_text())

    class Grower(HttpUser):
        """Somebody who looks at the day, ticks and logs, and looks something up."""

        wait_time = between(2, 6)

        def on_start(self) -> None:
            """Be one of the people, signed in."""
            self.me = PEOPLE.pop()
            self.dice = Random(self.me["session"])
            self.client.cookies.set("sessionid", self.me["session"])
            self.client.cookies.set("csrftoken", CSRF)
            self.place = f"/g/{self.me['garden']}/"

        def _read(self, name: str, end: str) -> None:
            self.client.get(self.place + end, name=name)

        def _send(self, name: str, end: str, data: dict[str, object]) -> None:
            headers = {
                "X-CSRFToken": CSRF,
                "Outbox-Key": str(uuid4()),
                "Outbox-User": str(self.me["user"]),
            }
            self.client.post(self.place + end, data, headers=headers, name=name)

        @task(5)
        def today(self) -> None:
            """Look at the day."""
            self._read("Today", "")

        @task(2)
        def lists(self) -> None:
            """Look through a list."""
            end = self.dice.choice(("beds/", "batches/", "beds/eat/", "plan/", "batches/feed/"))
            self._read(f"list {end}", end)

        @task(1)
        def one(self) -> None:
            """Look one thing up."""
            self._read("a bed", f"beds/{self.dice.choice(self.me['beds'])}/")

        @task(2)
        def feed(self) -> None:
            """Log feed."""
            mass_kg = f"{self.dice.uniform(0.5, 3):.3f}"
            end = f"batches/{self.me['batch']}/feed/new/"
            self._send("log feed", end, {"on": MORNING, "mass_kg": mass_kg})

        @task(1)
        def note(self) -> None:
            """Write a note."""
            end = f"batches/{self.me['batch']}/notes/new/"
            self._send("log a note", end, {"on": MORNING, "text": f"Seen {uuid4()}"})


if __name__ == "__main__":
    main()
