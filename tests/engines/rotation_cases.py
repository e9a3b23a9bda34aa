"""Small rotation problems that the engine's tests start from and change one thing in."""

from copy import deepcopy
from typing import Any

from rotation.engine.problem import Costs, OffBed, Problem, Rules, Run, Spot, Stay, Window

DOCUMENT: dict[str, Any] = {
    "format": "rotation-problem/1",
    "days": 20,
    "rules": {"min_stay_days": 2, "max_stay_days": 4, "rest_days": 5},
    "costs": {
        "move": 10.0,
        "carry_per_metre": 0.5,
        "off_bed_day": 100.0,
        "wanted_nitrogen_per_gram": 0.1,
    },
    "spots": [
        {
            "id": "bed-1",
            "x_m": 0.0,
            "y_m": 0.0,
            "nitrogen_room_g": 100.0,
            "windows": [
                {"first_day": 0, "end_day": 10, "nitrogen_room_g": 60.0, "nitrogen_wanted_g": 20.0},
                {
                    "first_day": 12,
                    "end_day": 20,
                    "nitrogen_room_g": 60.0,
                    "nitrogen_wanted_g": 20.0,
                },
            ],
        },
        {
            "id": "bed-2",
            "x_m": 3.0,
            "y_m": 4.0,
            "nitrogen_room_g": 100.0,
            "windows": [
                {"first_day": 0, "end_day": 20, "nitrogen_room_g": 80.0, "nitrogen_wanted_g": 0.0}
            ],
        },
    ],
    "runs": [
        {
            "id": "spring/pen-1",
            "first_day": 2,
            "nitrogen_g": [10.0, 10.0, 10.0, 10.0, 10.0, 10.0],
            "spots": ["bed-1", "bed-2"],
            "starts_on": None,
        }
    ],
}


def document() -> dict[str, Any]:
    """Return a fresh copy of two beds and one run of six days."""
    return deepcopy(DOCUMENT)


def problem(*, runs: tuple[Run, ...] | None = None, rest_days: int = 5) -> Problem:
    """Return the same as values, with other runs or another rest."""
    first = Window(0, 10, nitrogen_room_g=60.0, nitrogen_wanted_g=20.0)
    second = Window(12, 20, nitrogen_room_g=60.0, nitrogen_wanted_g=20.0)
    return Problem(
        days=20,
        rules=Rules(min_stay_days=2, max_stay_days=4, rest_days=rest_days),
        costs=Costs(
            move=10.0, carry_per_metre=0.5, off_bed_day=100.0, wanted_nitrogen_per_gram=0.1
        ),
        spots=(
            Spot("bed-1", 0.0, 0.0, 100.0, (first, second)),
            Spot("bed-2", 3.0, 4.0, 100.0, (Window(0, 20, 80.0, 0.0),)),
        ),
        runs=(run(),) if runs is None else runs,
    )


def run(**changes: Any) -> Run:
    """Return a run of six days from day 2 that drops 10 g a day, with changes."""
    fields = {
        "id": "pen-1",
        "first_day": 2,
        "nitrogen_g": (10.0,) * 6,
        "spots": ("bed-1", "bed-2"),
    }
    return Run(**(fields | changes))


def stay(spot: str, first_day: int, end_day: int, run_id: str = "pen-1") -> Stay:
    """Return a stay that drops 10 g a day."""
    return Stay(run_id, spot, first_day, end_day, 10.0 * (end_day - first_day))


def off_bed(first_day: int, end_day: int, run_id: str = "pen-1") -> OffBed:
    """Return off-bed days."""
    return OffBed(run_id, first_day, end_day)
