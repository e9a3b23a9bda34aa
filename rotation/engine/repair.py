"""A good route of one run beside the routes of all others.

PURE.
"""

from dataclasses import replace

from rotation.engine.choices import Route
from rotation.engine.draft import Draft
from rotation.engine.lawful import Lawful
from rotation.engine.prices import Prices, stay_prices


def best_response(draft: Draft, number: int, width: int, charge: Prices | None = None) -> Route:
    """Return a lawful route of a run beside the others: the cheapest that was found.

    Parameters
    ----------
    draft : Draft
        The plan; the run's own present route is left out of account.
    number : int
        The run.
    width : int
        How broad the search is; see `rotation.engine.lawful.Lawful`.
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
    price = stay_prices(draft.grid, run, prices, taken, draft.pinned[number])
    return Lawful(draft.grid, run, price, width, taken).route()
