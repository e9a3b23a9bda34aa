"""A plan in a moment: one board after the other, each filled as well as its price allows.

PURE. It is what the search begins with, and what is left of it when there is no time at all.
"""

from collections.abc import Iterator, Sequence

from pens.cutting.fillings import Fillings
from pens.cutting.master import shortage_price
from pens.cutting.patterns import Choice, Counts, Pattern, Task


def cost_of(task: Task, choices: Sequence[Choice]) -> int:
    """Return what a choice costs, pieces left uncut at their forbidding price."""
    cost = sum(task.prices[pattern.stock] * count for pattern, count in choices)
    return cost + shortage_price(task) * sum(_uncut(task, choices))


def is_short(task: Task, choices: Sequence[Choice]) -> bool:
    """Tell whether a choice leaves a piece uncut."""
    return any(_uncut(task, choices))


def _uncut(task: Task, choices: Sequence[Choice]) -> Iterator[int]:
    for piece, wanted in enumerate(task.demand):
        cut = sum(pattern.counts[piece] * count for pattern, count in choices)
        yield max(0, wanted - cut)


def quick_plan(task: Task, values: Sequence[int]) -> list[Choice]:
    """Fill one board after the other for the most worth per price, without looking ahead.

    Parameters
    ----------
    task : Task
        The pieces and boards.
    values : sequence of int
        Worth of each piece, greater than 0: its length, or what column generation found.

    Returns
    -------
    list of Choice
        Room is left to saw every last piece off where that is possible at all. Pieces stay uncut
        where boards run out.
    """
    wanted = list(task.demand)
    left = list(task.available)
    choices: list[Choice] = []
    while any(wanted):
        fillings = Fillings(task, values, wanted)
        offers = list(_offers(task, fillings, left, spare=task.kerf_ticks))
        offers = offers or list(_offers(task, fillings, left, spare=0))
        if not offers:
            break
        _, _, stock, counts = max(offers)
        boards = min(want // count for want, count in zip(wanted, counts, strict=True) if count)
        limit = left[stock]
        if limit is not None:
            boards = min(boards, limit)
            left[stock] = limit - boards
        wanted = [want - boards * count for want, count in zip(wanted, counts, strict=True)]
        choices.append((Pattern(stock, counts), boards))
    return choices


def _offers(
    task: Task, fillings: Fillings, left: Sequence[int | None], spare: int
) -> Iterator[tuple[float, int, int, Counts]]:
    """Yield worth per price, worth, stock and counts of the best filling of each board left."""
    for stock, (room, price) in enumerate(zip(task.rooms, task.prices, strict=True)):
        if left[stock] != 0:
            worth, counts = fillings.best(max(0, room - spare))
            if worth:
                yield worth / price if price else float("inf"), worth, stock, counts
