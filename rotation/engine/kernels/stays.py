"""A plan as arrays of stays that can be taken out and put in quickly; see `rotation.engine.annealing`.

PURE. Compiled. A stretch of a run is some of its stays in a row with the days off the beds beside them.
"""

from typing import NamedTuple

from numba import njit
from numpy.typing import NDArray

from rotation.engine.grid import Floats, Ints
from rotation.engine.kernels import NONE

SPOT, FIRST, END, PINNED = 0, 1, 2, 3
"""What is known of a stay of a run."""


class Ground(NamedTuple):
    """What never changes: runs, spots, windows and costs."""

    first_day: Ints
    end_day: Ints
    may: NDArray
    """Whether a run may use a spot."""
    dropped_g: Floats
    """By run and day, what the run has dropped before that day."""
    told: Ints
    """By run and day, the spot announced, or `NONE`."""
    starts_on: Ints
    stood_days: Ints
    window_at: Ints
    closes: Ints
    window_room_g: Floats
    spot_room_g: Floats
    wanted_g: Floats
    carry: Floats
    near: Ints
    """By spot, the spots nearest to it."""
    earned_per_gram: float
    move: float
    off_bed_day: float
    changed_day: float
    least: int
    most: int
    rest: int


class Plan(NamedTuple):
    """What a plan holds, by run and by spot."""

    count: Ints
    """By run, the number of its stays."""
    stays: Ints
    """By run, its stays in order: spot, first day, end day and whether it is pinned."""
    on_count: Ints
    on: Ints
    """By spot, its stays in any order: run, first day, end day."""
    window_g: Floats
    spot_g: Floats


@njit(cache=True, nogil=True, inline="always")
def earning(ground: Ground, window: int, nitrogen_g: float) -> float:
    """Return what so much nitrogen in a window earns."""
    return ground.earned_per_gram * min(max(nitrogen_g, 0.0), ground.wanted_g[window])


@njit(cache=True, nogil=True)
def off_cost(ground: Ground, run: int, first: int, end: int) -> float:
    """Return the cost of days off the beds."""
    cost = ground.off_bed_day * (end - first)
    if ground.changed_day > 0:
        for day in range(first, end):
            if ground.told[run, day] != NONE:
                cost += ground.changed_day
    return cost


@njit(cache=True, nogil=True)
def changed_cost(ground: Ground, run: int, spot: int, first: int, end: int) -> float:
    """Return what a stay costs where another spot was announced."""
    cost = 0.0
    if ground.changed_day > 0:
        for day in range(first, end):
            if ground.told[run, day] != NONE and ground.told[run, day] != spot:
                cost += ground.changed_day
    return cost


@njit(cache=True, nogil=True, inline="always")
def starts_free(ground: Ground, run: int, spot: int, day: int) -> bool:
    """Say whether a stay goes on where the pen stands already, which costs no move."""
    return day == ground.first_day[run] and spot == ground.starts_on[run]


@njit(cache=True, nogil=True)
def days_between(ground: Ground, plan: Plan, run: int, low: int, high: int) -> tuple[int, int]:
    """Return the first and end day of the stretch that holds stays ``low .. high - 1`` of a run."""
    first, end = ground.first_day[run], ground.end_day[run]
    if low > 0:
        first = plan.stays[run, low - 1, END]
    if high < plan.count[run]:
        end = plan.stays[run, high, FIRST]
    return first, end


@njit(cache=True, nogil=True)
def stretch_cost(ground: Ground, plan: Plan, run: int, low: int, high: int) -> float:
    """Return what a stretch costs, the carries into and out of it with it, but for what it earns."""
    day, end = days_between(ground, plan, run, low, high)
    last = plan.stays[run, low - 1, SPOT] if low > 0 else NONE
    cost = 0.0
    for number in range(low, high):
        stay = plan.stays[run, number]
        if stay[FIRST] > day:
            cost += off_cost(ground, run, day, stay[FIRST])
            last = NONE
        if last != NONE:
            cost += ground.carry[last, stay[SPOT]]
        if not starts_free(ground, run, stay[SPOT], stay[FIRST]):
            cost += ground.move
        cost += changed_cost(ground, run, stay[SPOT], stay[FIRST], stay[END])
        last, day = stay[SPOT], stay[END]
    if day < end:
        return cost + off_cost(ground, run, day, end)
    if last != NONE and high < plan.count[run]:
        cost += ground.carry[last, plan.stays[run, high, SPOT]]
    return cost


@njit(cache=True, nogil=True)
def count_stay(ground: Ground, plan: Plan, run: int, spot: int, first: int, end: int) -> float:
    """Count a stay on its spot; return what it earns beside the stays that are there."""
    window = ground.window_at[first, spot]
    nitrogen_g = ground.dropped_g[run, end] - ground.dropped_g[run, first]
    before = earning(ground, window, plan.window_g[window])
    plan.window_g[window] += nitrogen_g
    plan.spot_g[spot] += nitrogen_g
    place = plan.on[spot, plan.on_count[spot]]
    place[0], place[1], place[2] = run, first, end
    plan.on_count[spot] += 1
    return earning(ground, window, plan.window_g[window]) - before


@njit(cache=True, nogil=True)
def discount_stay(ground: Ground, plan: Plan, run: int, spot: int, first: int, end: int) -> float:
    """Count a stay no more; return what is no longer earned."""
    window = ground.window_at[first, spot]
    nitrogen_g = ground.dropped_g[run, end] - ground.dropped_g[run, first]
    before = earning(ground, window, plan.window_g[window])
    plan.window_g[window] -= nitrogen_g
    plan.spot_g[spot] -= nitrogen_g
    last = plan.on_count[spot] - 1
    for number in range(last):
        if plan.on[spot, number, 1] == first:
            plan.on[spot, number] = plan.on[spot, last]
            break
    plan.on_count[spot] = last
    return before - earning(ground, window, plan.window_g[window])


@njit(cache=True, nogil=True)
def take_out(ground: Ground, plan: Plan, run: int, low: int, high: int) -> float:
    """Take stays ``low .. high - 1`` of a run out of the plan; return what they earned."""
    lost = 0.0
    for number in range(low, high):
        stay = plan.stays[run, number]
        lost += discount_stay(ground, plan, run, stay[SPOT], stay[FIRST], stay[END])
    for number in range(high, plan.count[run]):
        plan.stays[run, number - high + low] = plan.stays[run, number]
    plan.count[run] -= high - low
    return lost


@njit(cache=True, nogil=True)
def put_in(ground: Ground, plan: Plan, run: int, low: int, stays: Ints) -> float:
    """Put stays into a run before its stay `low`; return what they earn."""
    many = len(stays)
    for number in range(plan.count[run] - 1, low - 1, -1):
        plan.stays[run, number + many] = plan.stays[run, number]
    plan.count[run] += many
    won = 0.0
    for number in range(many):
        stay = stays[number]
        plan.stays[run, low + number] = stay
        won += count_stay(ground, plan, run, stay[SPOT], stay[FIRST], stay[END])
    return won
