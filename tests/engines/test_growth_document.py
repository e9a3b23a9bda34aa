"""The headless form of a forecast: what is read, what is refused and what is answered."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from flocks.growth_document import answer_growth_document
from garden.documents import DocumentError

QUESTION: dict[str, Any] = {
    "format": "growth-forecast/1",
    "strain": {
        "hatch_g": 42,
        "mature_g": {"median": 5600, "cv": 0.10},
        "rate_per_day": {"median": 0.042, "cv": 0.06},
        "inflection_day": {"median": 36.5, "cv": 0.05},
        "bird_cv": 0.11,
        "feed_at_weight": [
            [42, 0],
            [170, 150],
            [435, 470],
            [820, 1075],
            [1330, 1920],
            [2500, 4260],
            [3600, 7100],
        ],
    },
    "diet": [{"from_day": 0, "crude_protein": 0.23}, {"from_day": 21, "crude_protein": 0.20}],
    "weighings": [
        {"age_days": 21, "count": 8, "mean_g": 790},
        {"age_days": 28, "weights_g": [1310, 1190, 1420]},
    ],
    "feed_records": [{"from_day": 0, "to_day": 21, "feed_per_bird_g": 1100}],
    "ages": [35, 42, 49, 56],
    "target_g": 2700,
    "level": 0.8,
}


def answer(**changes: Any) -> dict[str, Any]:
    return answer_growth_document(json.dumps(QUESTION | changes))


def faults(**changes: Any) -> list[str]:
    with pytest.raises(DocumentError) as refused:
        answer(**changes)
    return list(refused.value.faults)


def test_the_answer_has_the_promised_shape() -> None:
    told = answer()

    assert list(told) == ["format", "ages", "target_age_days", "parameters", "warnings"]
    assert told["format"] == "growth-forecast-result/1"
    assert [row["age_days"] for row in told["ages"]] == [35, 42, 49, 56]
    assert list(told["ages"][0]) == [
        "age_days",
        "flock_mean_g",
        "bird_g",
        "feed_per_bird_g",
        "nitrogen_excreted_per_bird_g",
    ]
    assert told["ages"][0]["flock_mean_g"]["median"] == pytest.approx(1890, rel=0.02)
    assert 40 < told["target_age_days"]["low"] < 44.6 < told["target_age_days"]["high"] < 51
    assert list(told["parameters"]) == ["mature_g", "rate_per_day", "inflection_day"]


def test_ages_keep_their_order_and_a_missing_target_is_null() -> None:
    told = answer(ages=[56, 35], target_g=None)

    assert [row["age_days"] for row in told["ages"]] == [56, 35]
    assert told["target_age_days"] is None


def test_only_strain_and_ages_are_needed() -> None:
    asked = {"format": "growth-forecast/1", "strain": "slow", "ages": [70]}

    told = answer_growth_document(json.dumps(asked))
    assert told["ages"][0]["flock_mean_g"]["low"] < told["ages"][0]["flock_mean_g"]["high"]


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"format": "growth-forecast/2"}, "format: expected 'growth-forecast/1'"),
        ({"zz": 1}, "zz: is not a field of this document"),
        ({"ages": []}, "ages: expected at least 1 entries"),
        ({"ages": [35, "a"]}, "ages[1]: expected a number"),
        ({"ages": [151]}, "ages[0]: expected a number <= 150"),
        ({"level": 0.4}, "level: expected a number >= 0.5"),
        ({"level": 1}, "level: expected a number <= 0.99"),
        ({"target_g": 0}, "target_g: expected a number > 0"),
        ({"strain": 3}, "strain: expected an object"),
        (
            {"diet": [{"from_day": 1, "crude_protein": 0.2}]},
            "diet: expected from_day to start at 0",
        ),
        (
            {"diet": [{"from_day": 0, "crude_protein": 20}]},
            "diet[0].crude_protein: expected a number",
        ),
        (
            {"feed_records": [{"from_day": 9, "to_day": 9, "feed_per_bird_g": 5}]},
            "feed_records[0]: expected to_day after from_day",
        ),
        (
            {"feed_records": [{"from_day": 0, "to_day": 9, "feed_per_bird_g": 0}]},
            "feed_records[0].feed_per_bird_g: expected a number > 0",
        ),
    ],
)
def test_each_fault_is_named(changes: dict[str, Any], fault: str) -> None:
    assert faults(**changes)[0].startswith(fault)


@pytest.mark.parametrize(
    ("weighing", "fault"),
    [
        (
            {"count": 8, "mean_g": 0},
            "weighings[0].mean_g: expected the weight of a chicken in grams",
        ),
        ({"count": 8, "mean_g": 50_000}, "weighings[0].mean_g: expected the weight of a chicken"),
        ({"weights_g": [800, 0]}, "weighings[0].weights_g[1]: expected the weight of a chicken"),
        ({"count": 0, "mean_g": 800}, "weighings[0].count: expected a number >= 1"),
        ({"count": 2.5, "mean_g": 800}, "weighings[0].count: expected a whole number"),
        ({"mean_g": 800}, "weighings[0]: expected count and mean_g together, or weights_g"),
        ({"count": 8}, "weighings[0]: expected count and mean_g together, or weights_g"),
        ({}, "weighings[0]: expected count and mean_g together, or weights_g"),
        ({"count": 1, "weights_g": [800]}, "weighings[0]: expected either count and mean_g"),
        ({"weights_g": []}, "weighings[0].weights_g: expected at least 1 entries"),
    ],
)
def test_weighings_that_cannot_be_are_refused(weighing: dict[str, Any], fault: str) -> None:
    assert faults(weighings=[{"age_days": 21} | weighing])[0].startswith(fault)


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"hatch_g": -1}, "strain.hatch_g: expected a number >= 10"),
        ({"mature_g": {"median": 5600, "cv": 0}}, "strain.mature_g.cv: expected a number > 0"),
        ({"mature_g": {"median": 20, "cv": 0.1}}, "strain.mature_g: expected a median of at least"),
        (
            {"rate_per_day": {"median": 4, "cv": 0.1}},
            "strain.rate_per_day: expected a median between",
        ),
        ({"inflection_day": {"median": 1, "cv": 0.1}}, "strain.inflection_day: expected a median"),
        (
            {"feed_at_weight": [[42, 0], [40, 9]]},
            "strain.feed_at_weight: expected weight and feed to",
        ),
        (
            {"feed_at_weight": [[42, 0], [90]]},
            "strain.feed_at_weight[1]: expected at least 2 entries",
        ),
        ({"bird_cv": True}, "strain.bird_cv: expected a number"),
    ],
)
def test_strains_that_cannot_be_are_refused(changes: dict[str, Any], fault: str) -> None:
    assert faults(strain=QUESTION["strain"] | changes)[0].startswith(fault)


def test_an_unknown_strain_is_answered_with_the_known_ones() -> None:
    assert faults(strain="turbo") == [
        "strain: expected an object or one of fast, fast-male, fast-female, fast-recent, "
        "older-standard, ranger, label, slow, unknown, any"
    ]


def test_several_faults_are_told_at_once() -> None:
    assert len(faults(ages=[], level=2, format="x")) == 3


def test_the_command_answers_a_file(tmp_path: Path) -> None:
    question = tmp_path / "flock.json"
    question.write_text(json.dumps(QUESTION))
    told = StringIO()

    call_command("forecast_growth", str(question), stdout=told)

    assert json.loads(told.getvalue()) == answer()


def test_the_command_names_faults_and_exits_with_2(tmp_path: Path) -> None:
    question = tmp_path / "flock.json"
    question.write_text(json.dumps(QUESTION | {"level": 7}))
    told = StringIO()

    with pytest.raises(SystemExit) as ended:
        call_command("forecast_growth", str(question), stderr=told)

    assert ended.value.code == 2
    assert told.getvalue().strip() == "level: expected a number <= 0.99"


def test_the_command_lists_strains_that_it_would_read_back() -> None:
    told = StringIO()

    call_command("forecast_growth", "--strains", stdout=told)

    listed = json.loads(told.getvalue())["strains"]
    assert {"fast", "slow", "ranger", "label", "unknown"} <= set(listed)
    shown = {name: listed["fast"][name] for name in QUESTION["strain"]}
    own, named = answer(strain=shown), answer(strain="fast")
    assert own == named


def test_the_command_without_a_document_says_what_it_wants() -> None:
    with pytest.raises(CommandError, match="--strains"):
        call_command("forecast_growth")
