"""One profile of a problem in whole numbers, and a choice of patterns back as named boards.

PURE. Pieces of one length are one to the search, whatever their names; prices become whole
multiples of the largest unit that allows it, so that costs can be compared exactly.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from pens.cutting.patterns import Choice, Pattern, Task
from pens.cutting.problem import (
    Board,
    Cut,
    Piece,
    Problem,
    Stock,
    leftover_ticks,
    offcut_ticks,
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What a problem asks of one profile; `price_unit` is what one of the task's price units is."""

    problem: Problem
    stock: tuple[Stock, ...]
    pieces: tuple[Piece, ...]
    lengths: tuple[int, ...]
    task: Task
    price_unit: Fraction

    @classmethod
    def of(cls, problem: Problem, profile: str) -> "Asked":
        """Put one profile of a problem into whole numbers."""
        stock = tuple(one for one in problem.stock if one.profile == profile)
        pieces = tuple(piece for piece in problem.pieces if piece.profile == profile)
        demand: Counter[int] = Counter()
        for piece in pieces:
            demand[piece.length_ticks] += piece.count
        lengths = tuple(sorted(demand, reverse=True))
        prices, price_unit = _whole_prices(stock)
        task = Task(
            takes=tuple(length + problem.kerf_ticks for length in lengths),
            demand=tuple(demand[length] for length in lengths),
            rooms=tuple(max(0, problem.usable_ticks(s) + problem.kerf_ticks) for s in stock),
            prices=prices,
            available=tuple(one.available for one in stock),
            kerf_ticks=problem.kerf_ticks,
        )
        return cls(problem, stock, pieces, lengths, task, price_unit)

    def boards(self, choices: Sequence[Choice]) -> tuple[Board, ...]:
        """Name every piece of a choice and count the boards that are cut alike."""
        names = {length: _names_of(self.pieces, length) for length in self.lengths}
        alike: Counter[tuple[Stock, tuple[Cut, ...]]] = Counter()
        for pattern in _exact_patterns(self.task, choices):
            cuts = tuple(
                Cut(next(names[length]), length)
                for length, count in zip(self.lengths, pattern.counts, strict=True)
                for _ in range(count)
            )
            alike[self.stock[pattern.stock], cuts] += 1
        return tuple(self._board(one, cuts, count) for (one, cuts), count in alike.items())

    def _board(self, stock: Stock, cuts: tuple[Cut, ...], count: int) -> Board:
        usable, kerf = self.problem.usable_ticks(stock), self.problem.kerf_ticks
        leftover = leftover_ticks(usable, kerf, [cut.length_ticks for cut in cuts])
        return Board(stock, count, cuts, offcut_ticks(leftover, kerf))


def _whole_prices(stock: Sequence[Stock]) -> tuple[tuple[int, ...], Fraction]:
    shares = lcm(*(one.price.denominator for one in stock))
    whole = [int(one.price * shares) for one in stock]
    largest = gcd(*whole) or 1
    return tuple(price // largest for price in whole), Fraction(largest, shares)


def _exact_patterns(task: Task, choices: Sequence[Choice]) -> Iterator[Pattern]:
    """Spell a choice out board by board, cutting no piece more often than it is wanted."""
    wanted = list(task.demand)
    for pattern, count in sorted(choices, key=lambda c: (c[0].stock, c[0].counts), reverse=True):
        for _ in range(count):
            counts = tuple(min(one, want) for one, want in zip(pattern.counts, wanted, strict=True))
            wanted = [want - one for want, one in zip(wanted, counts, strict=True)]
            if any(counts):
                yield Pattern(pattern.stock, counts)


def _names_of(pieces: Sequence[Piece], length_ticks: int) -> Iterator[str]:
    for piece in pieces:
        if piece.length_ticks == length_ticks:
            for _ in range(piece.count):
                yield piece.name
