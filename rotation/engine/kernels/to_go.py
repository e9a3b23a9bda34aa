"""What a route of one run costs at least from each day on; see `rotation.engine.programme`.

PURE. Compiled.
"""

import numpy as np
from numba import njit

from rotation.engine.grid import Floats


@njit(cache=True, nogil=True)
def costs_to_go(price: Floats, off: Floats, carry: Floats, move: float, rest: int) -> Floats:
    """Return the least further cost by day and place just left, when only the place just left is
    remembered.
    """
    days, longest, places = price.shape
    to_go = np.zeros((days + 1, places + 1))
    onward = np.empty(places)
    for day in range(days - 1, -1, -1):
        for place in range(places):
            onward[place] = np.inf
            for length in range(min(longest, days - day)):
                onward[place] = min(
                    onward[place], price[day, length, place] + to_go[day + length + 1, place]
                )
        order = np.argsort(onward)
        stay_off = off[day] + to_go[day + 1, places]
        for place in range(places + 1):
            best = stay_off
            for entered in order:
                cost = onward[entered] + move
                # carrying costs nothing at least, so none of the dearer places can be better
                if cost >= best:
                    break
                if entered != place or rest == 0:
                    if place < places:
                        cost += carry[place, entered]
                    best = min(best, cost)
            to_go[day, place] = best
    return to_go
