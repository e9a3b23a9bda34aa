"""The cheapest route of one run by labels that remember; see `rotation.engine.programme`.

PURE. Compiled. The days a pen is off the beds are spent at one place more, the last. Labels that leave one
place on one day are a list: ``first[day, place]`` begins it, `following` goes on.
"""

from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

from rotation.engine.grid import Floats, Ints
from rotation.engine.kernels import NONE
from rotation.engine.kernels.room import with_room

EMPTY = np.uint64(0)

KEEP, SHIFT, DROP = 0, 1, 2
"""What a day does to a pen's memory; see `rotation.engine.programme.memory_actions`."""

MOST_AT_A_DOOR = 48
"""Labels that enter one place on one day before the next one forgets what it remembers (a choice)."""

LABEL = np.dtype(
    [
        ("cost", np.float64),
        ("older", np.uint64),
        ("newer", np.uint64),
        ("place", np.int32),
        ("before", np.int32),
        ("began", np.int32),
        ("following", np.int32),
    ],
    align=True,
)
"""A part of a route: its cost, its two memories, the place just left, the label before it and the day on which
its last stay began. One record, because what is compared together is then read together."""

Labels = NDArray[Any]
Bits = NDArray[np.uint64]


@njit(cache=True, nogil=True, inline="always")
def dominates(one: Any, other: Any) -> bool:
    """Say whether a label costs and remembers no more than another, at any time to come."""
    return (
        one.cost <= other.cost
        and (one.newer & ~other.newer) == 0
        and ((one.older | one.newer) & ~(other.older | other.newer)) == 0
    )


@njit(cache=True, nogil=True, inline="always")
def remembered_after(older: int, newer: int, action: int) -> tuple[int, int]:
    """Return the two parts of a memory after what a day does to it."""
    if action == SHIFT:
        return newer, EMPTY
    if action == DROP:
        return EMPTY, newer
    return older, newer


@njit(cache=True, nogil=True)
def woken(labels: Labels, first: Ints, action: int) -> Ints:
    """Return the labels of the lists that begin at `first`, cheapest first, with their memory of the day."""
    count = 0
    for label in first:
        while label != NONE:
            count += 1
            label = labels[label].following
    here, cost = np.empty(count, dtype=np.int32), np.empty(count)
    count = 0
    for label in first:
        while label != NONE:
            one = labels[label]
            one.older, one.newer = remembered_after(one.older, one.newer, action)
            here[count], cost[count] = label, one.cost
            count += 1
            label = one.following
    return here[np.argsort(cost)]


@njit(cache=True, nogil=True, inline="always")
def admitted(door: Labels, count: int) -> int:
    """Let the label in the door's last slot in unless one there dominates it; return how many are in.

    Those that it dominates leave.
    """
    new = door[-1]
    for other in range(count):
        if dominates(door[other], new):
            return count
    kept = 0
    for other in range(count):
        if not dominates(new, door[other]):
            if kept < other:
                door[kept] = door[other]
            kept += 1
    if kept >= MOST_AT_A_DOOR:
        # a memory let go may only make the run look cheaper, so the bound stays true
        kept = MOST_AT_A_DOOR
        new.older = new.newer = EMPTY
    door[kept] = new
    return kept + 1


@njit(cache=True, nogil=True)
def fill_door(
    door: Labels,
    labels: Labels,
    waiting: Ints,
    place: int,
    enter: float,
    carry: Floats,
    rest: int,
    bit: Bits,
    remembered: int,
) -> int:
    """Put those of the waiting labels that may enter a place at its door; return how many.

    There a label has paid for entering, keeps only what the place lets it remember, and is its own label
    before.
    """
    places = len(carry)
    is_off = place == places
    new = door[-1]
    count, free = 0, np.inf  # free: cost of the cheapest label at the door that remembers nothing
    for number in waiting:
        label = labels[number]
        least = label.cost + enter
        if least >= free:
            break
        if not is_off:
            if label.place == place and rest > 0:
                continue
            if (label.older | label.newer) & bit[place]:
                continue
            if label.place < places:
                least += carry[label.place, place]
                if least >= free:
                    continue
        new.cost = least
        new.older = label.older & remembered
        new.newer = (label.newer | bit[label.place]) & remembered
        new.before = number
        count = admitted(door, count)
        if door[count - 1].before == number and (new.older | new.newer) == 0:
            free = least
    return count


@njit(cache=True, nogil=True, inline="always")
def listed(labels: Labels, number: int, first: Ints, end: int) -> bool:
    """Put a label on the list of its place unless one there dominates it; say whether it is there.

    Those that it dominates come off the list.
    """
    new = labels[number]
    label, previous = first[end, new.place], NONE
    while label != NONE:
        other = labels[label]
        if dominates(other, new):
            return False
        if not dominates(new, other):
            previous = label
        elif previous == NONE:
            first[end, new.place] = other.following
        else:
            labels[previous].following = other.following
        label = other.following
    new.following = first[end, new.place]
    first[end, new.place] = number
    return True


@njit(cache=True, nogil=True, inline="always")
def leave(
    labels: Labels,
    count: int,
    first: Ints,
    entered: Any,
    day: int,
    place: int,
    lasts: int,
    price: Floats,
    action: Ints,
    to_go: Floats,
    limit: float,
) -> int:
    """Add what becomes of a label at a door, by length of its stay; return how many labels there are."""
    older, newer = entered.older, entered.newer
    for length in range(lasts):
        if length > 0:
            older, newer = remembered_after(older, newer, action[day + length])
        stay = price[day, length, place] if place < price.shape[2] else 0.0
        total, end = entered.cost + stay, day + length + 1
        if not stay < np.inf or total + to_go[end, place] > limit:
            continue
        new = labels[count]
        new.cost, new.older, new.newer = total, older, newer
        new.place, new.before, new.began = place, entered.before, day
        count += listed(labels, count, first, end)
    return count


@njit(cache=True, nogil=True)
def cheapest(labels: Labels, first: Ints) -> int:
    """Return the cheapest label of the lists that begin at `first`, or `NONE`."""
    best = NONE
    for label in first:
        while label != NONE:
            if best == NONE or labels[label].cost < labels[best].cost:
                best = label
            label = labels[label].following
    return best


@njit(cache=True, nogil=True)
def sweep(
    price: Floats,
    lasts: Ints,
    off: Floats,
    carry: Floats,
    move: float,
    rest: int,
    bit: Bits,
    remembered: Bits,
    action: Ints,
    to_go: Floats,
    limit: float,
) -> tuple[int, Labels]:
    """Run the labels of one run over its days; return the cheapest that reaches the end, and all of them.

    Labels that `to_go` shows to end above `limit` are dropped. `lasts` is what
    `rotation.engine.kernels.prices.open_lengths` says.
    """
    days, _, places = price.shape
    labels = np.empty(4096, dtype=LABEL)
    first = np.full((days + 1, places + 1), NONE, dtype=np.int32)
    start = labels[0]
    start.cost, start.older, start.newer = 0.0, EMPTY, EMPTY
    start.place, start.before, start.began, start.following = places, NONE, 0, NONE
    first[0, places] = 0
    count = 1
    door = np.empty(MOST_AT_A_DOOR + 2, dtype=LABEL)  # the last slot is for the one that knocks
    for day in range(days):
        waiting = woken(labels, first[day], action[day])
        for place in range(places + 1):
            most = lasts[day, place]
            if most == 0:
                continue
            enter = off[day] if place == places else move
            at_door = fill_door(
                door, labels, waiting, place, enter, carry, rest, bit, remembered[place]
            )
            labels = with_room(labels, count + at_door * most)
            for entry in range(at_door):
                count = leave(
                    labels, count, first, door[entry], day, place, most, price, action, to_go, limit
                )
    return cheapest(labels, first[days]), labels[:count]
