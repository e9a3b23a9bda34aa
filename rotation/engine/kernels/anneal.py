"""Many small changes of a plan, the worse ones with falling odds; see `rotation.engine.annealing`.

PURE. Compiled. One change takes a stretch of a run out, and with it stays of other runs on places that it might
want, and puts all of them back one after another.
"""

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from rotation.engine.grid import Floats, Ints
from rotation.engine.kernels import NONE
from rotation.engine.kernels.stays import (
    FIRST,
    PINNED,
    SPOT,
    Ground,
    Plan,
    days_between,
    put_in,
    stretch_cost,
    take_out,
)
from rotation.engine.kernels.stretch import Stretch, Ways, way_through

MOST_STAYS = 6
"""Stays of a run taken out at once at most, but when the whole run is (a choice)."""

WHOLE_RUN = 0.1
"""How often all of a run is taken out (a choice)."""

MOST_OTHERS = 5
"""Stretches of other runs taken out with it at most (a choice)."""

MOST_BESIDE = 2
"""Stays before and after a wanted place's taken out with it at most (a choice)."""

MOST_CHARGED = 1.2
"""Share of the charges that a change looks at, at most (a choice)."""

LEAST_GAIN = 1e-9


class Space(NamedTuple):
    """Room to work in, made once."""

    chance: NDArray[np.uint64]
    """The state of the random numbers; never 0."""
    ways: Ways
    stays: Ints
    spots: Ints
    seen: Ints
    """By spot, when it was last gathered."""
    taken: Ints
    """Of each stretch taken out: run, first stay, number of stays, the run's stays before."""
    kept: Ints
    """Of each stretch taken out, all stays of its run as they were."""


@njit(cache=True, nogil=True, inline="always")
def chance(space: Space) -> float:
    """Return a random number in [0, 1)."""
    bits = space.chance[0]
    bits ^= bits << np.uint64(13)
    bits ^= bits >> np.uint64(7)
    bits ^= bits << np.uint64(17)
    space.chance[0] = bits
    return (bits >> np.uint64(11)) / 9007199254740992.0


@njit(cache=True, nogil=True, inline="always")
def one_of(space: Space, many: int) -> int:
    """Return a random number of 0 .. many - 1."""
    return int(chance(space) * many)


@njit(cache=True, nogil=True)
def stretch_of(plan: Plan, space: Space) -> tuple[int, int, int]:
    """Return a run and the first and end number of some of its stays, maybe none, none of them pinned."""
    run = one_of(space, len(plan.count))
    count = plan.count[run]
    many = count if chance(space) < WHOLE_RUN else 1 + one_of(space, MOST_STAYS)
    low = max(0, one_of(space, count + 1) - many // 2)
    high = low
    while high < min(count, low + many) and not plan.stays[run, high, PINNED]:
        high += 1
    return run, low, high


@njit(cache=True, nogil=True)
def rival_on(
    ground: Ground, plan: Plan, space: Space, spot: int, days: tuple[int, int]
) -> tuple[int, int, int]:
    """Return a run that keeps some spot busy in or near some days, with stays around; or `NONE`."""
    if plan.on_count[spot] == 0:
        return NONE, 0, 0
    run, first, end = plan.on[spot, one_of(space, plan.on_count[spot])]
    if end + ground.rest <= days[0] or first - ground.rest >= days[1]:
        return NONE, 0, 0
    at = 0
    while plan.stays[run, at, FIRST] != first:
        at += 1
    low = max(0, at - one_of(space, MOST_BESIDE + 1))
    high = min(plan.count[run], at + 1 + one_of(space, MOST_BESIDE + 1))
    if plan.stays[run, low:high, PINNED].any():
        return NONE, 0, 0
    return run, low, high


@njit(cache=True, nogil=True)
def choose(ground: Ground, plan: Plan, space: Space) -> int:
    """Choose what to take out, as written in `space.taken`; return how many stretches."""
    run, low, high = stretch_of(plan, space)
    days = days_between(ground, plan, run, low, high)
    if days[0] >= days[1]:
        return 0
    space.taken[0, 0], space.taken[0, 1], space.taken[0, 2] = run, low, high - low
    many = 1
    centre = one_of(space, len(ground.near))
    if high > low:
        centre = plan.stays[run, low + one_of(space, high - low), SPOT]
    for _ in range(one_of(space, MOST_OTHERS + 1)):
        spot = ground.near[centre, one_of(space, ground.near.shape[1])]
        run, low, high = rival_on(ground, plan, space, spot, days)
        if run != NONE and not (space.taken[:many, 0] == run).any():
            space.taken[many, 0], space.taken[many, 1] = run, low
            space.taken[many, 2] = high - low
            many += 1
    return many


@njit(cache=True, nogil=True)
def lift_all(ground: Ground, plan: Plan, space: Space, many: int) -> float:
    """Take all chosen stretches out; return what was paid for them."""
    paid = 0.0
    for number in range(many):
        run, low, stays = space.taken[number, 0], space.taken[number, 1], space.taken[number, 2]
        count = plan.count[run]
        space.taken[number, 3] = count
        space.kept[number, :count] = plan.stays[run, :count]
        paid += stretch_cost(ground, plan, run, low, low + stays)
        paid -= take_out(ground, plan, run, low, low + stays)
    return paid


@njit(cache=True, nogil=True)
def gather(ground: Ground, space: Space, source: Ints, when: int, many: int) -> int:
    """Add spots to those gathered at this time; return how many there are."""
    for spot in source:
        if space.seen[spot] != when:
            space.seen[spot] = when
            space.spots[many] = spot
            many += 1
    return many


@njit(cache=True, nogil=True)
def put_back(
    ground: Ground,
    plan: Plan,
    space: Space,
    number: int,
    when: int,
    charge: Floats,
    odds: tuple[float, float],
) -> float:
    """Put one of the stretches back some way; return what it costs now.

    `odds` are the share of the charges looked at and how far chance moves what a place seems to cost.
    """
    run, low, old = space.taken[number, 0], space.taken[number, 1], space.taken[number, 2]
    first, end = days_between(ground, plan, run, low, low)
    before = after = NONE
    if low > 0:
        before = plan.stays[run, low - 1, SPOT]
    if low < plan.count[run]:
        after = plan.stays[run, low, SPOT]
    was = space.kept[number, low : low + old, SPOT]
    hub = was[one_of(space, old)] if old else one_of(space, len(ground.near))
    many = gather(ground, space, ground.near[hub], when, 0)
    if after != NONE:
        many = gather(ground, space, ground.near[after], when, many)
    spots = space.spots[: gather(ground, space, was, when, many)]
    extra = np.empty(len(spots))
    for place in range(len(spots)):
        extra[place] = odds[1] * chance(space)
    stretch = Stretch(run, first, end, before, after, odds[0])
    stays = way_through(ground, plan, stretch, charge[run], spots, extra, space.ways, space.stays)
    won = put_in(ground, plan, run, low, stays)
    space.taken[number, 2] = len(stays)
    return stretch_cost(ground, plan, run, low, low + len(stays)) - won


@njit(cache=True, nogil=True)
def undo(ground: Ground, plan: Plan, space: Space, many: int) -> None:
    """Have the chosen stretches as they were."""
    for number in range(many):
        run, low = space.taken[number, 0], space.taken[number, 1]
        take_out(ground, plan, run, low, low + space.taken[number, 2])
    for number in range(many):
        run, low = space.taken[number, 0], space.taken[number, 1]
        old = space.taken[number, 3] - plan.count[run]
        put_in(ground, plan, run, low, space.kept[number, low : low + old])


@njit(cache=True, nogil=True)
def anneal(
    ground: Ground,
    plan: Plan,
    space: Space,
    charge: Floats,
    steps: int,
    heat: tuple[float, float],
    costs: tuple[float, float],
    best_count: Ints,
    best_stays: Ints,
) -> tuple[float, float]:
    """Try so many changes, `heat` falling from the first to the second; return the plan's cost and the best.

    `costs` are the plan's cost and the best before; `charge` is by run, day in it, length less one and spot.
    The best plan is kept in `best_count` and `best_stays`.
    """
    (now, best), when = costs, space.seen.max()
    for step in range(steps):
        warm = heat[0] * (heat[1] / heat[0]) ** (step / steps)
        many = choose(ground, plan, space)
        odds = (MOST_CHARGED * chance(space), warm * chance(space))
        gain = lift_all(ground, plan, space, many)
        for number in range(many):
            when += 1
            gain -= put_back(ground, plan, space, number, when, charge, odds)
        if gain >= 0 or chance(space) < np.exp(gain / warm):
            now -= gain
            if now < best - LEAST_GAIN:
                best = now
                best_count[:] = plan.count
                best_stays[:] = plan.stays
        else:
            undo(ground, plan, space, many)
    return now, best
