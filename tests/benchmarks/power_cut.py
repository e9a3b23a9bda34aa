"""Kill the web server again and again while people log, and look whether every acknowledged entry is there.

Run with ``python -m tests.benchmarks.power_cut [--cuts 200] [--people 8]``; DATABASE_URL may name a PostgreSQL
server. The server is gunicorn as `make run` starts it; all its processes get SIGKILL at a random moment. People
send feed records as a phone's outbox does: with a key each, again under the same key until it is answered. A
nursery, which has loaded the application, starts each new server, so that most of the time goes into logging.
"""

import argparse
import http.client
import json
import os
import random
import signal
import socket
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from threading import Event, Thread
from typing import Any
from uuid import uuid4

from tests.benchmarks.own_database import MORNING, ROOT, own_database

LONGEST_LIFE_S = 1.2
"""A server lives for a random time up to this before it is killed."""
CSRF = "a" * 32
STEP_KG = 0.001
"""Every entry has a mass of its own, by which it is found again."""


@dataclass
class Sent:
    """What one person has sent, by the mass of the entry."""

    acknowledged: set[int] = field(default_factory=set)
    tried: set[int] = field(default_factory=set)
    faults: list[str] = field(default_factory=list)


def main() -> None:
    """Cut as often as was asked and tell what was found."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--cuts", type=int, default=200)
    asked.add_argument("--people", type=int, default=8)
    asked.add_argument("--nursery", action="store_true", help=argparse.SUPPRESS)
    words = asked.parse_args()
    if words.nursery:
        _nursery(words.people)
        return
    told = cut_power(words.cuts, words.people)
    print(told["line"])
    sys.exit(bool(told["wrong"]))


def cut_power(cuts: int, people: int, migrated: Path | None = None) -> dict[str, Any]:
    """Do it all in a database of its own, see `own_database`; `wrong` lists what should not be."""
    with own_database("power_cut", migrated) as environment:
        with socket.create_server(("127.0.0.1", 0)) as probe:
            port = probe.getsockname()[1]
        command = [sys.executable, "-m", "tests.benchmarks.power_cut", "--nursery"]
        nursery = subprocess.Popen(
            [*command, f"--people={people}"], cwd=ROOT, env=environment | {"PORT": str(port)},
            text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        )  # fmt: skip
        garden = json.loads(nursery.stdout.readline())
        sent, lasted_s = _log_and_cut(cuts, garden, nursery, port)
        found = json.loads(_said(nursery, "count"))
        nursery.stdin.close()
        nursery.wait()
    kept = {int(number): count for number, count in found["kept"].items()}
    acknowledged = {0}.union(*(one.acknowledged for one in sent))
    tried = {0}.union(*(one.tried for one in sent))
    wrong = [f"{number} was acknowledged and is lost" for number in acknowledged - kept.keys()]
    wrong += [f"{number} is there {count} times" for number, count in kept.items() if count > 1]
    wrong += [f"{number} was never sent" for number in kept.keys() - tried]
    wrong += [fault for one in sent for fault in one.faults]
    wrong += [] if found["sound"] else ["the database is damaged"]
    wrong += [] if found["steps"] == len(kept) else [f"{found['steps']} undo steps for {len(kept)}"]
    line = (
        f"{found['engine']}: {cuts} cuts in {lasted_s:.0f} s, {len(acknowledged)} entries acknowledged, "
        f"{len(kept)} kept, {len(acknowledged - kept.keys())} lost, "
        f"{sum(count > 1 for count in kept.values())} twice"
    )
    return {"line": "\n".join([line, *wrong]), "wrong": wrong, "acknowledged": len(acknowledged)}


def _said(nursery: subprocess.Popen[str], word: str) -> str:
    nursery.stdin.write(f"{word}\n")
    nursery.stdin.flush()
    return nursery.stdout.readline()


def _log_and_cut(
    cuts: int, garden: dict[str, Any], nursery: subprocess.Popen[str], port: int
) -> tuple[list[Sent], float]:
    """Let people log while servers come and go, and then until everything is answered."""
    over = Event()
    sent = [Sent() for _ in garden["people"]]
    threads = [
        Thread(target=_log, args=(port, garden, number, mine, over))
        for number, mine in enumerate(sent)
    ]
    dice = random.Random(cuts)
    server = _born(nursery, port)
    started = time.monotonic()
    for thread in threads:
        thread.start()
    for _ in range(cuts):
        time.sleep(dice.uniform(0.05, LONGEST_LIFE_S))
        os.killpg(server, signal.SIGKILL)
        server = _born(nursery, port)
    lasted_s = time.monotonic() - started
    over.set()
    for thread in threads:
        thread.join()
    os.killpg(server, signal.SIGKILL)
    return sent, lasted_s


def _born(nursery: subprocess.Popen[str], port: int) -> int:
    """Start a server and return its group once it answers."""
    group = int(_said(nursery, "go"))
    until = time.monotonic() + 60
    while time.monotonic() < until:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.01)
        else:
            return group
    raise TimeoutError("no server came up")


def _log(port: int, garden: dict[str, Any], number: int, sent: Sent, over: Event) -> None:
    """Send one entry after the other; what got no answer is sent again under the same key."""
    at = 0
    while not over.is_set():
        at += 1
        entry, key = at * len(garden["people"]) + number, str(uuid4())
        sent.tried.add(entry)
        while (status := _send(port, garden, number, entry, key)) is None or status >= 500:
            time.sleep(0.02)
        if status == 200:
            sent.acknowledged.add(entry)
        else:
            sent.faults.append(f"{entry} was answered {status}")
            return


def _send(port: int, garden: dict[str, Any], number: int, entry: int, key: str) -> int | None:
    person = garden["people"][number]
    headers = {
        "Cookie": f"sessionid={person['session']}; csrftoken={CSRF}",
        "X-CSRFToken": CSRF,
        "Outbox-Key": key,
        "Outbox-User": str(person["user"]),
        "Content-Type": "application/x-www-form-urlencoded",
    }
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    try:
        connection.request(
            "POST", garden["address"], f"on={MORNING}&mass_kg={1 + entry * STEP_KG:.3f}", headers
        )
        answer = connection.getresponse()
        answer.read()
    except (OSError, http.client.HTTPException):
        return None
    finally:
        connection.close()
    return answer.status


def _make(people: int) -> None:
    """Make a garden whose people are signed in, and print what is needed to send entries."""
    from django.conf import settings
    from django.urls import reverse

    from flocks.models import Batch
    from tests.factories import BatchFactory, GardenFactory, MembershipFactory

    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    garden = GardenFactory()
    batch: Batch = BatchFactory(garden=garden)
    told = []
    for _ in range(people):
        user = MembershipFactory(garden=garden, role="helper").user
        told.append({"user": user.pk, "session": session_of(user)})
    address = reverse("feed_new", args=[garden.pk, batch.pk])
    print(json.dumps({"address": address, "people": told}), flush=True)


def session_of(user: Any) -> str:
    """Sign somebody in and return the key of the session."""
    from django.conf import settings
    from django.test import Client

    client = Client()
    client.force_login(user)
    return client.cookies[settings.SESSION_COOKIE_NAME].value


def _nursery(people: int) -> None:
    """Load the application and make the garden; then start a server in its own group, or count, as told."""
    from gunicorn.app.base import BaseApplication

    from garden.wsgi import application
    from rotation.management.commands.serve import THREADS, WORKERS

    class Server(BaseApplication):
        """`make run`'s, with the application loaded already."""

        def load_config(self) -> None:
            options = {
                "bind": f"127.0.0.1:{os.environ['PORT']}",
                "workers": WORKERS, "threads": THREADS, "loglevel": "critical",
            }  # fmt: skip
            for name, value in options.items():
                self.cfg.set(name, value)

        def load(self) -> Any:
            return application

    _make(people)
    _warm_up()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    for line in sys.stdin:
        if line == "count\n":
            _count()
            continue
        child = os.fork()
        if child == 0:
            os.setsid()
            signal.signal(signal.SIGCHLD, signal.SIG_DFL)
            sys.stdin.close()
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            Server().run()
        print(child, flush=True)


def _warm_up() -> None:
    """Log the entry number 0 in this process, so that all code is loaded before it is copied."""
    from django.db import connections
    from django.test import Client
    from django.urls import reverse

    from flocks.models import Batch

    batch = Batch.objects.get()
    user = batch.garden.memberships.first().user
    client = Client(SERVER_NAME="localhost")
    client.force_login(user)
    answer = client.post(
        reverse("feed_new", args=[batch.garden_id, batch.pk]),
        {"on": MORNING, "mass_kg": "1"},
        headers={"Outbox-Key": str(uuid4()), "Outbox-User": str(user.pk)},
    )
    assert answer.status_code == 200, answer.content
    connections.close_all()


def _count() -> None:
    """Print how often each entry is there, and whether the database is sound."""
    from collections import Counter

    from django.db import connection

    from flocks.models import FeedRecord
    from garden.models import TakenEntry, UndoStep

    masses = FeedRecord.objects.values_list("mass_kg", flat=True)
    kept = Counter(round((mass_kg - 1) / STEP_KG) for mass_kg in masses)
    sound = True
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA integrity_check")
            sound = cursor.fetchone() == ("ok",)
    sound = sound and TakenEntry.objects.count() == len(masses)
    steps = UndoStep.objects.count()
    told = {"engine": connection.vendor, "kept": kept, "sound": sound, "steps": steps}
    print(json.dumps(told), flush=True)


if __name__ == "__main__":
    main()
