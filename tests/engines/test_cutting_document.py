"""``cut_boards`` from the outside: one document in, one document or its faults out."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from garden.documents import DocumentError
from pens.cutting.document import MOST_PIECES, answer
from pens.cutting.problem import NotEnoughStockError

ROOT = Path(__file__).resolve().parents[2]

RAILS = {
    "format": "cutting-problem/1",
    "kerf_mm": 3,
    "trim_mm": 0,
    "stock": [
        {"profile": "2x3", "length_mm": 2438, "price": 4.1},
        {"profile": "2x3", "length_mm": 3658, "price": 6.6},
    ],
    "pieces": [{"profile": "2x3", "length_mm": 1124, "count": 3, "name": "end rail"}],
}


def asked(**changes) -> dict:
    return json.loads(json.dumps(RAILS)) | changes


def stock(**changes) -> list[dict]:
    return [RAILS["stock"][0] | changes]


def pieces(**changes) -> list[dict]:
    return [RAILS["pieces"][0] | changes]


def faults_of(document: dict) -> list[str]:
    with pytest.raises(DocumentError) as caught:
        answer(json.dumps(document), 5.0)
    return list(caught.value.faults)


def test_three_rails_come_out_of_one_long_board():
    told = answer(json.dumps(RAILS), 5.0)
    assert told.pop("seconds") < 5
    assert told == {
        "format": "cutting-solution/1",
        "status": "optimal",
        "cost": 6.6,
        "lower_bound": 6.6,
        "gap": 0.0,
        "boards": [
            {
                "profile": "2x3",
                "length_mm": 3658,
                "count": 1,
                "offcut_mm": 277,  # 3658 − 3 × 1124 − 3 cuts of 3 mm
                "cuts": [{"name": "end rail", "length_mm": 1124}] * 3,
            }
        ],
    }


def test_lengths_may_have_two_decimals_and_keep_them():
    told = answer(json.dumps(asked(pieces=pieces(length_mm=1123.95, count=1))), 5.0)
    (board,) = told["boards"]
    assert board["cuts"] == [{"name": "end rail", "length_mm": 1123.95}]
    assert board["offcut_mm"] == 1311.05


@pytest.mark.parametrize(
    ("document", "fault"),
    [
        (asked(pieces=pieces(length_mm=1123.955)),
         "pieces[0].length_mm: expected millimetres with at most two decimals"),
        (asked(pieces=pieces(length_mm=4000)),
         'pieces[0] "end rail": longer than any stock of its profile, '
         "3658 mm can be cut from the longest"),
        (asked(trim_mm=10, pieces=pieces(length_mm=3650)),
         'pieces[0] "end rail": longer than any stock of its profile, '
         "3648 mm can be cut from the longest"),
        (asked(trim_mm=5000),
         'pieces[0] "end rail": longer than any stock of its profile, '
         "0 mm can be cut from the longest"),
        (asked(pieces=pieces(profile="4x4", name="a\nb")),
         'pieces[0] "a\\nb": no stock of profile "4x4"'),
        (asked(stock=[]), 'pieces[0] "end rail": no stock of profile "2x3"'),
        (asked(stock=stock(available=1)),
         'stock: not enough boards of profile "2x3" are available for the pieces'),
        (asked(stock=stock(price=-1)), "stock[0].price: expected a number >= 0"),
        (asked(stock=stock(price="4")), "stock[0].price: expected a number"),
        (asked(stock=stock(available=1.5)), "stock[0].available: expected a whole number"),
        (asked(stock=stock(colour="red")), "stock[0].colour: is not a field of this document"),
        (asked(kerf_mm=-1), "kerf_mm: expected a number >= 0"),
        (asked(kerf_mm=True), "kerf_mm: expected a number"),
        (asked(pieces=pieces(count=0)), "pieces[0].count: expected a number >= 1"),
        (asked(pieces=pieces(name="")), "pieces[0].name: expected at least 1 characters"),
        (asked(pieces=pieces(length_mm=0)), "pieces[0].length_mm: expected a number > 0"),
        (asked(pieces=pieces(count=MOST_PIECES) * 2),
         f"pieces: expected at most {MOST_PIECES} pieces in all"),
        (asked(format="cutting-problem/2"), "format: expected 'cutting-problem/1'"),
    ],
)  # fmt: skip
def test_every_fault_names_its_field(document, fault):
    assert faults_of(document) == [fault]


def test_a_stock_without_a_price_is_a_fault():
    nameless = {"profile": "2x3", "length_mm": 2438}
    assert faults_of(asked(stock=[nameless])) == ["stock[0].price: is missing"]


def test_stock_that_no_plan_was_found_for_is_not_called_too_little(monkeypatch):
    def gives_up(*_):
        raise NotEnoughStockError("2x3", proven=False)

    monkeypatch.setattr("pens.cutting.document.cut_boards", gives_up)
    assert faults_of(asked()) == [
        'stock: no way found in 5 s to cut the pieces from the boards of profile "2x3" available'
    ]


def test_the_noise_of_floating_point_is_no_part_of_a_price():
    told = answer(json.dumps(asked(stock=stock(price=4.1000000000000005))), 5.0)
    assert told["cost"] == 8.2


def test_dear_boards_and_many_pieces_stay_within_whole_numbers():
    dear = stock(price=999_999.9999, available=9_000) + stock(length_mm=3658, price=0.0001)
    told = answer(json.dumps(asked(stock=dear, pieces=pieces(count=MOST_PIECES))), 5.0)
    assert (told["cost"], told["status"]) == (0.6667, "optimal")  # 6667 boards of three rails


def test_all_pieces_that_are_too_long_are_told_at_once():
    too_long = pieces(length_mm=4000) + pieces(length_mm=5000, name="ridge")
    assert [fault.split(":")[0] for fault in faults_of(asked(pieces=too_long))] == [
        'pieces[0] "end rail"',
        'pieces[1] "ridge"',
    ]


def run(document: str, *options: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "manage.py", "cut_boards", "-", *options]
    return subprocess.run(
        command, cwd=ROOT, input=document, capture_output=True, text=True, check=False, timeout=60
    )


def test_the_command_prints_the_answer_and_nothing_else():
    done = run(json.dumps(RAILS), "--seconds", "5")
    assert done.returncode == 0
    assert json.loads(done.stdout)["cost"] == 6.6


def test_the_command_ends_with_two_and_the_faults():
    done = run(json.dumps(asked(kerf_mm=-1)))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.strip() == "kerf_mm: expected a number >= 0"


def test_the_command_wants_some_time():
    assert run(json.dumps(RAILS), "--seconds", "0").returncode == 2
