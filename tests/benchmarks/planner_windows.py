"""Print how long the planner's windows take in a garden of 200 beds with three years of stays.

Every bed has two places for a pen and grows three crops a year; a pen has stood on each place every six
weeks for three years, which is more than the planner reads (it looks back one). Run from the repository:
``python -m tests.benchmarks.planner_windows``.
"""

import os
from collections.abc import Callable
from datetime import date, timedelta
from time import process_time

import django

BEDS = 200
YEARS = 3
WEEKS_BETWEEN_STAYS = 6
HORIZON_DAYS = 180
TODAY = date(2026, 6, 12)
ROUNDS = 5


def main() -> None:
    """Make the beds, measure, and print one line for each measure."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "garden.settings")
    django.setup()
    windows_ms, windows = planner_windows()
    print(f"{BEDS} beds, {YEARS} years: {windows_ms:.0f} ms of processor for {windows} windows")


def planner_windows(rounds: int = ROUNDS) -> tuple[float, int]:
    """Return how long all of the planner's windows take at best [ms of processor], and how many they are."""
    from rotation.ground import Horizon, spot
    from rotation.stretches import on_bed

    garden, beds, stays, places = _made()
    horizon = Horizon(TODAY, HORIZON_DAYS)

    def for_the_planner() -> int:
        taken = on_bed(stays)
        spots = [
            spot(
                beds[place.bed_id],
                place,
                garden,
                horizon,
                name=place.id,
                dropped=taken[place.bed_id],
                resting=taken[place.bed_id],
            )
            for place in places
        ]
        return sum(len(ground.windows) for ground in spots)

    return _best_ms(for_the_planner, rounds), for_the_planner()


def _made() -> tuple:
    from garden.harvest_interval import PlantingDates
    from garden.models import Bed, Garden
    from rotation.ground import BedFacts
    from rotation.stretches import Occupied, Stretch

    garden = Garden(nitrogen_policy=Garden.NitrogenPolicy.SMALLER)
    beds, stays, places = {}, [], []
    first = TODAY - timedelta(days=365 * YEARS)
    for pk in range(1, BEDS + 1):
        bed = Bed(pk=pk, garden=garden, length_mm=2400, width_mm=1200, x_m=2.0 * pk)
        plantings = [
            PlantingDates(
                "crop", day, day + timedelta(days=50), day + timedelta(days=70), "touches", 120.0
            )
            for year in range(YEARS + 1)
            for day in (first + timedelta(days=365 * year + pk + 100 * n) for n in range(3))
        ]
        beds[pk] = BedFacts(bed, tuple(plantings))
        for offset_mm in (20.0, 1210.0):
            place = Stretch(pk, offset_mm, 1170.0, 1190.0)
            places.append(place)
            steps = range(0, 365 * YEARS, 7 * WEEKS_BETWEEN_STAYS)
            days = (first + timedelta(days=step + pk % 30) for step in steps)
            stays += [Occupied(place, day, day + timedelta(days=2), 30.0) for day in days]
    return garden, beds, stays, places


def _best_ms(measured: Callable[[], object], rounds: int) -> float:
    best = float("inf")
    for _ in range(rounds):
        began = process_time()
        measured()
        best = min(best, process_time() - began)
    return best * 1000


if __name__ == "__main__":
    main()
