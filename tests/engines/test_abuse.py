"""Documents made to hurt: every engine refuses them in plain words, within little memory and time.

All of them run in one process of its own with hard limits, so that an engine that takes too much is killed.
"""

import json
import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
COMMANDS = ("solve_rotation", "forecast_growth", "cut_boards")
MOST_MEMORY = 3 * 1024**3
"""Address space that the process may take [byte], with all libraries, of which compiled code takes half."""
MOST_CPU_S = 60
MOST_EACH_S = 3.0
"""Processor time for any one refusal [s]; most take hundredths."""


def rotation(**changes: object) -> dict[str, object]:
    """Return a small rotation problem with changes."""
    return {
        "format": "rotation-problem/1",
        "days": 5,
        "rules": {"min_stay_days": 1, "max_stay_days": 3, "rest_days": 1},
        "costs": {"move": 1.0, "carry_per_metre": 0.1, "off_bed_day": 9.0, "wanted_nitrogen_per_gram": 0.0},
        "spots": [],
        "runs": [{"id": "A", "first_day": 0, "nitrogen_g": [1.0], "spots": []}],
    } | changes  # fmt: skip


def cutting(**changes: object) -> dict[str, object]:
    """Return a small cutting problem with changes."""
    return {
        "format": "cutting-problem/1", "kerf_mm": 3.0, "trim_mm": 0.0,
        "stock": [{"profile": "a", "length_mm": 2000.0, "price": 1.0}],
        "pieces": [{"profile": "a", "length_mm": 500.0, "count": 1, "name": "x"}],
    } | changes  # fmt: skip


def growth(**changes: object) -> dict[str, object]:
    """Return something like a growth forecast with changes."""
    return {"format": "growth-forecast/1", "strain": "cornish_cross", "days": 50} | changes


MANY = 1_000_000
ANY_COMMAND = {
    "nothing": "",
    "no object": "[1, 2]",
    "binary": "\x00\x01\x02",
    "deeply nested": "[" * MANY,
    "deeply nested objects": '{"a":' * 200_000,
    "a million fields": json.dumps({f"f{n}": n for n in range(MANY)}),
    "a number of a million digits": '{"days": ' + "9" * MANY + "}",
    "not a number": '{"days": NaN}',
    "endless": '{"days": -Infinity}',
    "beyond any number": '{"days": 1e999}',
    "17 MB": '{"format": "' + "x" * 17_000_000 + '"}',
    "17 MB of lists": "[" + "[]," * 5_600_000 + "[]]",
}
OF_ONE = {
    "solve_rotation": {
        "a million days": rotation(days=MANY),
        "a million nights of droppings": rotation(
            runs=[{"id": "A", "first_day": 0, "nitrogen_g": [1.0] * MANY, "spots": []}]
        ),
        "a hundred thousand pens": rotation(
            runs=[
                {"id": f"{n}", "first_day": 0, "nitrogen_g": [1.0], "spots": []}
                for n in range(100_000)
            ]
        ),
        "too many choices": rotation(
            days=3660,
            rules={"min_stay_days": 1, "max_stay_days": 3660, "rest_days": 0},
            runs=[
                {"id": f"{n}", "first_day": 0, "nitrogen_g": [1.0] * 3660, "spots": ["s"]}
                for n in range(10)
            ],
            spots=[{"id": "s", "x_m": 0.0, "y_m": 0.0, "nitrogen_room_g": 1.0, "windows": []}],
        ),
        "droppings beyond measure": rotation(
            runs=[{"id": "A", "first_day": 0, "nitrogen_g": [1e308], "spots": []}]
        ),
    },
    "forecast_growth": {
        "a million days": growth(days=MANY),
        "a strain that is nobody": growth(strain="x" * MANY),
    },
    "cut_boards": {
        "a billion pieces": cutting(
            pieces=[{"profile": "a", "length_mm": 500.0, "count": 10**9, "name": "x"}]
        ),
        "a board to the moon": cutting(stock=[{"profile": "a", "length_mm": 3.8e11, "price": 1.0}]),
        "a million sizes": cutting(
            pieces=[{"profile": "a", "length_mm": 1.0, "count": 1, "name": "x"}] * 200_000
        ),
        "hairs": cutting(pieces=[{"profile": "a", "length_mm": 1e-300, "count": 1, "name": "x"}]),
    },
}

IN_A_PROCESS = """
import io, json, resource, sys, time
import os; os.environ.setdefault("DJANGO_SETTINGS_MODULE", "garden.settings")
import django; django.setup()
from django.core.management import call_command
for line in sys.stdin:
    command, path = json.loads(line)
    out, faults, began, status = io.StringIO(), io.StringIO(), time.process_time(), 0
    try:
        call_command(command, path, stdout=out, stderr=faults)
    except SystemExit as end:
        status = end.code
    told = [status, faults.getvalue()[:20_000], time.process_time() - began]
    print(json.dumps(told), flush=True)
"""


def limited() -> None:
    """Hold the process to its limits before it begins."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_S, MOST_CPU_S))


@pytest.fixture(scope="module")
def answers(tmp_path_factory) -> dict[tuple[str, str], list]:
    """Return what every command answers to every document: exit status, faults told, processor time."""
    folder = tmp_path_factory.mktemp("documents")
    asked = [
        (command, name, document)
        for command in COMMANDS
        for name, document in {**ANY_COMMAND, **OF_ONE[command]}.items()
    ]
    lines = []
    for number, (command, _, document) in enumerate(asked):
        text = document if isinstance(document, str) else json.dumps(document)
        path = folder / f"{number}.json"
        path.write_text(text)
        lines.append(json.dumps([command, str(path)]))
    done = subprocess.run(
        [sys.executable, "-c", IN_A_PROCESS], input="\n".join(lines), cwd=ROOT, text=True,
        capture_output=True, check=False, preexec_fn=limited,
    )  # fmt: skip
    told = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(told) == len(asked), f"died of {asked[len(told)][:2]}: {done.stderr[-2000:]}"
    return {(command, name): answer for (command, name, _), answer in zip(asked, told, strict=True)}


def test_every_hurtful_document_is_refused_in_plain_words(answers):
    wrong = {
        asked: (status, faults[:300])
        for asked, (status, faults, _) in answers.items()
        if status != 2 or not faults.strip() or "Traceback" in faults or len(faults) > 15_000
    }
    assert wrong == {}


def test_no_refusal_takes_long(answers):
    slow = {asked: cpu_s for asked, (_, _, cpu_s) in answers.items() if cpu_s > MOST_EACH_S}
    assert slow == {}


def test_a_stream_without_end_is_read_no_further_than_a_document_may_be():
    """100 MB and more on standard input: what is beyond the largest document is never read."""
    began = time.monotonic()
    endless = subprocess.Popen(["/usr/bin/yes", "[1,2,3]"], stdout=subprocess.PIPE)
    done = subprocess.run(
        [sys.executable, "manage.py", "cut_boards", "-"], stdin=endless.stdout, cwd=ROOT,
        capture_output=True, text=True, check=False, preexec_fn=limited, timeout=60,
    )  # fmt: skip
    endless.kill()
    endless.wait()
    assert done.returncode == 2
    assert done.stderr == "document: expected at most 16 MB\n"
    assert time.monotonic() - began < 60
