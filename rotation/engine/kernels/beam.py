"""Cheap lawful routes of one run by the cheapest parts of routes; see `rotation.engine.lawful`.

PURE. Compiled. The days a pen is off the beds are spent at one place more, the last. The parts that leave a
place on a day are ``kept[day, place, : many[day, place]]``, cheapest first.
"""

from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

from rotation.engine.grid import Floats, Ints
from rotation.engine.kernels import NONE
from rotation.engine.kernels.room import with_room

PART = np.dtype(
    [
        ("cost", np.float64),
        ("visited", np.uint64),
        ("place", np.int32),
        ("before", np.int32),
        ("began", np.int32),
        ("ended", np.int32),
    ],
    align=True,
)
"""A part of a route: its cost, what it visited as one number, the place just left, the part before it and its
last stay. One record, because what is compared together is then read together."""

Parts = NDArray[Any]


@njit(cache=True, nogil=True)
def by_cost(parts: Parts, kept: Ints, many: Ints) -> Ints:
    """Return the parts kept on one day, cheapest first."""
    count = many.sum()
    here, cost = np.empty(count, dtype=np.int32), np.empty(count)
    count = 0
    for place in range(len(many)):
        for rank in range(many[place]):
            here[count] = kept[place, rank]
            cost[count] = parts[here[count]].cost
            count += 1
    return here[np.argsort(cost)]


@njit(cache=True, nogil=True, inline="always")
def is_resting(parts: Parts, number: int, place: int, day: int, rest: int) -> bool:
    """Say whether a part of a route left a place less than a rest before a day."""
    while number != NONE:
        part = parts[number]
        if part.ended + rest <= day:
            return False
        if part.place == place:
            return True
        number = part.before
    return False


@njit(cache=True, nogil=True, inline="always")
def fill_door(
    door: Ints,
    door_cost: Floats,
    parts: Parts,
    waiting: Ints,
    place: int,
    day: int,
    enter: float,
    carry: Floats,
    rest: int,
) -> int:
    """Put the parts that enter a place on a day most cheaply at its door, cheapest first; return how many.

    At the door they have paid for entering.
    """
    places, width, count = len(carry), len(door), 0
    for number in waiting:
        part = parts[number]
        cost = part.cost + enter
        if count == width and cost >= door_cost[width - 1]:
            break
        if place < places:
            if part.place < places:
                cost += carry[part.place, place]
                if count == width and cost >= door_cost[width - 1]:
                    continue
            if is_resting(parts, number, place, day, rest):
                continue
        slot = min(count, width - 1)
        while slot > 0 and door_cost[slot - 1] > cost:
            door[slot], door_cost[slot] = door[slot - 1], door_cost[slot - 1]
            slot -= 1
        door[slot], door_cost[slot] = number, cost
        count = min(count + 1, width)
    return count


@njit(cache=True, nogil=True, inline="always")
def dropped_before(
    parts: Parts, number: int, place: int, day: int, nitrogen_g: Floats, window: Ints
) -> tuple[float, float]:
    """Return what a part of a route dropped at a place, and of that in the window open there on a day [g]."""
    spot_g, window_g = 0.0, 0.0
    while parts[number].before != NONE:
        part = parts[number]
        if part.place == place:
            dropped_g = nitrogen_g[part.began, part.ended - part.began - 1]
            spot_g += dropped_g
            if window[part.began, place] == window[day, place]:
                window_g += dropped_g
        number = part.before
    return spot_g, window_g


@njit(cache=True, nogil=True, inline="always")
def slot_for(
    parts: Parts, kept: Ints, many: Ints, end: int, place: int, cost: float, visited: int
) -> int:
    """Make room for a new part among those that leave its place on its day, if it is one of the cheapest.

    Returns its slot, or `NONE`. Of parts that visited the same places only one is kept.
    """
    width, count = kept.shape[2], many[end, place]
    if count == width and cost >= parts[kept[end, place, count - 1]].cost:
        return NONE
    slot = 0
    while slot < count and parts[kept[end, place, slot]].visited != visited:
        slot += 1
    if slot < count:
        if cost >= parts[kept[end, place, slot]].cost:
            return NONE
    elif count < width:
        many[end, place] = count + 1
    else:
        slot = width - 1
    while slot > 0 and parts[kept[end, place, slot - 1]].cost > cost:
        kept[end, place, slot] = kept[end, place, slot - 1]
        slot -= 1
    return slot


@njit(cache=True, nogil=True, inline="always")
def leave(
    parts: Parts,
    count: int,
    kept: Ints,
    many: Ints,
    entered: tuple[int, float, int],
    price: Floats,
    where: tuple[int, int, int],
    nitrogen_g: Floats,
    had_g: tuple[float, float],
    left_g: tuple[float, float],
) -> int:
    """Add what becomes of a part at a place's door, by length of its stay; return how many parts there are.

    `entered` is its number, what it has paid and the place's sign; `where` is the day, the place and the most
    days of a stay. What the spot and its window `had_g` of it before must, with the stay, fit into what is
    `left_g` of them; a stay that does not fit alone is shut.
    """
    (source, cost, sign), (day, place, lasts) = entered, where
    visited = parts[source].visited ^ sign
    for length in range(lasts):
        stay = price[day, length, place] if place < price.shape[2] else 0.0
        if not stay < np.inf:
            continue
        if had_g[0] > 0:
            dropped_g = nitrogen_g[day, length]
            if had_g[0] + dropped_g > left_g[0] or had_g[1] + dropped_g > left_g[1]:
                continue
        total, end = cost + stay, day + length + 1
        slot = slot_for(parts, kept, many, end, place, total, visited)
        if slot == NONE:
            continue
        new = parts[count]
        new.cost, new.visited, new.before = total, visited, source
        new.place, new.began, new.ended = place, day, end
        kept[end, place, slot] = count
        count += 1
    return count


@njit(cache=True, nogil=True)
def beam(
    price: Floats,
    lasts: Ints,
    off: Floats,
    carry: Floats,
    move: float,
    rest: int,
    width: int,
    nitrogen_g: Floats,
    window: Ints,
    window_left_g: Floats,
    spot_left_g: Floats,
    sign: NDArray[np.uint64],
) -> tuple[Ints, Parts]:
    """Follow the `width` cheapest lawful parts of routes that leave each place on each day.

    Returns those that reach the end, cheapest first, and all parts. `lasts` is what
    `rotation.engine.kernels.prices.open_lengths` says. `window_left_g` is by window, `spot_left_g` by place;
    a second visit of the run itself must fit into what its first left. `sign` holds a random number a place,
    and 0 for off the beds, so that parts that visited the same places are known.
    """
    days, _, places = price.shape
    parts = np.empty(4096, dtype=PART)
    kept = np.full((days + 1, places + 1, width), NONE, dtype=np.int32)
    many = np.zeros((days + 1, places + 1), dtype=np.int32)
    start = parts[0]
    start.cost, start.visited, start.place = 0.0, np.uint64(0), places
    start.before, start.began, start.ended = NONE, 0, 0
    kept[0, places, 0], many[0, places], count = 0, 1, 1
    door, door_cost = np.empty(width, dtype=np.int32), np.empty(width)
    for day in range(days):
        waiting = by_cost(parts, kept[day], many[day])
        for place in range(places + 1):
            most = lasts[day, place]
            if most == 0:
                continue
            is_off = place == places
            enter = off[day] if is_off else move
            at_door = fill_door(door, door_cost, parts, waiting, place, day, enter, carry, rest)
            parts = with_room(parts, count + at_door * most)
            where = (day, place, most)
            had_g = left_g = (0.0, 0.0)
            if not is_off:
                left_g = (spot_left_g[place], window_left_g[window[day, place]])
            for at in range(at_door):
                # on a day that a pin holds there is only the pin, and it is counted already
                if not is_off and off[day] < np.inf:
                    had_g = dropped_before(parts, door[at], place, day, nitrogen_g, window)
                entered = (door[at], door_cost[at], sign[place])
                count = leave(
                    parts, count, kept, many, entered, price, where, nitrogen_g, had_g, left_g
                )
    return by_cost(parts, kept[days], many[days]), parts[:count]
