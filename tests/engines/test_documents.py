"""The reader of JSON documents, and the commands that answer them, under documents nobody means."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from garden.documents import Document, DocumentError, read_document

ROOT = Path(__file__).parent.parent.parent
QUICK_S = 5.0
"""Even 5 MB of noise is answered within this time; a reader whose work grows with the square is not."""


class Small(Document):
    """A document with one field."""

    count: int


def faults_of(raw: bytes | str) -> tuple[str, ...]:
    """Return the faults of what is no `Small`, found within the time allowed."""
    began = time.monotonic()
    with pytest.raises(DocumentError) as refused:
        read_document(raw, Small)
    assert time.monotonic() - began < QUICK_S
    return refused.value.faults


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "document: expected JSON"),
        (b'{"count": 1', "document: expected JSON"),
        (b"\xff\xfe", "document: expected UTF-8"),
        (b"[" * 5_000_000, "document: expected less deeply nested JSON"),
        (b'{"a":' * 1_000_000, "document: expected less deeply nested JSON"),
        (b'{"count": NaN}', "document: expected finite numbers"),
        (b'{"count": ' + b"9" * 5_000 + b"}", "document: expected numbers of a sensible length"),
        (b'{"count": 1, "count": 2}', "count: expected once in its object"),
        (b'{"count": "1"}', "count: expected a whole number"),
        (b'{"count": true}', "count: expected a whole number"),
        (b"[1]", "document: expected an object, got a list"),
    ],
    ids=range(11),
)
def test_a_fault_is_named(raw, said):
    assert faults_of(raw)[0].startswith(said)


def test_a_field_given_twice_is_found_among_many():
    many = ",".join(f'"f{number}": 1' for number in range(200_000))
    assert faults_of(f'{{{many}, "twice": 1, "twice": 2}}') == (
        "twice: expected once in its object, got it twice",
    )


def test_of_very_many_faults_the_first_are_told_and_the_rest_counted():
    with pytest.raises(DocumentError) as refused:
        read_document(json.dumps({f"f{number}": 1 for number in range(100_000)}), Small)
    assert len(refused.value.told()) == 51
    assert refused.value.told()[-1] == "document: and 99950 more faults"


BOARDS = {
    "format": "cutting-problem/1", "kerf_mm": 3, "trim_mm": 0,
    "stock": [{"profile": "2x3", "length_mm": 2438, "price": 4.1}],
    "pieces": [{"profile": "2x3", "length_mm": 1124, "count": 4, "name": "end rail"}],
}  # fmt: skip
FLOCK = {"format": "growth-forecast/1", "strain": "fast", "ages": [35], "target_g": 2700}
GARDEN = {
    "format": "rotation-problem/1", "days": 9,
    "rules": {"min_stay_days": 1, "max_stay_days": 7, "rest_days": 30},
    "costs": {"move": 10.0, "carry_per_metre": 0.2, "off_bed_day": 200.0,
              "wanted_nitrogen_per_gram": 0.05},
    "spots": [{"id": "bed", "x_m": 0.0, "y_m": 0.0, "nitrogen_room_g": 300.0,
               "windows": [{"first_day": 0, "end_day": 9, "nitrogen_room_g": 130.0,
                            "nitrogen_wanted_g": 90.0}]}],
    "runs": [{"id": "run", "first_day": 3, "nitrogen_g": [18.2, 19.0], "spots": ["bed"],
              "starts_on": None}],
}  # fmt: skip


@pytest.mark.parametrize(
    ("command", "document", "field"),
    [
        ("cut_boards", BOARDS, "pieces[0].count"),
        ("forecast_growth", FLOCK, "ages[0]"),
        ("solve_rotation", GARDEN, "runs[0].nitrogen_g[1]"),
    ],
)
def test_a_command_answers_with_one_document_or_with_faults_and_status_2(
    command, document, field, tmp_path
):
    good = _run(command, json.dumps(document), tmp_path)
    assert good.returncode == 0, good.stderr
    assert json.loads(good.stdout)["format"]
    spoilt = json.loads(json.dumps(document))
    _spoil(spoilt, field)
    bad = _run(command, json.dumps(spoilt), tmp_path)
    assert (bad.returncode, bad.stdout) == (2, "")
    assert bad.stderr.startswith(f"{field}: expected")
    assert "Traceback" not in bad.stderr


def _spoil(document: dict, field: str) -> None:
    """Put text where a number belongs, by the field's name as a fault tells it."""
    *way, last = field.replace("[", ".").replace("]", "").split(".")
    for step in way:
        document = document[int(step) if step.isdigit() else step]
    document[int(last) if last.isdigit() else last] = "many"


def _run(command: str, raw: str, folder: Path) -> subprocess.CompletedProcess[str]:
    environment = {"PATH": os.environ["PATH"], "VAR_DIR": str(folder)}
    return subprocess.run(
        [sys.executable, "manage.py", command, "-"],
        cwd=ROOT, env=environment, input=raw, capture_output=True, text=True, check=False,
    )  # fmt: skip
