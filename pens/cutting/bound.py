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

from pens.cutting.apart import Apart, FillingsApart, OutOfTimeError
from pens.cutting.fillings import Fillings
from pens.cutting.master import Master
from pens.cutting.patterns import Pattern, Task

_PRICE_STEPS = 10**9
"""Steps that the price of the dearest board is divided into when prices are made whole."""

_AT_ONCE = 6
"""Patterns of one stock that are added in one round at most. Our choice."""

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
    """What column generation leaves: the bound, and patterns with how many boards, in parts.

    `is_settled` tells whether no further pattern would make it cheaper.
    """

    certificate: Certificate
    patterns: list[Pattern]
    boards: tuple[float, ...]
    is_settled: bool = True


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


def relax(
    task: Task,
    patterns: Sequence[Pattern],
    good_enough: int,
    deadline: float,
    apart: Apart = (),
) -> Relaxation:
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
    apart : tuple of frozenset of int
        For each piece, those that may not come from the same board with it; empty where all may.

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
        charged = [
            floor((price - relief) * scale)
            for price, relief in zip(task.prices, prices.stock_prices, strict=True)
        ]
        try:
            priced = _priced(task, values, charged, apart, deadline)
        except OutOfTimeError:
            return Relaxation(best, list(known), prices.boards, is_settled=False)
        worths = [worth for worth, _ in priced]
        best = max(best, certify(task, values, worths, scale), key=lambda c: c.bound_steps)
        fresh = [pattern for _, new in priced for pattern in new if pattern not in known]
        if not fresh or best.bound > good_enough - 1 or time.monotonic() > deadline:
            return Relaxation(best, [*known, *fresh], prices.boards, is_settled=not fresh)
        for pattern in fresh:
            known[pattern] = None
            master.add(pattern)


def _priced(
    task: Task, values: Sequence[int], charged: Sequence[int], apart: Apart, deadline: float
) -> list[tuple[int, list[Pattern]]]:
    """Return for each stock what no filling is worth more than, and patterns worth more than charged."""
    if any(apart):
        kept_apart = FillingsApart(task, values, apart, deadline)
        found = [kept_apart.best(room, charged[n]) for n, room in enumerate(task.rooms)]
        return [
            (worth, [Pattern(n, counts)] if counts and worth > charged[n] + _NO_GAIN else [])
            for n, (worth, counts) in enumerate(found)
        ]
    fillings = Fillings(task, values, task.demand, charged)
    priced = []
    for stock, room in enumerate(task.rooms):
        # What is not worth more than is charged was left out, so that is what nothing goes above.
        worth = max(charged[stock], fillings.best(room)[0])
        gains = worth > charged[stock] + _NO_GAIN
        new = _fillings_of(task, stock, fillings, charged[stock] + _NO_GAIN) if gains else []
        priced.append((worth, new))
    return priced


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


def _fillings_of(task: Task, stock: int, fillings: Fillings, above: int) -> list[Pattern]:
    """Return good patterns of a stock, and the best that leaves room to saw the last piece off.

    That one is worth no more, but lets the whole-board search avoid cutting slivers.
    """
    room = task.rooms[stock]
    counts = {task.topped_up(one, room) for one in fillings.good(room, above, _AT_ONCE)}
    within = max(0, room - task.kerf_ticks)
    counts.add(task.topped_up(fillings.best(within)[1], within))
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
