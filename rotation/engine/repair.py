"""A good route of one run beside the routes of all others.

PURE.
"""

from rotation.engine.choices import Choices, Route
from rotation.engine.draft import Draft
from rotation.engine.lawful import Lawful
from rotation.engine.prices import stay_prices


def best_response(draft: Draft, run: Choices, width: int) -> Route:
    """Return a lawful route of a run beside the others: the cheapest that was found.

    Parameters
    ----------
    draft : Draft
        The plan; the run's own present route is left out of account.
    run : Choices
        The run, with what it must keep in the draft.
    width : int
        How broad the search is; see `rotation.engine.lawful.Lawful`.
    """
    taken, prices = draft.taken_by_others(run.number)
    price = stay_prices(draft.grid, run, prices, taken, draft.held[run.number])
    return Lawful(draft.grid, run, price, width, taken).route()
