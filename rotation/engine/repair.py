"""A good route of one run beside the routes of all others.

PURE.
"""

from rotation.engine.choices import Route
from rotation.engine.draft import Draft
from rotation.engine.lawful import Lawful
from rotation.engine.prices import stay_prices


def best_response(draft: Draft, number: int, width: int) -> Route:
    """Return a lawful route of a run beside the others: the cheapest that was found.

    Parameters
    ----------
    draft : Draft
        The plan; the run's own present route is left out of account.
    number : int
        The run.
    width : int
        How broad the search is; see `rotation.engine.lawful.Lawful`.
    """
    run = draft.runs[number]
    taken, prices = draft.taken_by_others(number)
    price = stay_prices(draft.grid, run, prices, taken, draft.pinned[number])
    return Lawful(draft.grid, run, price, width, taken).route()
