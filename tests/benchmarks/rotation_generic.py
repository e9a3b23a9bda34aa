"""A whole rotation problem as one integer programme, for solvers that know nothing of gardens.

There is a yes-or-no column for every stay that a run could make alone, and:

* each run is a path through its days, on a stay or off-bed;
* each spot is a path through its days that a stay holds until its rest is over, which keeps stays apart
  as tightly as a row for each day would, with far fewer numbers;
* nitrogen is a sum for each window and spot, and what a window wants a column below that sum;
* carrying is priced in one of three ways (`rotation_carries`).

It shares no code with the search, only the values of a problem and the judges in `rules`.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from rotation.engine.problem import (
    NITROGEN_TOLERANCE_G,
    OffBed,
    Problem,
    Run,
    Stay,
    Window,
    stay_of,
)
from rotation.engine.rules import BrokenPlanError, broken_rules, cost_of
from tests.benchmarks.rotation_carries import Carries, CarryLimits, Stays
from tests.benchmarks.rotation_programme import FINE, Floats, Found, Programme, by_highs

INFINITY = float("inf")

MAX_STAYS = 2_000_000
"""Stays above which no general solver is asked (a choice: gigabytes, and minutes to begin)."""

HIGHS_LIMITS = CarryLimits(flows=300_000, conditions=0)
"""Above these carries are priced in a smaller way (a choice: memory)."""

TAKEN = 0.5
"""Value above which a yes-or-no column is taken."""


class TooLargeError(ValueError):
    """A problem with too many stays to be given whole to a general solver."""


class Answer(NamedTuple):
    """What a general solver made of a problem; no cost and no plan if it found none."""

    cost: float | None
    lower_bound: float
    stays: tuple[Stay, ...]
    off_bed: tuple[OffBed, ...]


class Whole:
    """The programme of a whole problem, and the way back from its columns to a plan."""

    def __init__(self, problem: Problem, limits: CarryLimits) -> None:
        self.problem = problem
        self.programme = Programme()
        self.carries = Carries(problem, self.programme, limits)
        self.stays = self._add_stays()
        self._add_rests()
        self._add_nitrogen()
        for number, run in enumerate(problem.runs):
            self._add_path(run, self.stays.where(self.stays.run == number))

    def answer(self, found: Found) -> Answer:
        """Return the plan that a solver's columns mean, judged by the rules and costed by them."""
        if found.values is None:
            return Answer(None, found.lower_bound, (), ())
        taken = self.stays.where(found.values[self.stays.column] > TAKEN)
        runs, spots = self.problem.runs, self.problem.spots
        stays = tuple(
            stay_of(runs[run], spots[spot].id, int(first_day), int(end_day))
            for _, run, spot, _, first_day, end_day, _ in zip(*taken, strict=True)
        )
        off_bed = tuple(span for run in runs for span in _off_bed(run, stays))
        breaches = broken_rules(self.problem, stays, off_bed)
        if breaches:
            raise BrokenPlanError(breaches)
        cost = cost_of(self.problem, stays, off_bed).total
        return Answer(cost, found.lower_bound, stays, off_bed)

    def _add_stays(self) -> Stays:
        parts, costs, count = [np.zeros((0, 6))], [np.zeros(0)], 0
        for number, run in enumerate(self.problem.runs):
            for window, place, span in _windows(self.problem, run):
                days, price = _open_stays(self.problem, run, place, span)
                count += len(price)
                if count > MAX_STAYS:
                    raise TooLargeError(f"more than {MAX_STAYS} possible stays")
                names = np.tile([number, place, window], (len(price), 1))
                parts.append(np.hstack([names, days]))
                costs.append(price)
        table = np.concatenate(parts)
        columns = self.programme.add_columns(np.concatenate(costs), whole=True)
        return Stays(columns, *table[:, :5].astype(np.int64).T, table[:, 5])

    def _add_rests(self) -> None:
        """Let a stay hold its spot until the rest is over; an idle spot waits from day to day."""
        rest, programme = self.problem.rules.rest_days, self.programme
        for place in range(len(self.problem.spots)):
            stays = self.stays.where(self.stays.spot == place)
            days = np.unique(stays.first_day)
            free_again = np.searchsorted(days, stays.end_day + rest)
            rows = programme.add_rows(*[np.arange(len(days)) == 0] * 2)
            idle = programme.add_columns(np.zeros(len(days)))
            programme.enter(rows, idle, 1.0)
            programme.enter(rows[1:], idle[:-1], -1.0)
            programme.enter(rows[np.searchsorted(days, stays.first_day)], stays.column, 1.0)
            again = free_again < len(days)
            programme.enter(rows[free_again[again]], stays.column[again], -1.0)

    def _add_nitrogen(self) -> None:
        programme, stays, spots = self.programme, self.stays, self.problem.spots
        windows = [window for spot in spots for window in spot.windows]
        rooms = ((stays.window, windows), (stays.spot, spots))
        for numbers, places in rooms:
            room_g = np.array([place.nitrogen_room_g for place in places])
            rows = programme.add_rows(-INFINITY, room_g)
            programme.enter(rows[numbers], stays.column, stays.nitrogen_g)
        price = self.problem.costs.wanted_nitrogen_per_gram
        for number, window in enumerate(windows):
            here = stays.where(stays.window == number)
            most = window.nitrogen_wanted_g
            met = programme.add_columns([-price], upper=most, unit=1 / FINE)
            (row,) = programme.add_rows(-INFINITY, 0.0)
            programme.enter(row, met, 1.0)
            programme.enter(row, here.column, -here.nitrogen_g)

    def _add_path(self, run: Run, stays: Stays) -> None:
        """Lead a run through its days, one pen from the first of them on."""
        programme = self.programme
        self._hold_pins(run, stays)
        off = programme.add_columns(_off_costs(self.problem, run), whole=True)
        days = np.arange(run.first_day, run.end_day)
        rows = programme.add_rows(*[days == run.first_day] * 2)
        programme.enter(rows, off, 1.0)
        programme.enter(rows[1:], off[:-1], -1.0)
        programme.enter(rows[stays.first_day - run.first_day], stays.column, 1.0)
        early = stays.where(stays.end_day < run.end_day)
        programme.enter(rows[early.end_day - run.first_day], early.column, -1.0)
        for day in days[1:] if self.problem.costs.carry_per_metre else ():
            sides = stays.where(stays.end_day == day), stays.where(stays.first_day == day)
            if all(len(side.column) for side in sides):
                yesterday = day - run.first_day - 1
                self.carries.add(sides, off[yesterday : yesterday + 2])

    def _hold_pins(self, run: Run, stays: Stays) -> None:
        numbers = {spot.id: number for number, spot in enumerate(self.problem.spots)}
        for pin in run.pinned:
            on_days = (stays.first_day == pin.first_day) & (stays.end_day == pin.end_day)
            (column,) = stays.column[on_days & (stays.spot == numbers[pin.spot])]
            self.programme.hold(int(column))


def solved_by_highs(
    problem: Problem, seconds: float, threads: int = 1, gap: float = 1e-4
) -> Answer:
    """Return what HiGHS makes of a problem given whole; making the programme takes time of its own."""
    whole = Whole(problem, HIGHS_LIMITS)
    return whole.answer(by_highs(whole.programme, seconds, threads, gap))


def _windows(problem: Problem, run: Run) -> Iterator[tuple[int, int, Window]]:
    """Yield every window open to a run: its number, its spot's number and itself."""
    number = -1
    for place, spot in enumerate(problem.spots):
        for window in spot.windows:
            number += 1
            on_days = window.first_day < run.end_day and run.first_day < window.end_day
            if on_days and spot.id in run.spots:
                yield number, place, window


def _open_stays(problem: Problem, run: Run, place: int, window: Window) -> tuple[Floats, Floats]:
    """Return the lawful stays in a window (first day, end day, nitrogen) and what entering each costs."""
    rules, costs, spot = problem.rules, problem.costs, problem.spots[place]
    opens, closes = max(run.first_day, window.first_day), min(run.end_day, window.end_day)
    starts, ends = (days.ravel() for days in np.mgrid[opens:closes, 1 : rules.max_stay_days + 1])
    ends = starts + ends
    free = (starts == run.first_day) & (spot.id == run.starts_on)
    counted = ends - starts + run.stood_days * free
    good = (ends <= closes) & (counted >= rules.min_stay_days) & (counted <= rules.max_stay_days)
    dropped = np.concatenate([[0.0], np.cumsum(run.nitrogen_g)])
    within = np.minimum(ends, run.end_day) - run.first_day
    nitrogen_g = dropped[within] - dropped[starts - run.first_day]
    room_g = min(window.nitrogen_room_g, spot.nitrogen_room_g)
    good &= nitrogen_g <= room_g + NITROGEN_TOLERANCE_G
    for pin in run.pinned:
        is_pin = (starts == pin.first_day) & (ends == pin.end_day) & (spot.id == pin.spot)
        good &= (ends <= pin.first_day) | (starts >= pin.end_day) | is_pin
    changed = np.concatenate([[0.0], np.cumsum(_changed(run, spot.id))])
    price = costs.changed_day * (changed[within] - changed[starts - run.first_day])
    price = price + costs.move * ~free
    return np.column_stack([starts, ends, nitrogen_g])[good], price[good]


def _changed(run: Run, spot: str | None) -> Floats:
    """Say on which days of a run the pen was announced to be elsewhere."""
    changed = np.zeros(len(run.nitrogen_g))
    for span in run.announced:
        days = slice(span.first_day - run.first_day, span.end_day - run.first_day)
        changed[days] = span.spot != spot
    return changed


def _off_costs(problem: Problem, run: Run) -> Floats:
    return problem.costs.off_bed_day + problem.costs.changed_day * _changed(run, None)


def _off_bed(run: Run, stays: tuple[Stay, ...]) -> Iterator[OffBed]:
    own = sorted((stay.first_day, stay.end_day) for stay in stays if stay.run == run.id)
    edges = [run.first_day, *(day for days in own for day in days), run.end_day]
    for first_day, end_day in zip(edges[::2], edges[1::2], strict=True):
        if first_day < end_day:
            yield OffBed(run.id, first_day, end_day)
