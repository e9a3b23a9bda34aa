"""What a route of one run costs at least from each day on; see `rotation.engine.programme`.

PURE. Compiled.
"""

import numpy as np
from numba import njit

from rotation.engine.grid import Floats, Ints
from rotation.engine.kernels import NONE


@njit(cache=True, nogil=True)
def stays_on(price: Floats, to_go: Floats, day: int, onward: Floats, lengths: Ints) -> None:
    """Write down, by place, what entering it on a day costs at least but for the way there, and how long
    a stay that costs.
    """
    _, longest, places = price.shape
    onward[:], lengths[:] = np.inf, 0
    for length in range(min(longest, len(to_go) - 1 - day)):
        for place in range(places):
            cost = price[day, length, place] + to_go[day + length + 1, place]
            if cost < onward[place]:
                onward[place], lengths[place] = cost, length + 1


@njit(cache=True, nogil=True)
def next_place(
    left: int,
    best: float,
    onward: Floats,
    least: Floats,
    carry: Floats,
    near: Floats,
    order: Ints,
    begins: Ints,
    rest: int,
) -> tuple[float, int]:
    """Return the cheapest place to enter after leaving one, and its cost, if one is below `best`.

    Places are looked at by neighbourhood, and only where the cheapest of a neighbourhood, carried from its
    nearest place, could be cheaper. `least` holds the cheapest of each, `near` the nearest.
    """
    entered, cells = NONE, len(least)
    first, promise = 0, np.inf
    for cell in range(cells):
        if least[cell] + near[left, cell] < promise:
            first, promise = cell, least[cell] + near[left, cell]
    for turn in range(-1, cells):
        cell = first if turn < 0 else turn  # the most promising first, so that it spares the others
        if least[cell] + near[left, cell] >= best:
            continue
        for slot in range(begins[cell], begins[cell + 1]):
            place = order[slot]
            cost = onward[place] + carry[left, place]
            if cost < best and (place != left or rest == 0):
                best, entered = cost, place
    return best, entered


@njit(cache=True, nogil=True)
def cheapest_places(onward: Floats, order: Ints, begins: Ints, least: Floats) -> int:
    """Write down the least of each neighbourhood; return the cheapest place of all, if any."""
    best = NONE
    for cell in range(len(least)):
        least[cell] = np.inf
        for slot in range(begins[cell], begins[cell + 1]):
            place = order[slot]
            least[cell] = min(least[cell], onward[place])
            if best == NONE or onward[place] < onward[best]:
                best = place
    return best


@njit(cache=True, nogil=True)
def costs_to_go(
    price: Floats,
    off: Floats,
    carry: Floats,
    near: Floats,
    order: Ints,
    begins: Ints,
    move: float,
    rest: int,
) -> tuple[Floats, Ints, Ints]:
    """Return the least further cost by day and place just left, when only that place is remembered; and where
    the pen goes from there, `NONE` being off the beds, and for how long.

    The places in `order` are neighbourhoods, each from its number in `begins` on; `near` says how near the
    nearest place of each is. Of places that no stay leaves on a day, nothing is said: their cost is inf.
    """
    days, longest, places = price.shape
    to_go = np.full((days + 1, places + 1), np.inf)
    to_go[days] = 0.0
    enters = np.full((days, places + 1), NONE)
    lasts = np.ones((days, places + 1), dtype=np.int64)
    onward, lengths = np.empty(places), np.empty(places, dtype=np.int64)
    least = np.empty(len(begins) - 1)
    for day in range(days - 1, -1, -1):
        stays_on(price, to_go, day, onward, lengths)
        stay_off = off[day] + to_go[day + 1, places]
        cheapest = cheapest_places(onward, order, begins, least)
        for left in range(places + 1):
            best, entered = stay_off - move, NONE
            if left == places:
                if cheapest != NONE and onward[cheapest] < best:
                    best, entered = onward[cheapest], cheapest
            else:
                ends = False
                for length in range(min(longest, day)):
                    ends |= price[day - length - 1, length, left] < np.inf
                if not ends:
                    continue
                best, entered = next_place(
                    left, best, onward, least, carry, near, order, begins, rest
                )
            to_go[day, left], enters[day, left] = best + move, entered
            if entered != NONE:
                lasts[day, left] = lengths[entered]
    return to_go, enters, lasts
