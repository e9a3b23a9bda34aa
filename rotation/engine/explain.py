"""Why a pen is off-bed: how many of its spots each rule shut on that day.

PURE. Every spot the run may use is counted once a day, under the first of these that shuts it, the
rest of the plan being as it is:

``crop``      no window of the spot is open that day
``taken``     another pen stands there
``rest``      the day falls in the rest after a stay, or a stay would end too soon before the next
``nitrogen``  that one day's droppings pass the room left in the window or on the spot
``length``    the day alone would do, but no stay of a lawful length holds it and only off-bed days
``cost``      a lawful stay is there to be had, and the plan does not take it because it costs more
              or because the search ended first
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rotation.engine.problem import NITROGEN_TOLERANCE_G, OffBed, Problem, Run, Stay
from rotation.engine.rules import window_of

_REASONS = ("cost", "crop", "length", "nitrogen", "rest", "taken")
"""In the order of their names, as they are told."""

_COST, _CROP, _LENGTH, _NITROGEN, _REST, _TAKEN = range(len(_REASONS))


def off_bed_spans(problem: Problem, stays: Sequence[Stay]) -> tuple[OffBed, ...]:
    """Return every off-bed day of a plan, days alike in run and reasons merged into spans."""
    gaps = {run.id: list(_gaps(run, stays)) for run in problem.runs}
    if not any(gaps.values()):
        return ()
    garden = _Garden(problem, stays)
    spans: list[OffBed] = []
    for run in problem.runs:
        for gap in gaps[run.id]:
            reasons = enumerate(garden.because(run, gap), start=gap[0])
            for because, group in groupby(reasons, key=lambda entry: entry[1]):
                days = [day for day, _ in group]
                spans.append(OffBed(run.id, days[0], days[-1] + 1, because))
    return tuple(spans)


def _gaps(run: Run, stays: Iterable[Stay]) -> Iterator[tuple[int, int]]:
    """Yield the spans of days of a run that no stay covers."""
    reached = run.first_day
    for stay in sorted((s for s in stays if s.run == run.id), key=lambda stay: stay.first_day):
        if stay.first_day > reached:
            yield reached, stay.first_day
        reached = stay.end_day
    if reached < run.end_day:
        yield reached, run.end_day


class _Garden:
    """A plan's garden by day (rows) and spot (columns)."""

    def __init__(self, problem: Problem, stays: Iterable[Stay]) -> None:
        self.rules = problem.rules
        self.column = {spot.id: column for column, spot in enumerate(problem.spots)}
        shape = problem.days, len(problem.spots)
        self.shut: NDArray[np.int8] = np.full(shape, _CROP, dtype=np.int8)
        """What shuts a day to every pen, or `_COST` where nothing does."""
        self.closes = np.zeros(shape, dtype=np.int64)
        """End day of the window that is open."""
        self.room_left_g = np.zeros(shape)
        """Room left in that window and on the spot, the lesser of both."""
        visits: dict[str, list[Stay]] = defaultdict(list)
        for stay in stays:
            visits[stay.spot].append(stay)
        for column, spot in enumerate(problem.spots):
            on_spot = visits[spot.id]
            spot_left_g = spot.nitrogen_room_g - sum(stay.nitrogen_g for stay in on_spot)
            for window in spot.windows:
                dropped_g = sum(s.nitrogen_g for s in on_spot if window_of(spot, s) == window)
                days = slice(window.first_day, window.end_day), column
                self.shut[days], self.closes[days] = _COST, window.end_day
                self.room_left_g[days] = min(spot_left_g, window.nitrogen_room_g - dropped_g)
            self._shut_for_visits(column, on_spot)

    def _shut_for_visits(self, column: int, on_spot: Sequence[Stay]) -> None:
        """Mark the days on which pens stand on a spot, and those too near to them."""
        shut, rest = self.shut[:, column], self.rules.rest_days
        is_open = shut == _COST
        for reason, margin in ((_REST, rest), (_TAKEN, 0)):
            for stay in on_spot:
                days = slice(max(stay.first_day - margin, 0), stay.end_day + margin)
                shut[days][is_open[days]] = reason

    def because(self, run: Run, gap: tuple[int, int]) -> Iterator[dict[str, int]]:
        """Yield the count of each reason over the spots of `run` for every day of the gap."""
        first_day, end_day = gap
        columns = [self.column[spot] for spot in run.spots]
        reasons = self.shut[first_day:end_day, columns]
        left_g = self.room_left_g[first_day:end_day, columns] + NITROGEN_TOLERANCE_G
        nitrogen_g = np.array(run.nitrogen_g[first_day - run.first_day : end_day - run.first_day])
        free = _FreeDays(
            reasons == _COST,
            self.closes[first_day:end_day, columns] - first_day,
            left_g,
            nitrogen_g,
        )
        held = self._held(free, run, gap)
        reasons[free.open & (nitrogen_g[:, None] > left_g)] = _NITROGEN
        reasons[(reasons == _COST) & ~held] = _LENGTH
        for day in reasons:
            counts = np.bincount(day, minlength=len(_REASONS))
            yield {name: int(n) for name, n in zip(_REASONS, counts, strict=True) if n}

    def _held(self, free: "_FreeDays", run: Run, gap: tuple[int, int]) -> NDArray[np.bool_]:
        """Say which days and spots some lawful stay holds that lies within the gap."""
        held = np.zeros(free.open.shape, dtype=bool)
        days, shortest = len(held), self.rules.min_stay_days
        goes_on = np.array([run.is_free_start(spot, gap[0]) for spot in run.spots], dtype=bool)
        for start in range(days - shortest + 1):
            # what shuts a stay shuts every longer one that holds it, so the shortest are enough
            may_stay = free.may_stay(start, start + shortest)
            held[start : start + shortest] |= may_stay & ~goes_on if start == 0 else may_stay
        if goes_on.any():
            stood = run.stood_days
            longest = min(self.rules.max_stay_days - stood, days)
            for end in range(max(shortest - stood, 1), longest + 1):
                held[:end] |= free.may_stay(0, end) & goes_on
        return held


class _FreeDays(NamedTuple):
    """The days of one gap (rows) on the spots of one run (columns), counted from the gap's first."""

    open: NDArray[np.bool_]
    """Nothing but nitrogen can shut the day."""
    closes: NDArray[np.int64]
    """End day of the window that is open."""
    left_g: NDArray[np.float64]
    """Room left, with the tolerance that the rules allow."""
    nitrogen_g: NDArray[np.float64]
    """What the pen drops on each day."""

    def may_stay(self, start: int, end: int) -> NDArray[np.bool_]:
        """Say on which spots a stay ``[start, end)`` keeps the rules of windows, rest and nitrogen."""
        fits = self.nitrogen_g[start:end].sum() <= self.left_g[start]
        return self.open[start:end].all(axis=0) & (self.closes[start] >= end) & fits
