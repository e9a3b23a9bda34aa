"""The master problem: how many boards to cut by each of the patterns known so far.

PURE. HiGHS [1]_ solves it, relaxed for the prices that lead to better patterns, or in whole boards.

References
----------
.. [1] Huangfu, Q. and Hall, J. A. J., "Parallelizing the dual revised simplex method", Mathematical
   Programming Computation 10(1), 2018, pp. 119-142, doi:10.1007/s12532-017-0130-5. From memory.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, isfinite

import highspy

from garden.quiet_highs import quiet_highs
from pens.cutting.patterns import Choice, Pattern, Task

_BOUND_TOLERANCE = 1e-6
"""HiGHS works in floating point: its bound is lowered by this share of itself before it is used."""


_LEAST_SECONDS = 0.01
"""HiGHS is given this much time even where none is left, enough to come back. [s]"""


@dataclass(frozen=True, slots=True)
class Relaxed:
    """Boards in parts, and what they charge for pieces, and for stocks (never above 0)."""

    piece_prices: tuple[float, ...]
    stock_prices: tuple[float, ...]
    boards: tuple[float, ...]


def shortage_price(task: Task) -> int:
    """Return what a piece left uncut costs: more than all pieces cut from boards of their own."""
    return 1 + sum(task.demand) * max(task.prices)


class Master:
    """How many boards to cut by each pattern, as a linear programme.

    Rows: every piece is cut often enough, no stock is overdrawn. Columns: uncut pieces, patterns.
    Uncut pieces at a forbidding price keep the rows satisfiable, whatever the stock.
    """

    def __init__(self, task: Task, patterns: Iterable[Pattern]) -> None:
        self._task = task
        self._patterns: list[Pattern] = []
        self._known: set[Pattern] = set()
        self._first_pattern = len(task.demand)
        self._highs = quiet_highs()
        for wanted in task.demand:
            self._highs.addRow(wanted, highspy.kHighsInf, 0, [], [])
        self._limited = [n for n, most in enumerate(task.available) if most is not None]
        self._stock_row = {stock: len(task.demand) + i for i, stock in enumerate(self._limited)}
        for stock in self._limited:
            self._highs.addRow(-highspy.kHighsInf, task.available[stock], 0, [], [])
        for piece, wanted in enumerate(task.demand):
            self._highs.addCol(shortage_price(task), 0, wanted, 1, [piece], [1.0])
        for pattern in patterns:
            self.add(pattern)

    def add(self, pattern: Pattern) -> None:
        """Offer one more pattern."""
        rows = [piece for piece, count in enumerate(pattern.counts) if count]
        counts = [float(pattern.counts[piece]) for piece in rows]
        if pattern.stock in self._stock_row:
            rows.append(self._stock_row[pattern.stock])
            counts.append(1.0)
        price = self._task.prices[pattern.stock]
        self._highs.addCol(price, 0, highspy.kHighsInf, len(rows), rows, counts)
        self._patterns.append(pattern)
        self._known.add(pattern)

    def knows(self, pattern: Pattern) -> bool:
        """Whether a pattern is offered already."""
        return pattern in self._known

    @property
    def patterns(self) -> tuple[Pattern, ...]:
        """All patterns on offer, in the order of `Relaxed.boards`."""
        return tuple(self._patterns)

    def ask(self, rest: Task) -> None:
        """Ask only for what is left to cut, and shut out patterns that would cut more than that."""
        for piece, wanted in enumerate(rest.demand):
            self._highs.changeRowBounds(piece, wanted, highspy.kHighsInf)
            self._highs.changeColBounds(piece, 0, wanted)
        for stock, row in self._stock_row.items():
            self._highs.changeRowBounds(row, -highspy.kHighsInf, rest.available[stock])
        for number, pattern in enumerate(self._patterns):
            fits = all(n <= most for n, most in zip(pattern.counts, rest.demand, strict=True))
            most = highspy.kHighsInf if fits else 0
            self._highs.changeColBounds(self._first_pattern + number, 0, most)

    def cost(self) -> float:
        """Return what the relaxed plan costs that was last solved."""
        return self._highs.getInfo().objective_function_value

    def relaxed(self) -> Relaxed:
        """Solve with boards in parts and return what pieces and stocks are worth."""
        self._highs.run()
        solution = self._highs.getSolution()
        duals = solution.row_dual
        stock_prices = [0.0] * len(self._task.prices)
        for stock, row in self._stock_row.items():
            stock_prices[stock] = min(0.0, duals[row])
        piece_prices = tuple(max(0.0, dual) for dual in duals[: self._first_pattern])
        boards = tuple(solution.col_value[self._first_pattern :])
        return Relaxed(piece_prices, tuple(stock_prices), boards)

    def whole(self, seconds: float) -> tuple[list[Choice] | None, int]:
        """Solve in whole boards.

        Parameters
        ----------
        seconds : float
            Time allowed. [s]

        Returns
        -------
        choices : list of Choice or None
            The best plan found, which may leave pieces uncut; None if none was found in time.
        bound : int
            No choice among these patterns costs less.

        Notes
        -----
        HiGHS is not told the best plan known: version 1.16.0, given one by ``setSolution``, called
        a plan of 5912 optimal at 5830 where 5902 was the least.
        """
        for column in range(self._first_pattern + len(self._patterns)):
            self._highs.changeColIntegrality(column, highspy.HighsVarType.kInteger)
        self._highs.setOptionValue("time_limit", max(seconds, _LEAST_SECONDS))
        self._highs.setOptionValue("mip_rel_gap", 0.0)
        self._highs.run()
        info = self._highs.getInfo()
        # Without time or without any plan the bound is infinite and says nothing.
        bound = info.mip_dual_bound if isfinite(info.mip_dual_bound) else 0.0
        lowered = ceil(bound - _BOUND_TOLERANCE * max(1.0, abs(bound)))
        if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            return None, max(0, lowered)
        return self._choices(), max(0, lowered)

    def without_slivers(self, seconds: float, cost: int) -> list[Choice] | None:
        """Find a plan of at most `cost` with as few sliver cuts as can be, all pieces cut."""
        first = self._first_pattern
        columns = range(first, first + len(self._patterns))
        prices = [float(self._task.prices[pattern.stock]) for pattern in self._patterns]
        self._highs.addRow(0, cost, len(prices), list(columns), prices)
        for piece in range(first):
            self._highs.changeColBounds(piece, 0, 0)
        for column, pattern in zip(columns, self._patterns, strict=True):
            self._highs.changeColCost(column, float(self._task.is_sliver(pattern)))
        return self.whole(seconds)[0]

    def _choices(self) -> list[Choice]:
        values = self._highs.getSolution().col_value[self._first_pattern :]
        counts = [round(value) for value in values]
        return [(p, count) for p, count in zip(self._patterns, counts, strict=True) if count]
