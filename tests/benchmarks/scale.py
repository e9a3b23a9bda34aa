"""How pages fare in a database of 10,000 gardens, beside one of 10: milliseconds, their ratio, queries, plans.

Run with ``python -m tests.benchmarks.scale [--gardens 10000] [--asked 60]``; DATABASE_URL may name a PostgreSQL
server on which a database may be made. Prints a markdown table; ends with status 1 where a bound is broken.
Pages are asked for twice by each garden's owner: first by a process that has never seen the garden, then again.
"""

import argparse
import json
import statistics
import subprocess
import sys
import time
from datetime import date
from importlib import import_module
from typing import Any

from tests.benchmarks.own_database import MORNING, ROOT, own_database

SMALL = 10
MOST_MS, MOST_RATIO = 150.0, 1.5
HELD = (
    "today",
    "beds",
    "batches",
    "feed_store",
    "gardens",
    "register",
    "eat",
    "bed_map",
    "photos",
    "plan",
)
"""The pages whose time is held to the bounds: Today, and lists."""
OTHERS = (
    "changes", "stock", "money", "rota", "heaps", "crops", "weather", "build", "what_ifs", "sizing",
    "people", "in_out", "own_messages", "batch_compare", "bed", "bed_ledger", "bed_windows", "batch",
    "batch_ready", "batch_feeding", "batch_report",
)  # fmt: skip
NEVER_SCANNED_FROM = 10_000
"""A table of more rows is never read through by a page."""


def main() -> None:
    """Make both databases, ask, compare."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--gardens", type=int, default=10_000)
    asked.add_argument(
        "--asked", type=int, default=60, help="gardens whose owner looks at every page"
    )
    asked.add_argument("--one", action="store_true", help=argparse.SUPPRESS)
    words = asked.parse_args()
    if words.one:
        print(json.dumps(_measured(words.gardens, words.asked)))
        return
    small, large = (_in_own_database(count, words.asked) for count in (SMALL, words.gardens))
    sys.exit(_told(small, large))


def _in_own_database(gardens: int, asked: int) -> dict[str, Any]:
    with own_database("scale") as environment:
        command = [sys.executable, "-m", "tests.benchmarks.scale", "--one"]
        command += [f"--gardens={gardens}", f"--asked={asked}"]
        done = subprocess.run(
            command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True, check=True
        )
    return json.loads(done.stdout)


def _measured(gardens: int, asked: int) -> dict[str, Any]:
    """Fill the database and ask for every page as some owners."""
    from django.conf import settings

    plain = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    settings.STORAGES = settings.STORAGES | {"staticfiles": plain}
    # As a web server loads it, with what is loaded kept from the search for garbage.
    import_module("garden.wsgi")
    from django.contrib.auth import get_user_model
    from django.db import connection
    from django.test.utils import setup_test_environment

    from tests.benchmarks.scale_rows import gardens_make

    setup_test_environment()
    started = time.perf_counter()
    rows = gardens_make(gardens, date.fromisoformat(MORNING))
    made_s = time.perf_counter() - started
    people = list(get_user_model().objects.order_by("pk").values_list("pk", flat=True))
    first, *chosen = people[:: max(1, len(people) // (asked + 1))][: asked + 1]
    _asked_by(first)  # templates, imports and what is compiled
    _asked_by(first)
    answers = [_asked_by(person) | {"again": _asked_by(person)} for person in chosen]
    pages = {
        name: {
            "first": [answer[name]["ms"] for answer in answers],
            "again": [answer["again"][name]["ms"] for answer in answers],
            "busy": [answer["again"][name]["busy_ms"] for answer in answers],
            "queries": max(answer[name]["queries"] for answer in answers),
        }
        for name in (*HELD, *OTHERS)
        if name in answers[0]
    }
    return {
        "engine": connection.vendor, "gardens": gardens, "rows": rows, "made_s": made_s,
        "pages": pages, "scans": _scans(chosen[0]),
    }  # fmt: skip


def addresses_of(garden: Any) -> dict[str, str]:
    """Return the addresses of the pages that are asked for, by their names."""
    from django.urls import NoReverseMatch, reverse

    ids = {
        "garden_id": garden.pk,
        "bed_id": garden.beds.first().pk,
        "batch_id": garden.batches.first().pk,
    }
    found = {}
    for name in (*HELD, *OTHERS):
        for kinds in ((), ("garden_id",), ("garden_id", "bed_id"), ("garden_id", "batch_id")):
            try:
                found[name] = reverse(name, kwargs={kind: ids[kind] for kind in kinds})
            except NoReverseMatch:
                continue
    return found


def _asked_by(person: int) -> dict[str, Any]:
    """Ask for every page as one person; milliseconds, milliseconds of processor and queries of each."""
    from django.contrib.auth import get_user_model
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    user = get_user_model().objects.get(pk=person)
    client = Client()
    client.force_login(user)
    told = {}
    for name, address in addresses_of(user.memberships.get().garden).items():
        started, busy = time.perf_counter(), time.process_time()
        with CaptureQueriesContext(connection) as seen:
            answer = client.get(address)
        told[name] = {
            "ms": 1000 * (time.perf_counter() - started),
            "busy_ms": 1000 * (time.process_time() - busy),
            "queries": len(seen),
        }
        assert answer.status_code == 200, (address, answer.status_code)
    return told


def _scans(person: int) -> list[str]:
    """Return the queries of the pages that read a big table through."""
    from django.contrib.auth import get_user_model
    from django.db import connection
    from django.test import Client

    from tests.query_plans import queries_of, scanned_tables

    user = get_user_model().objects.get(pk=person)
    client = Client()
    client.force_login(user)
    big = {
        name for name in connection.introspection.table_names() if _rows(name) > NEVER_SCANNED_FROM
    }
    return [
        f"{name}: {table}: {sql[:300]}"
        for name, address in addresses_of(user.memberships.get().garden).items()
        for sql, params in queries_of(client, address)
        for table in scanned_tables(sql, params) & big
    ]


def _rows(table: str) -> int:
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute(f'SELECT COUNT(*) FROM "{table}"')
        return cursor.fetchone()[0]


def _p95(values: list[float]) -> float:
    return statistics.quantiles(values, n=20)[-1]


def _told(small: dict[str, Any], large: dict[str, Any]) -> int:
    """Print the table and return the status."""
    print(
        f"{large['engine']}: {large['gardens']} gardens, {large['rows']} rows, made in "
        f"{large['made_s']:.0f} s; p95 in ms\n\n"
        f"| page | queries | first | again | again with {small['gardens']} | ratio | ratio of processor |\n"
        "| --- | --: | --: | --: | --: | --: | --: |"
    )
    broken = []
    for name, page in large["pages"].items():
        before = small["pages"][name]
        ratio = _p95(page["again"]) / _p95(before["again"])
        busy = statistics.median(page["busy"]) / statistics.median(before["busy"])
        print(
            f"| {name} | {page['queries']} | {_p95(page['first']):.0f} | {_p95(page['again']):.0f} | "
            f"{_p95(before['again']):.0f} | {ratio:.2f} | {busy:.2f} |"
        )
        if name in HELD and (_p95(page["again"]) > MOST_MS or busy > MOST_RATIO):
            broken.append(f"{name} is too slow")
        if page["queries"] != before["queries"]:
            broken.append(
                f"{name} asks {page['queries']} queries, and {before['queries']} in a small one"
            )
    broken += large["scans"]
    print(
        "\n".join(["", *broken])
        if broken
        else "\nNo bound is broken, and no big table read through."
    )
    return bool(broken)


if __name__ == "__main__":
    main()
