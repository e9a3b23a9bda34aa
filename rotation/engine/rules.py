"""The rules of a rotation plan, each once, as a plain check that knows nothing of the search.

PURE. Every plan that leaves `rotation.engine.search.solve` has been judged here. A plan written by
hand, by a test or by another method is judged by the same functions.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from rotation.engine.problem import (
    NITROGEN_TOLERANCE_G,
    CostItems,
    OffBed,
    Problem,
    Run,
    Span,
    Spot,
    Stay,
    Window,
    stay_of,
)


@dataclass(frozen=True, slots=True)
class Breach:
    """One rule broken, in words."""

    rule: str
    """``days``, ``stay``, ``rest``, ``nitrogen`` or ``pinned``."""
    words: str

    def __str__(self) -> str:
        return self.words


class BrokenPlanError(RuntimeError):
    """A search has produced a plan that breaks a rule: an error of ours, never of the grower's."""

    def __init__(self, breaches: Sequence[Breach]) -> None:
        self.breaches = tuple(breaches)
        super().__init__("; ".join(str(breach) for breach in breaches))


def broken_rules(
    problem: Problem, stays: Sequence[Stay], off_bed: Sequence[OffBed]
) -> tuple[Breach, ...]:
    """Return every breach of the rules by a whole plan; empty when the plan is good."""
    unknown = tuple(_unknown_names(problem, stays, off_bed))
    if unknown:
        return unknown
    return (
        *_day_breaches(problem, stays, off_bed),
        *stay_breaches(problem, stays),
        *rest_breaches(problem, stays),
        *nitrogen_breaches(problem, stays),
        *_pin_breaches(problem, stays),
    )


def _unknown_names(
    problem: Problem, stays: Sequence[Stay], off_bed: Sequence[OffBed]
) -> Iterator[Breach]:
    runs = {run.id for run in problem.runs}
    spots = {spot.id for spot in problem.spots}
    for part in (*stays, *off_bed):
        if part.run not in runs:
            yield Breach("days", f"there is no run {part.run!r}")
    for stay in stays:
        if stay.spot not in spots:
            yield Breach("days", f"there is no spot {stay.spot!r}")


def _day_breaches(
    problem: Problem, stays: Sequence[Stay], off_bed: Sequence[OffBed]
) -> Iterator[Breach]:
    """Rule 1: every day of a run is spent on exactly one allowed spot, or off-bed."""
    parts: dict[str, list[Stay | OffBed]] = defaultdict(list)
    for part in (*stays, *off_bed):
        parts[part.run].append(part)
    for run in problem.runs:
        reached = run.first_day
        for part in sorted(parts[run.id], key=lambda part: (part.first_day, part.end_day)):
            if part.first_day != reached or part.end_day <= part.first_day:
                words = f"{run.id}: {_days(part)} does not follow on day {reached}"
                yield Breach("days", words)
            reached = max(reached, part.end_day)
        if reached != run.end_day:
            words = f"{run.id}: planned up to day {reached}, its birds stay up to day {run.end_day}"
            yield Breach("days", words)


def stay_breaches(problem: Problem, stays: Iterable[Stay]) -> Iterator[Breach]:
    """Rules 1 and 2: an allowed spot, within one window, of an allowed length."""
    runs = {run.id: run for run in problem.runs}
    spots = {spot.id: spot for spot in problem.spots}
    for stay in stays:
        run = runs[stay.run]
        name = f"{stay.run} on {stay.spot}, {_days(stay)}"
        if stay.spot not in run.spots:
            yield Breach("stay", f"{name}: the run may not use this spot")
        if not run.first_day <= stay.first_day < stay.end_day <= run.end_day:
            yield Breach("stay", f"{name}: outside the run's days")
        if window_of(spots[stay.spot], stay) is None:
            yield Breach("stay", f"{name}: not within one window of the spot")
        counted = run.counted_days(stay.spot, stay.first_day, stay.end_day)
        if counted < problem.rules.min_stay_days:
            yield Breach("stay", f"{name}: shorter than {problem.rules.min_stay_days} days")
        if counted > problem.rules.max_stay_days:
            yield Breach("stay", f"{name}: longer than {problem.rules.max_stay_days} days")


def rest_breaches(problem: Problem, stays: Iterable[Stay]) -> Iterator[Breach]:
    """Rule 3: two stays on one spot, of the same run or not, are a rest apart."""
    rest_days = problem.rules.rest_days
    for spot, visits in _by_spot(stays).items():
        in_order = sorted(visits, key=lambda stay: (stay.first_day, stay.end_day))
        for earlier, later in pairwise(in_order):
            if later.first_day < earlier.end_day + rest_days:
                words = (
                    f"{later.run} on {spot}, {_days(later)}: less than {rest_days} days of rest "
                    f"after {earlier.run}, {_days(earlier)}"
                )
                yield Breach("rest", words)


def nitrogen_breaches(problem: Problem, stays: Iterable[Stay]) -> Iterator[Breach]:
    """Rule 4: nitrogen within the room of each window, and of each spot over all its windows."""
    runs = {run.id: run for run in problem.runs}
    visits = _by_spot(stays)
    for spot in problem.spots:
        in_window: dict[Window | None, float] = defaultdict(float)
        for stay in visits.get(spot.id, ()):
            in_window[window_of(spot, stay)] += dropped_g(runs[stay.run], stay)
        for window, dropped in in_window.items():
            if window and dropped > window.nitrogen_room_g + NITROGEN_TOLERANCE_G:
                room = f"{window.nitrogen_room_g:g} g of its window from day {window.first_day}"
                yield Breach("nitrogen", f"{spot.id}: {dropped:g} g passes the {room}")
        total = sum(in_window.values())
        if total > spot.nitrogen_room_g + NITROGEN_TOLERANCE_G:
            words = f"{spot.id}: {total:g} g in all passes its {spot.nitrogen_room_g:g} g"
            yield Breach("nitrogen", words)


def _pin_breaches(problem: Problem, stays: Iterable[Stay]) -> Iterator[Breach]:
    planned = {(stay.run, Span(stay.spot, stay.first_day, stay.end_day)) for stay in stays}
    for run in problem.runs:
        for pin in run.pinned:
            if (run.id, pin) not in planned:
                words = f"{run.id}: the pinned stay on {pin.spot}, {_days(pin)} is missing"
                yield Breach("pinned", words)


def cost_of(problem: Problem, stays: Sequence[Stay], off_bed: Sequence[OffBed]) -> CostItems:
    """Return what a plan costs by its causes; the plan is taken to keep the rules."""
    runs = {run.id: run for run in problem.runs}
    costs = problem.costs
    moves = sum(not runs[stay.run].is_free_start(stay.spot, stay.first_day) for stay in stays)
    off_days = sum(span.end_day - span.first_day for span in off_bed)
    changed = sum(_changed_days(run, stays) for run in problem.runs)
    return CostItems(
        moves=costs.move * moves,
        carry=costs.carry_per_metre * _carried_m(problem, stays),
        off_bed=costs.off_bed_day * off_days,
        # `0.0 -` and not a minus sign, so that nothing earned reads 0 and not -0
        wanted_nitrogen=0.0 - costs.wanted_nitrogen_per_gram * _wanted_met_g(problem, stays),
        changed=costs.changed_day * changed,
    )


def _carried_m(problem: Problem, stays: Iterable[Stay]) -> float:
    spots = {spot.id: spot for spot in problem.spots}
    in_order = sorted(stays, key=lambda stay: (stay.run, stay.first_day))
    metres = 0.0
    for earlier, later in pairwise(in_order):
        if earlier.run == later.run and earlier.end_day == later.first_day:
            here, there = spots[earlier.spot], spots[later.spot]
            metres += hypot(there.x_m - here.x_m, there.y_m - here.y_m)
    return metres


def _wanted_met_g(problem: Problem, stays: Iterable[Stay]) -> float:
    runs = {run.id: run for run in problem.runs}
    visits = _by_spot(stays)
    met = 0.0
    for spot in problem.spots:
        in_window: dict[Window | None, float] = defaultdict(float)
        for stay in visits.get(spot.id, ()):
            in_window[window_of(spot, stay)] += dropped_g(runs[stay.run], stay)
        met += sum(
            min(dropped, window.nitrogen_wanted_g)
            for window, dropped in in_window.items()
            if window
        )
    return met


def _changed_days(run: Run, stays: Iterable[Stay]) -> int:
    if not run.announced:
        return 0
    stands = {
        (stay.spot, day)
        for stay in stays
        if stay.run == run.id
        for day in range(stay.first_day, stay.end_day)
    }
    told = {(s.spot, day) for s in run.announced for day in range(s.first_day, s.end_day)}
    return len(told - stands)


def window_of(spot: Spot, stay: Stay | Span) -> Window | None:
    """Return the window of `spot` that holds the whole stay, or None."""
    for window in spot.windows:
        if window.first_day <= stay.first_day and stay.end_day <= window.end_day:
            return window
    return None


def dropped_g(run: Run, stay: Stay) -> float:
    """Return the nitrogen [g] of a stay counted afresh from the run, not taken from the stay."""
    return stay_of(run, stay.spot, stay.first_day, stay.end_day).nitrogen_g


def _by_spot(stays: Iterable[Stay]) -> dict[str, list[Stay]]:
    visits: dict[str, list[Stay]] = defaultdict(list)
    for stay in stays:
        visits[stay.spot].append(stay)
    return visits


def _days(part: Stay | OffBed | Span) -> str:
    return f"days {part.first_day} to {part.end_day}"
