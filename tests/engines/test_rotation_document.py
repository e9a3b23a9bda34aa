"""The rotation documents: every fault named by its field, and the command around them."""

import json
import random
import subprocess
import sys
from hashlib import sha256
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from garden.documents import DocumentError
from rotation.engine.document import MAX_DAYS, read_problem, write_solution
from rotation.engine.problem import Span
from rotation.engine.search import solve
from tests.benchmarks.rotation_instances import SIZES, problem_document
from tests.benchmarks.rotation_shapes import SHAPES
from tests.engines.rotation_cases import document, problem

DIGESTS = ["a62e1370b0c146eb", "b86a0a3e3620349e", "ebfe74a3e8c67b41", "ea32c71e59304ce7"]
"""Of the plain gardens of seed 0."""

SPAN = {"spot": "bed-1", "first_day": 2, "end_day": 5}


def read(changed):
    return read_problem(json.dumps(changed))


def changed(path, value):
    """Return the document with one field set; a path is its keys and indexes."""
    whole = part = document()
    for key in path[:-1]:
        part = part[key]
    part[path[-1]] = value
    return whole


def test_a_good_document_becomes_the_problem_it_says():
    asked = document()
    asked["runs"][0]["id"] = "pen-1"
    assert read(asked) == problem()


def test_optional_fields_are_read():
    asked = changed(("runs", 0, "pinned"), [SPAN])
    asked["runs"][0] |= {"starts_on": "bed-1", "stood_days": 1, "announced": [SPAN]}
    asked["costs"]["changed_day"] = 3
    asked["rules"]["max_stay_days"] = 5
    run = read(asked).runs[0]
    assert (run.starts_on, run.stood_days) == ("bed-1", 1)
    assert run.pinned == run.announced == (Span("bed-1", 2, 5),)
    assert read(asked).costs.changed_day == 3.0


FAULTS = [
    (("format",), "rotation-problem/2", "format: expected 'rotation-problem/1'"),
    (("days",), 0, "days: expected a number >= 1"),
    (("days",), 1_000_000, f"days: expected a number <= {MAX_DAYS}"),
    (("days",), 20.5, "days: expected a whole number"),
    (("days",), "20", "days: expected a whole number"),
    (("extra",), 1, "extra: is not a field of this document"),
    (("rules", "min_stay_days"), 0, "rules.min_stay_days: expected a number >= 1"),
    (("rules", "max_stay_days"), 1, "rules.max_stay_days: expected at least rules.min_stay_days"),
    (("rules", "rest_days"), -1, "rules.rest_days: expected a number >= 0"),
    (("costs", "move"), -1.0, "costs.move: expected a number >= 0"),
    (("costs", "move"), True, "costs.move: expected a number"),
    (("costs", "moves"), 1.0, "costs.moves: is not a field of this document"),
    (("spots",), {}, "spots: expected a list"),
    (("spots", 0, "nitrogen_room_g"), -1, "spots[0].nitrogen_room_g: expected a number >= 0"),
    (("spots", 1, "id"), "bed-1", "spots[1].id: expected an id used once"),
    (("spots", 1, "id"), "", "spots[1].id: expected at least 1 characters"),
    (("spots", 0, "x_m"), None, "spots[0].x_m: expected a number"),
    (
        ("spots", 0, "windows", 0, "end_day"),
        0,
        "spots[0].windows[0].end_day: expected a day after first_day",
    ),
    (
        ("spots", 0, "windows", 1, "end_day"),
        21,
        "spots[0].windows[1].end_day: expected at most days, 20",
    ),
    (
        ("spots", 0, "windows", 1, "first_day"),
        9,
        "spots[0].windows[1].first_day: expected windows in order that do not overlap",
    ),
    (
        ("spots", 0, "windows", 0, "nitrogen_room_g"),
        -0.5,
        "spots[0].windows[0].nitrogen_room_g: expected a number >= 0",
    ),
    (("runs", 0, "first_day"), 15, "runs[0].nitrogen_g: expected the run to end by days, 20"),
    (("runs", 0, "first_day"), -1, "runs[0].first_day: expected a number >= 0"),
    (("runs", 0, "nitrogen_g"), [], "runs[0].nitrogen_g: expected at least 1 entries"),
    (("runs", 0, "nitrogen_g"), [1, -2], "runs[0].nitrogen_g[1]: expected a number >= 0"),
    (("runs", 0, "nitrogen_g"), [1, "2"], "runs[0].nitrogen_g[1]: expected a number"),
    (("runs", 0, "spots"), ["bed-9"], "runs[0].spots[0]: expected the id of a spot, got 'bed-9'"),
    (("runs", 0, "spots"), ["bed-1"] * 2, "runs[0].spots[1]: expected each spot once"),
    (("runs", 0, "starts_on"), "bed-9", "runs[0].starts_on: expected the id of a spot"),
    (("runs", 0, "stood_days"), 1, "runs[0].stood_days: expected 0 where starts_on is null"),
    (
        ("runs", 0, "announced"),
        [SPAN | {"spot": "bed-9"}],
        "runs[0].announced[0].spot: expected the id of a spot",
    ),
    (
        ("runs", 0, "announced"),
        [SPAN, SPAN | {"first_day": 4, "end_day": 6}],
        "runs[0].announced[1].first_day: expected spans that do not overlap",
    ),
    (
        ("runs", 0, "pinned"),
        [SPAN | {"end_day": 2}],
        "runs[0].pinned[0].end_day: expected a day after first_day",
    ),
    (
        ("runs", 0, "pinned"),
        [SPAN | {"end_day": 9}],
        "runs[0].pinned[0]: expected days of the run, 2 to 8",
    ),
    (
        ("runs", 0, "pinned"),
        [SPAN, SPAN | {"spot": "bed-9", "first_day": 5, "end_day": 7}],
        "runs[0].pinned[1].spot: expected the id of a spot, got 'bed-9'",
    ),
    (
        ("runs", 0, "pinned"),
        [SPAN, SPAN],
        "runs[0].pinned[1].first_day: expected spans that do not overlap",
    ),
    (("runs", 0, "pinned"), SPAN, "runs[0].pinned: expected a list"),
    (("runs", 0, "pinned"), None, "runs[0].pinned: expected a list"),
    (("runs", 0, "pinned"), ["bed-1"], "runs[0].pinned[0]: expected an object"),
    (
        ("runs", 0, "pinned"),
        [{"spot": "bed-1", "first_day": 2}],
        "runs[0].pinned[0].end_day: is missing",
    ),
    (
        ("runs", 0, "pinned"),
        [SPAN | {"run": "spring/pen-1"}],
        "runs[0].pinned[0].run: is not a field of this document",
    ),
    (
        ("runs", 0, "announced"),
        [SPAN | {"first_day": 1.5}],
        "runs[0].announced[0].first_day: expected a whole number",
    ),
    (
        ("runs", 0, "announced"),
        [SPAN | {"first_day": -1}],
        "runs[0].announced[0].first_day: expected a number >= 0",
    ),
    (
        ("runs", 0, "announced"),
        [SPAN | {"first_day": 1}],
        "runs[0].announced[0]: expected days of the run, 2 to 8",
    ),
    (
        ("runs", 0, "announced"),
        [SPAN | {"first_day": 5}],
        "runs[0].announced[0].end_day: expected a day after first_day",
    ),
    (("costs", "changed_day"), -0.1, "costs.changed_day: expected a number >= 0"),
    (("costs", "changed_day"), "3", "costs.changed_day: expected a number"),
    (("costs", "changed_day"), None, "costs.changed_day: expected a number"),
    (("runs", 0, "stood_days"), -1, "runs[0].stood_days: expected a number >= 0"),
    (("runs", 0, "stood_days"), 1.5, "runs[0].stood_days: expected a whole number"),
    (("runs", 0, "stood_days"), True, "runs[0].stood_days: expected a whole number"),
    (("runs", 0, "starts_on"), "", "runs[0].starts_on: expected at least 1 characters"),
]


@pytest.mark.parametrize(("path", "value", "fault"), FAULTS)
def test_a_fault_names_its_field(path, value, fault):
    with pytest.raises(DocumentError) as error:
        read(changed(path, value))
    assert any(line.startswith(fault) for line in error.value.told()), error.value.told()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"end_day": 3}, "shorter than 2 days"),
        ({"end_day": 7}, "longer than 4 days"),
        ({"first_day": 6, "end_day": 8, "spot": "bed-2"}, None),
    ],
)
def test_a_pin_that_breaks_a_rule_is_told_with_the_rule(changes, words):
    asked = changed(("runs", 0, "pinned"), [SPAN | changes])
    if words is None:
        assert read(asked).runs[0].pinned
        return
    with pytest.raises(DocumentError, match=rf"runs\[0\]\.pinned\[0\]: .*{words}"):
        read(asked)


def test_pins_that_crowd_one_another_are_told():
    asked = document()
    asked["runs"].append(asked["runs"][0] | {"id": "spring/pen-2"})
    asked["runs"][0]["pinned"] = [SPAN]
    asked["runs"][1]["pinned"] = [SPAN | {"first_day": 6, "end_day": 8}]
    with pytest.raises(DocumentError, match="less than 5 days of rest"):
        read(asked)


def test_a_pin_heavier_than_the_room_is_told():
    asked = changed(("runs", 0, "pinned"), [SPAN])
    asked["runs"][0]["nitrogen_g"] = [30.0] * 6
    with pytest.raises(DocumentError, match="passes the 60 g of its window"):
        read(asked)


def test_a_pin_on_a_spot_that_the_run_may_not_use_is_told():
    asked = changed(("runs", 0, "pinned"), [SPAN])
    asked["runs"][0]["spots"] = ["bed-2"]
    with pytest.raises(DocumentError, match=r"pinned\[0\]: .*the run may not use this spot"):
        read(asked)


def test_a_pin_across_two_windows_is_told():
    asked = changed(("runs", 0, "pinned"), [SPAN | {"first_day": 9, "end_day": 13}])
    asked["runs"][0]["first_day"] = 8
    with pytest.raises(DocumentError, match=r"pinned\[0\]: .*not within one window of the spot"):
        read(asked)


@pytest.mark.parametrize(("stood_days", "fault"), [(1, None), (2, "longer than 4 days")])
def test_days_already_stood_count_towards_a_pin_on_the_first_day(stood_days, fault):
    asked = changed(("runs", 0, "pinned"), [SPAN])
    asked["runs"][0] |= {"starts_on": "bed-1", "stood_days": stood_days}
    if fault is None:
        assert read(asked).runs[0].pinned == (Span("bed-1", 2, 5),)
        return
    with pytest.raises(DocumentError, match=fault):
        read(asked)


def test_every_fault_of_a_lived_plan_is_told_at_once(tmp_path):
    asked = document()
    asked["runs"][0] |= {
        "stood_days": 2,
        "pinned": [SPAN | {"spot": "bed-9"}],
        "announced": [SPAN | {"end_day": 20}],
    }
    path, error = tmp_path / "problem.json", StringIO()
    path.write_text(json.dumps(asked))
    with pytest.raises(SystemExit) as stopped:
        call_command("solve_rotation", str(path), stderr=error)
    assert stopped.value.code == 2
    assert error.getvalue().splitlines() == [
        "runs[0].stood_days: expected 0 where starts_on is null",
        "runs[0].pinned[0].spot: expected the id of a spot, got 'bed-9'",
        "runs[0].announced[0]: expected days of the run, 2 to 8",
    ]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("size", ["S", "M2"])
def test_every_made_garden_is_a_good_document(size, shape):
    for seed in range(3):
        asked = problem_document(SIZES[size], seed, shape)
        made = read(asked)
        assert (len(made.spots), len(made.runs)) == (SIZES[size].spots, SIZES[size].runs)
        assert asked == problem_document(SIZES[size], seed, shape)
        assert (asked == problem_document(SIZES[size], seed)) is (shape == "plain")


def test_made_gardens_stay_what_they_were_when_their_figures_were_written_down():
    made = [problem_document(SIZES[size], 0) for size in ("S", "M1", "M2", "L")]
    digests = [sha256(json.dumps(each).encode()).hexdigest()[:16] for each in made]
    assert digests == DIGESTS


def test_a_problem_too_large_to_search_is_refused_plainly():
    asked = document()
    asked["days"], asked["rules"]["max_stay_days"] = MAX_DAYS, MAX_DAYS
    asked["spots"] = [asked["spots"][0] | {"id": f"bed-{number}"} for number in range(100)]
    spots = [spot["id"] for spot in asked["spots"]]
    asked["runs"][0] |= {"nitrogen_g": [0.0] * 3600, "spots": spots}
    with pytest.raises(DocumentError, match="possible stays in all, got 1296000000"):
        read(asked)


def test_the_answer_is_written_as_the_format_says():
    asked = read(changed(("runs", 0, "announced"), [SPAN]))
    answer = json.loads(json.dumps(write_solution(asked, solve(asked, rounds=20))))
    assert set(answer) == {
        *("format", "status", "cost", "lower_bound", "gap", "cost_items", "seconds", "seed"),
        *("stays", "off_bed"),
    }
    assert set(answer["cost_items"]) == {"moves", "carry", "off_bed", "wanted_nitrogen", "changed"}
    assert set(answer["stays"][0]) == {"run", "spot", "first_day", "end_day", "nitrogen_g"}
    silent = read(document())
    items = write_solution(silent, solve(silent, rounds=20))["cost_items"]
    assert "changed" not in items


def test_the_command_answers_with_one_document(tmp_path):
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(document()))
    out = StringIO()
    call_command("solve_rotation", str(path), "--rounds", "30", "--seed", "7", stdout=out)
    answer = json.loads(out.getvalue())
    assert answer["format"] == "rotation-solution/1"
    assert answer["status"] == "optimal"
    assert answer["seed"] == 7


def test_nothing_but_the_document_reaches_standard_output(tmp_path):
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(document()))
    command = [sys.executable, "manage.py", "solve_rotation", str(path), "--seconds", "0.3"]
    done = subprocess.run(command, capture_output=True, check=True, timeout=60)
    assert json.loads(done.stdout)["format"] == "rotation-solution/1"
    assert done.stderr == b""


def noise():
    return random.Random(1).randbytes(5_000_000)


@pytest.mark.parametrize(
    "raw",
    [
        noise(),
        b"",
        b"[]",
        b"null",
        json.dumps(document()).encode()[:-40],
        json.dumps(document()).encode()[:200],
        json.dumps(changed(("costs", "move"), float("nan"))).encode(),
        b"[" * 100_000,
    ],
    ids=["noise", "empty", "list", "null", "cut late", "cut early", "nan", "deep"],
)
def test_what_is_no_document_ends_with_status_2_and_lines(raw, tmp_path):
    path = tmp_path / "problem.json"
    path.write_bytes(raw)
    error = StringIO()
    with pytest.raises(SystemExit) as stopped:
        call_command("solve_rotation", str(path), stderr=error)
    assert stopped.value.code == 2
    lines = error.getvalue().splitlines()
    assert lines
    assert all(": " in line for line in lines)


@pytest.mark.parametrize(
    "option", [("--seconds", "0"), ("--seconds", "nan"), ("--rounds", "-1"), ("--seed", "x")]
)
def test_an_option_out_of_range_is_refused(option, tmp_path):
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(document()))
    with pytest.raises(CommandError, match="expected"):
        call_command("solve_rotation", str(path), *option)
