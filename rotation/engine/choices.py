"""The stays each run could make if it were alone, as arrays.

PURE. A *leg* is a stay without its run's name; a *route* is all legs of one run in order, and the
days of the run that no leg covers are off-bed.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, cached_property, partial
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rotation.engine.grid import ROOM_SLACK_G, Floats, Grid, Ints
from rotation.engine.neighbourhoods import Neighbourhoods
from rotation.engine.problem import Run

Flags = NDArray[np.bool_]


class Leg(NamedTuple):
    """A stay of some run: the spot's number and ``[first_day, end_day)``."""

    spot: int
    first_day: int
    end_day: int


Route = tuple[Leg, ...]


@dataclass(frozen=True)
class Choices:
    """What one run may do, and what it costs before other runs have their say.

    The axes of `base` are the day within the run, the length less one, and the place in `spots`.
    """

    number: int
    first_day: int
    spots: Ints
    base: Floats
    """Cost of a stay but for entering it: changed days, the free start as -move; inf if shut."""
    off: Floats
    """Cost of each off-bed day; inf where a pin holds the pen."""
    nitrogen_g: Floats
    """Nitrogen of a stay, by day and length."""
    window: Ints
    """Number of the window open by day and place; 0 where none is, and there `base` is inf."""
    carry: Floats
    """Cost of carrying between places."""
    neighbourhoods: Neighbourhoods
    """The places parted by it."""
    move: float

    @property
    def days(self) -> int:
        """Length of the run [days]."""
        return len(self.off)

    @cached_property
    def place_of(self) -> dict[int, int]:
        """The place in `spots` of each spot's number."""
        return {int(spot): place for place, spot in enumerate(self.spots)}

    def at(self, leg: Leg) -> tuple[int, int, int]:
        """Return where `base` holds a leg."""
        return (
            leg.first_day - self.first_day,
            leg.end_day - leg.first_day - 1,
            self.place_of[leg.spot],
        )

    def holding(self, leg: Leg, rest: int) -> "Choices":
        """Return what the run may do once it must have a leg, which is open to it."""
        base, off, at = self.base.copy(), self.off.copy(), self.at(leg)
        start, end = leg.first_day - self.first_day, leg.end_day - self.first_day
        days, longest, _ = base.shape
        starts = np.arange(days)[:, None]
        ends = starts + np.arange(1, longest + 1)[None, :]
        base[(starts < end) & (ends > start)] = np.inf
        base[(starts < end + rest) & (ends + rest > start), at[2]] = np.inf
        base[at] = self.base[at]
        off[start:end] = np.inf
        return replace(self, base=base, off=off)

    def is_open(self, leg: Leg) -> bool:
        """Say whether the run could have this stay if it were alone."""
        day, length, place = leg.first_day - self.first_day, leg.end_day - leg.first_day, leg.spot
        within = day >= 0 and 0 < length <= self.base.shape[1] and day + length <= self.days
        return within and place in self.place_of and np.isfinite(self.base[self.at(leg)]).item()

    def leg_nitrogen_g(self, leg: Leg) -> float:
        """Return what the run drops on a leg [g]."""
        return float(self.nitrogen_g[self.at(leg)[:2]])

    def leg_window(self, leg: Leg) -> int:
        """Return the number of the window that holds a leg."""
        return int(self.window[leg.first_day - self.first_day, self.place_of[leg.spot]])

    def priced(self, price: Floats, route: Route) -> float:
        """Return a route's cost with its stays at `price`, shaped like `base`."""
        extra = sum(price[self.at(leg)] - self.base[self.at(leg)] for leg in route)
        return self.cost_of(route) + float(extra)

    def cost_of(self, route: Route) -> float:
        """Return a route's cost without what its nitrogen earns."""
        off = np.ones(self.days, dtype=bool)
        cost = 0.0
        for leg in route:
            start, end = leg.first_day - self.first_day, leg.end_day - self.first_day
            off[start:end] = False
            cost += self.move + self.base[self.at(leg)]
        for here, there in pairwise(route):
            if here.end_day == there.first_day:
                cost += self.carry[self.place_of[here.spot], self.place_of[there.spot]]
        return float(cost + self.off[off].sum())


def choices_of(grid: Grid) -> list[Choices]:
    """Return the choices of every run of the grid's problem."""
    everywhere = cache(partial(Neighbourhoods.of, grid.carry))
    return [_choices(grid, number, everywhere) for number in range(len(grid.problem.runs))]


def _choices(grid: Grid, number: int, everywhere: Callable[[], Neighbourhoods]) -> Choices:
    run, costs = grid.problem.runs[number], grid.problem.costs
    spots = np.array([grid.number_of[spot] for spot in run.spots], dtype=np.int64)
    starts, ends = _stay_days(grid, run)
    dropped = np.concatenate([[0.0], np.cumsum(run.nitrogen_g)])
    within = np.minimum(ends, len(run.nitrogen_g))
    nitrogen_g = dropped[within] - dropped[starts]
    window = grid.window_at[run.first_day : run.end_day, spots]

    off, fees = _announced_costs(grid, run, spots)
    fees = fees[within] - fees[starts]
    if run.starts_on in run.spots:
        fees[0, :, run.spots.index(run.starts_on)] -= costs.move
    open_stays = _open_by_rules(grid, run, spots, nitrogen_g)
    _hold_to_pins(grid, number, open_stays, off)
    if np.array_equal(spots, np.arange(grid.spot_count)):  # one table for all such runs
        carry, neighbourhoods = grid.carry, everywhere()
    else:
        carry = np.ascontiguousarray(grid.carry[np.ix_(spots, spots)])
        neighbourhoods = Neighbourhoods.of(carry)
    return Choices(
        number=number,
        first_day=run.first_day,
        spots=spots,
        # one layout of arrays, whatever the garden, is one compilation of the inner loops
        base=np.ascontiguousarray(np.where(open_stays, fees, np.inf)),
        off=off,
        nitrogen_g=np.ascontiguousarray(nitrogen_g),
        window=np.ascontiguousarray(np.maximum(window, 0)),
        carry=carry,
        neighbourhoods=neighbourhoods,
        move=costs.move,
    )


def _stay_days(grid: Grid, run: Run) -> tuple[Ints, Ints]:
    """Return start (a column) and end (by start and length less one) of stays, in run days."""
    days = len(run.nitrogen_g)
    starts = np.arange(days)[:, None]
    longest = min(grid.problem.rules.max_stay_days, days)
    return starts, starts + np.arange(1, longest + 1)[None, :]


def _announced_costs(grid: Grid, run: Run, spots: Ints) -> tuple[Floats, Floats]:
    """Return the cost of each off-bed day, and the running changed-day cost at each place."""
    days, per_day = len(run.nitrogen_g), grid.problem.costs.changed_day
    changed = np.zeros((days, len(spots)))
    off = np.full(days, grid.problem.costs.off_bed_day)
    for span in run.announced:
        told = slice(span.first_day - run.first_day, span.end_day - run.first_day)
        changed[told] = per_day * (spots != grid.number_of[span.spot])
        off[told] += per_day
    return off, np.concatenate([np.zeros((1, len(spots))), np.cumsum(changed, axis=0)])


def _open_by_rules(grid: Grid, run: Run, spots: Ints, nitrogen_g: Floats) -> Flags:
    """Say which stays keep the rules when the pins are the only other stays."""
    rules = grid.problem.rules
    starts, ends = _stay_days(grid, run)
    lengths = (ends - starts)[0]
    window = grid.window_at[run.first_day : run.end_day, spots]
    room_g = np.minimum(grid.window_room_left_g[window], grid.spot_room_left_g[spots])
    room_g[window < 0] = -np.inf
    closes = np.minimum(grid.closes[run.first_day : run.end_day, spots], run.end_day)
    good = ends[:, :, None] + run.first_day <= closes[:, None, :]
    good &= nitrogen_g[:, :, None] <= room_g[:, None, :] + ROOM_SLACK_G
    fits = lengths >= rules.min_stay_days
    if run.starts_on in run.spots:
        place, counted = run.spots.index(run.starts_on), lengths + run.stood_days
        goes_on = (counted >= rules.min_stay_days) & (counted <= rules.max_stay_days)
        first_stay = good[0, :, place] & goes_on
        good &= fits[None, :, None]
        good[0, :, place] = first_stay
        return good
    return good & fits[None, :, None]


def _hold_to_pins(grid: Grid, number: int, open_stays: Flags, off: Floats) -> None:
    """Shut what pins exclude, then open this run's own pins, whose days are never off-bed."""
    run = grid.problem.runs[number]
    starts, ends = _stay_days(grid, run)
    own = []
    for owner, pin in grid.pins:
        start, end = pin.first_day - run.first_day, pin.end_day - run.first_day
        spot = grid.problem.spots[grid.number_of[pin.spot]].id
        if spot in run.spots:
            too_close = (starts < end + grid.rest) & (ends + grid.rest > start)
            open_stays[:, :, run.spots.index(spot)] &= ~too_close
        if owner == number:
            open_stays &= ~((starts < end) & (ends > start))[:, :, None]
            off[start:end] = np.inf
            own.append((start, end - start - 1, run.spots.index(spot)))
    for stay in own:
        open_stays[stay] = True
