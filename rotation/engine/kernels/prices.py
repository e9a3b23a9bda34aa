"""What each stay of a run costs at given prices, and which stays other runs shut; see `rotation.engine.prices`.

PURE. Compiled. Arrays of stays have the axes day within the run, length less one, place.
"""

import numpy as np
from numba import njit

from rotation.engine.grid import Floats, Ints

WAYS = (0, 2, 3)
"""The parts in which a stay is counted against a room; see `rotation.engine.prices.crowding`."""


@njit(cache=True, nogil=True, inline="always")
def crowded(nitrogen_g: float, room_g: float, parts: int) -> float:
    """Return what a stay takes of a room counted in `parts`; see `rotation.engine.prices.crowding`."""
    share = nitrogen_g / room_g
    if parts == 0:
        return share
    scaled = parts * share
    # a share that is whole but for rounding must not be counted as one part more or less
    if abs(scaled - np.rint(scaled)) < 1e-9:
        return share
    return np.floor(scaled) / (parts - 1)


@njit(cache=True, nogil=True, inline="always")
def with_rooms(
    cost: float,
    nitrogen_g: float,
    window_price: Floats,
    window_room_g: float,
    spot_price: Floats,
    spot_room_g: float,
) -> float:
    """Return a cost and what a stay pays for its window's room and its spot's, by way of counting."""
    for way, parts in enumerate(WAYS):
        if window_price[way] > 0:
            cost += window_price[way] * crowded(nitrogen_g, window_room_g, parts)
        if spot_price[way] > 0:
            cost += spot_price[way] * crowded(nitrogen_g, spot_room_g, parts)
    return cost


@njit(cache=True, nogil=True)
def price_stays(
    base: Floats,
    nitrogen_g: Floats,
    window: Ints,
    spots: Ints,
    first_day: int,
    rest: int,
    busy: Floats,
    window_price: Floats,
    spot_price: Floats,
    window_room_g: Floats,
    spot_room_g: Floats,
    earned_gram: Floats,
    earned_up_to_g: Floats,
    steps_of: Ints,
    step_from_g: Floats,
    step_charge: Floats,
) -> Floats:
    """Return what each stay costs but for entering it, shaped like `base`.

    `busy` holds running sums of the day prices, one row a day and one more; the rooms include the
    tolerance. ``steps_of[w] : steps_of[w + 1]`` are the steps of what window ``w`` charges on top, each
    from some nitrogen on.
    """
    days, longest, places = base.shape
    out = np.full(base.shape, np.inf)
    last = len(busy) - 1
    for place in range(places):
        spot = spots[place]
        spot_pays, spot_g = spot_price[:, spot], spot_room_g[spot]
        for day in range(days):
            at, start = window[day, place], first_day + day
            window_pays, window_g = window_price[:, at], window_room_g[at]
            # most rooms are free, and counting a stay against one is the dear part
            pays = False
            for way in range(len(WAYS)):
                pays |= window_pays[way] > 0 or spot_pays[way] > 0
            gram, up_to_g = earned_gram[at], earned_up_to_g[at]
            for length in range(longest):
                cost = base[day, length, place]
                if not cost < np.inf:
                    continue
                end = min(start + length + 1 + rest, last)
                dropped_g = nitrogen_g[day, length]
                cost += busy[end, spot] - busy[start, spot]
                cost -= gram * min(dropped_g, up_to_g)
                if pays:
                    cost = with_rooms(cost, dropped_g, window_pays, window_g, spot_pays, spot_g)
                for step in range(steps_of[at], steps_of[at + 1]):
                    if dropped_g >= step_from_g[step]:
                        cost += step_charge[step]
                out[day, length, place] = cost
    return out


@njit(cache=True, nogil=True)
def shut_taken(
    price: Floats,
    nitrogen_g: Floats,
    window: Ints,
    spots: Ints,
    first_day: int,
    rest: int,
    busy: Ints,
    window_left_g: Floats,
    spot_left_g: Floats,
    slack_g: float,
) -> None:
    """Shut, in place, the stays that other runs leave no days or no room for.

    `busy` counts the visits that cover a day and spot; rests are counted with the visits.
    """
    days, longest, places = price.shape
    last = len(busy)
    for place in range(places):
        spot = spots[place]
        for day in range(days):
            start, at = first_day + day, window[day, place]
            left_g = min(window_left_g[at], spot_left_g[spot]) + slack_g
            blocked = busy[start, spot] > 0
            reached = start
            for length in range(longest):
                # a longer stay covers all days of a shorter one, so each day is looked at once
                end = min(start + length + 1 + rest, last)
                while not blocked and reached < end:
                    blocked = busy[reached, spot] > 0
                    reached += 1
                if blocked or nitrogen_g[day, length] > left_g:
                    price[day, length, place] = np.inf


@njit(cache=True, nogil=True)
def open_lengths(price: Floats, off: Floats) -> Ints:
    """Return the most days that a stay may last by day and place, 0 if none is open; last, off the beds."""
    days, longest, places = price.shape
    lasts = np.zeros((days, places + 1), dtype=np.int64)
    for day in range(days):
        for length in range(min(longest, days - day)):
            for place in range(places):
                if price[day, length, place] < np.inf:
                    lasts[day, place] = length + 1
        if off[day] < np.inf:
            lasts[day, places] = 1
    return lasts
