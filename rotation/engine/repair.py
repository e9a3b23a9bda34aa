"""The best route of one run beside the routes of all others.

PURE.
"""

from dataclasses import replace

import numpy as np

from rotation.engine.choices import Choices, Route
from rotation.engine.draft import Draft, overload
from rotation.engine.grid import Floats
from rotation.engine.lawful import LawfulSearch
from rotation.engine.prices import Prices, stay_prices
from rotation.engine.pricing import Relaxed, too_close


def best_response(draft: Draft, number: int, width: int, charge: Prices | None = None) -> Route:
    """Return a lawful route of a run beside the others: the cheapest that was found.

    Parameters
    ----------
    draft : Draft
        The plan; the run's own present route is left out of account.
    number : int
        The run.
    width : int
        How many labels of a day the search for a lawful route follows.
    charge : Prices, optional
        Prices on top of the draft's own, to make scarce spots dearer than they are.
    """
    run = draft.runs[number]
    taken, prices = draft.taken_by_others(number)
    if charge is not None:
        prices = replace(
            prices,
            busy=charge.busy,
            window_room=charge.window_room,
            spot_room=charge.spot_room,
        )
    price = stay_prices(draft.grid, run, prices, taken)
    while True:
        route = _lawful_route(draft.grid.rest, run, price, width)
        crowded = overload(run, route, draft.pinned[number], taken)
        if crowded is None:
            return route
        price = price.copy()
        price[run.at(crowded)] = np.inf


def _lawful_route(rest: int, run: Choices, price: Floats, width: int) -> Route:
    relaxed = Relaxed(run, price)
    route = relaxed.route()
    if too_close(route, rest) is None:
        return route
    return LawfulSearch(relaxed, rest, width).route()
