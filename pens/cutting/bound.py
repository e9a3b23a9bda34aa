"""A cost that no plan can go below, proven in whole numbers.

PURE. Column generation [1]_ [2]_: the relaxed master prices the pieces, the most valuable filling
of a board at those prices is a pattern to add, and when no board can be filled to more than its own
price, the prices of the pieces wanted add up to a bound. The bound is taken from the prices in
exact arithmetic, so it holds whatever the solver rounded, and when time ends the search early.

References
----------
.. [1] Gilmore, P. C. and Gomory, R. E., "A linear programming approach to the cutting-stock
   problem", Operations Research 9(6), 1961, pp. 849-859, doi:10.1287/opre.9.6.849. From memory.
.. [2] Farley, A. A., "A note on bounding a class of linear programming problems, including cutting
   stock problems", Operations Research 38(5), 1990, pp. 922-923. From memory.
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from pens.cutting.master import Master
from pens.cutting.patterns import Fillings, Pattern, Task

_PRICE_STEPS = 10**9
"""Steps that the price of the dearest board is divided into when prices are made whole."""

_NO_GAIN = 100
"""Steps a filling must be worth above its board to be added: less is the solver's rounding."""


@dataclass(frozen=True, slots=True)
class Certificate:
    """Prices, in steps, that prove a bound: no filling is worth more than its board costs.

    For every stock, worth of any filling <= its price × `scale` − `relief`; `relief` is never above
    0, and is 0 where there is no end of the stock.
    """

    values: tuple[int, ...]
    reliefs: tuple[int, ...]
    scale: int
    bound_steps: int

    @property
    def bound(self) -> Fraction:
        """The proven lower bound, in the task's price unit."""
        return Fraction(self.bound_steps, self.scale)

    def board_steps(self, task: Task, stock: int) -> int:
        """Return what a board of a stock costs at these prices: no filling is worth more."""
        return task.prices[stock] * self.scale - self.reliefs[stock]

    def spare_steps(self, cost: int) -> int:
        """Return by how much, in all, the fillings of a plan of this cost may fall short.

        A plan costs at least the bound plus, for each board, what its filling is worth less than
        the board. So no board of the plan falls short by more than this.
        """
        return cost * self.scale - self.bound_steps


@dataclass(frozen=True, slots=True)
class Relaxation:
    """What column generation leaves: the bound, and patterns with how many boards, in parts."""

    certificate: Certificate
    patterns: list[Pattern]
    boards: tuple[float, ...]


def certify(task: Task, values: Sequence[int], worths: Sequence[int], scale: int) -> Certificate:
    """Turn any prices into ones that prove a bound.

    Parameters
    ----------
    task : Task
        The pieces and boards.
    values : sequence of int
        Worth of each piece, not negative. [steps]
    worths : sequence of int
        The most a board of each stock can be filled to, at these values. [steps]
    scale : int
        Steps in the task's price unit.

    Returns
    -------
    Certificate
        With all values lowered alike until no unlimited board can be filled to more than its price.
    """
    share = Fraction(1)
    for price, most, worth in zip(task.prices, task.available, worths, strict=True):
        if most is None and worth > price * scale:
            share = min(share, Fraction(price * scale, worth))
    lowered = tuple(floor(value * share) for value in values)
    reliefs = tuple(
        0 if most is None else min(0, price * scale - floor(worth * share))
        for price, most, worth in zip(task.prices, task.available, worths, strict=True)
    )
    bound_steps = sum(v * wanted for v, wanted in zip(lowered, task.demand, strict=True))
    bound_steps += sum(r * (most or 0) for r, most in zip(reliefs, task.available, strict=True))
    return Certificate(lowered, reliefs, scale, max(0, bound_steps))


def relax(task: Task, patterns: Sequence[Pattern], good_enough: int, deadline: float) -> Relaxation:
    """Generate patterns until the relaxed master cannot be improved, or time is up.

    Parameters
    ----------
    task : Task
        The pieces and boards.
    patterns : sequence of Pattern
        Patterns to begin with.
    good_enough : int
        Stop early once the bound is above this cost less one.
    deadline : float
        Of the monotonic clock. [s]

    Returns
    -------
    Relaxation
        The best bound seen; all patterns, those begun with first, the last without boards.
    """
    scale = max(1, _PRICE_STEPS // max(1, *task.prices))
    master = Master(task, patterns)
    known = dict.fromkeys(patterns)
    nothing = (0,) * len(task.takes)
    best = certify(task, nothing, [0] * len(task.prices), scale)
    while True:
        prices = master.relaxed()
        values = _whole_values(task, prices.piece_prices, scale)
        fillings = Fillings(task, values, task.demand)
        worths = [fillings.best(room)[0] for room in task.rooms]
        best = max(best, certify(task, values, worths, scale), key=lambda c: c.bound_steps)
        new = []
        for stock, worth in enumerate(worths):
            charged = (task.prices[stock] - prices.stock_prices[stock]) * scale
            if worth > charged + _NO_GAIN:
                new.extend(_fillings_of(task, stock, fillings))
        fresh = [pattern for pattern in new if pattern not in known]
        if not fresh or best.bound > good_enough - 1 or time.monotonic() > deadline:
            return Relaxation(best, [*known, *fresh], prices.boards)
        for pattern in fresh:
            known[pattern] = None
            master.add(pattern)


def _whole_values(task: Task, prices: Sequence[float], scale: int) -> list[int]:
    """Make prices whole, and nothing of a piece that a board without end gives for nothing."""
    free_room = max(
        (room for room, price, most in zip(task.rooms, task.prices, task.available, strict=True)
         if price == 0 and most is None), default=0,
    )  # fmt: skip
    return [
        0 if take <= free_room else floor(price * scale)
        for take, price in zip(task.takes, prices, strict=True)
    ]


def _fillings_of(task: Task, stock: int, fillings: Fillings) -> list[Pattern]:
    """Return the best pattern of a stock, and the best that leaves room to saw the last piece off.

    The second is worth no more, but lets the whole-board search avoid cutting slivers.
    """
    room = task.rooms[stock]
    rooms = {room, max(0, room - task.kerf_ticks)}
    counts = {task.topped_up(fillings.best(within)[1], within) for within in rooms}
    return [Pattern(stock, one) for one in sorted(counts, reverse=True) if any(one)]


def next_sum(bound: int, prices: Sequence[int]) -> int:
    """Return the least whole cost, `bound` or more, that some number of boards can add up to.

    Parameters
    ----------
    bound : int
        A proven lower bound.
    prices : sequence of int
        Prices of the stocks, in the same unit.

    Returns
    -------
    int
        `bound` itself where it is too large to be worth the arithmetic.
    """
    dear = [price for price in set(prices) if price > 0]
    if bound <= 0 or not dear or bound > _LARGEST_SUM:
        return max(0, bound)
    limit = bound + min(dear)
    sums = 1  # bit n is set when boards can cost n
    for price in dear:
        step = price
        while step <= limit:
            sums |= (sums << step) & ((1 << (limit + 1)) - 1)
            step *= 2
    reached = sums >> bound
    return bound + (reached & -reached).bit_length() - 1


_LARGEST_SUM = 1_000_000
