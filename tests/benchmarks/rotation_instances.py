"""Gardens of five sizes for the rotation engine, made by a seed.

The shapes are chosen, not measured: runs of 28 to 35 days with 10 to 30 birds, nitrogen per pen-day
about doubling over a run, spots that take 1 to 4 days of late birds or 3 to 7 of young ones, one or
two windows a spot and a rest of 20 to 40 days. `rotation_shapes` says how such a garden may be made harder.
"""

from dataclasses import dataclass
from random import Random
from statistics import mean
from typing import Any

from tests.benchmarks.rotation_shapes import SHAPES


@dataclass(frozen=True, slots=True)
class Size:
    """How large a garden to make."""

    spots: int
    pens: int
    days: int
    runs: int


SIZES = {
    "S": Size(spots=12, pens=1, days=60, runs=1),
    "M1": Size(spots=40, pens=1, days=180, runs=3),
    "M2": Size(spots=60, pens=2, days=180, runs=6),
    "L": Size(spots=200, pens=6, days=200, runs=18),
    "XL": Size(spots=1000, pens=20, days=365, runs=100),
}

FIRST_NITROGEN_G_A_BIRD = (1.2, 1.6)
"""What a bird drops on its first day outdoors [g]: common practice, no source; the design's 3 g
a day of a finishing bird is about twice it."""


def problem_document(size: Size, seed: int, shape: str = "plain") -> dict[str, Any]:
    """Return a ``rotation-problem/1`` document; the same seed gives the same garden.

    A `shape` other than ``plain`` is one of `rotation_shapes.SHAPES` and changes that garden.
    """
    document = _plain_document(size, seed)
    SHAPES[shape](document, Random(f"{shape}/{seed}"))
    return document


def _plain_document(size: Size, seed: int) -> dict[str, Any]:
    random = Random(seed)
    runs = [run for pen in range(size.pens) for run in _runs_of_pen(random, size, pen)]
    late_g = mean(max(run["nitrogen_g"]) for run in runs)
    spots = [_spot(random, size, number, late_g) for number in range(size.spots)]
    for run in runs:
        run["spots"] = [spot["id"] for spot in spots]
    return {
        "format": "rotation-problem/1",
        "days": size.days,
        "rules": {"min_stay_days": 1, "max_stay_days": 7, "rest_days": random.randint(20, 40)},
        "costs": {
            "move": 10.0,
            "carry_per_metre": 0.2,
            "off_bed_day": 200.0,
            "wanted_nitrogen_per_gram": 0.05,
        },
        "spots": spots,
        "runs": runs,
    }


def _runs_of_pen(random: Random, size: Size, pen: int) -> list[dict[str, Any]]:
    count = size.runs // size.pens
    share = size.days // count
    runs = []
    for batch in range(count):
        days = random.randint(28, 35)
        birds = random.randint(10, 30)
        first_day = batch * share + random.randint(0, max(share - days - 1, 0))
        each_g = random.uniform(*FIRST_NITROGEN_G_A_BIRD)
        nitrogen_g = [round(birds * each_g * (1 + day / (days - 1)), 2) for day in range(days)]
        runs.append(
            {
                "id": f"batch-{batch + 1}/pen-{pen + 1}",
                "first_day": first_day,
                "nitrogen_g": nitrogen_g,
                "starts_on": None,
            }
        )
    return runs


def _spot(random: Random, size: Size, number: int, late_g: float) -> dict[str, Any]:
    room_g = late_g * random.uniform(1.0, 4.0)
    return {
        "id": f"bed-{number + 1}",
        "x_m": round(3.0 * (number % 10) + random.uniform(-0.5, 0.5), 2),
        "y_m": round(4.0 * (number // 10) + random.uniform(-0.5, 0.5), 2),
        "nitrogen_room_g": round(room_g * random.uniform(1.0, 1.6), 1),
        "windows": _windows(random, size.days, room_g),
    }


def _windows(random: Random, days: int, room_g: float) -> list[dict[str, Any]]:
    if random.random() < 0.5:
        first_day = random.randint(0, days // 3)
        spans = [(first_day, random.randint(days * 2 // 3, days))]
    else:
        crop_from = random.randint(10, days // 2)
        crop_to = random.randint(days // 2 + 1, days - 10)
        spans = [(0, crop_from), (crop_to, days)]
    return [
        {
            "first_day": first_day,
            "end_day": end_day,
            "nitrogen_room_g": round(room_g, 1),
            "nitrogen_wanted_g": round(room_g * random.uniform(0.4, 0.9), 1),
        }
        for first_day, end_day in spans
    ]
