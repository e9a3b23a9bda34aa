"""Which levels of nitrogen fit on one spot together; see `rotation.engine.levels`.

PURE. Compiled.
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray

from rotation.engine.grid import Floats, Ints


@njit(cache=True, nogil=True)
def level_sets(
    room_g: float,
    window_room_g: Floats,
    nitrogen_g: Floats,
    window_of: Ints,
    kind_of: Ints,
    meets: NDArray[np.bool_],
    most: int,
) -> tuple[NDArray[np.int8], Floats, Floats, NDArray[np.bool_]]:
    """List every set of levels, repeats allowed, that fits into a spot's rooms and whose kinds all meet.

    Kinds are runs in windows; ``meets[a, b]`` says whether visits of two kinds can lie a rest apart.
    Returns, by set: how often it has each level, what it leaves of the spot and of each window, and which
    kinds could still join it. The first set is the empty one. An answer of `most` rows is cut short.
    """
    levels, windows, kinds = len(nitrogen_g), len(window_room_g), len(meets)
    counts = np.zeros((most, levels), dtype=np.int8)
    left_g = np.empty(most)
    window_left_g = np.empty((most, windows))
    joins = np.ones((most, kinds), dtype=np.bool_)
    from_level = np.zeros(most, dtype=np.int64)
    left_g[0] = room_g
    window_left_g[0] = window_room_g
    found = 1
    at = 0
    while at < found:
        # levels are added in order, so that no set is listed twice
        for level in range(from_level[at], levels):
            window, kind = window_of[level], kind_of[level]
            if not joins[at, kind]:
                continue
            if nitrogen_g[level] > min(left_g[at], window_left_g[at, window]):
                continue
            if found == most:
                return counts, left_g, window_left_g, joins
            counts[found] = counts[at]
            counts[found, level] += 1
            left_g[found] = left_g[at] - nitrogen_g[level]
            window_left_g[found] = window_left_g[at]
            window_left_g[found, window] -= nitrogen_g[level]
            for other in range(kinds):
                joins[found, other] = joins[at, other] and meets[kind, other]
            from_level[found] = level
            found += 1
        at += 1
    return counts[:found], left_g[:found], window_left_g[:found], joins[:found]
