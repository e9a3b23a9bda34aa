"""The most valuable ways to fill a board, when pieces have prices.

PURE.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pens.cutting.patterns import Counts, Task


class Fillings:
    """The undominated ways to fill a board, each longer than the one before and worth more.

    Parameters
    ----------
    task : Task
        Gives the takes, and with `demand` how many of each piece may be used.
    values : sequence of int
        Worth of each piece; pieces worth nothing are left out.
    demand : sequence of int
        The most of each piece.
    above : sequence of int, optional
        For each stock: fillings that no piece can bring above this worth may be left out, so that the
        best of a stock is right only where it is above this. Much quicker near the end of pricing.
    order : sequence of int, optional
        In which the pieces come; the best worth per length first where it is not given.

    Notes
    -----
    A list of undominated (length, worth) pairs grows piece by piece [1]_. Copies of a piece enter
    in bundles of 1, 2, 4, … so that any number of them can be made up. All values are whole, so the
    result is exact, and nothing depends on how fine a tick is.

    References
    ----------
    .. [1] Nemhauser, G. L. and Ullmann, Z., "Discrete dynamic programming and capital allocation",
       Management Science 15(9), 1969, pp. 494-505. From memory.
    """

    def __init__(
        self,
        task: Task,
        values: Sequence[int],
        demand: Sequence[int],
        above: Sequence[int] | None = None,
        order: Sequence[int] | None = None,
    ) -> None:
        self._room = max(task.rooms)
        self._pieces = len(task.takes)
        self._lengths: NDArray[np.int64] = np.zeros(1, dtype=np.int64)
        self._worths: NDArray[np.int64] = np.zeros(1, dtype=np.int64)
        self._bundles: list[tuple[int, int, NDArray[np.int64]]] = []
        self._stages = [(0, self._lengths, self._worths)]
        self._goals = [] if above is None else list(zip(task.rooms, above, strict=True))
        if order is None:
            order = [piece for piece, value in enumerate(values) if value > 0]
            order.sort(key=lambda piece: -values[piece] / task.takes[piece])
        for piece in order:
            take, value = task.takes[piece], values[piece]
            if self._goals:
                self._drop_hopeless(value / take)
            for size in _bundle_sizes(min(demand[piece], self._room // take)):
                self._offer(piece, size, take, value)
            self._stages.append((len(self._bundles), self._lengths, self._worths))

    def _drop_hopeless(self, worth_of_a_tick: float) -> None:
        """Drop fillings that stay below every goal even if the best piece left filled the board."""
        # A share more than the arithmetic can lose.
        density = worth_of_a_tick * (1 + 1e-9)
        lengths, worths = self._lengths, self._worths
        hope = np.zeros(len(lengths), dtype=bool)
        for room, goal in self._goals:
            hope |= (worths + (room - lengths) * density > goal) & (lengths <= room)
        if not hope.all():
            hope[0] = True
            kept = np.flatnonzero(hope)
            self._bundles.append((0, 0, kept))
            self._lengths, self._worths = lengths[kept], worths[kept]

    def _offer(self, piece: int, size: int, take: int, value: int) -> None:
        """Let every filling so far go on with a bundle of `size` pieces, or without."""
        fitting = int(np.searchsorted(self._lengths, self._room - size * take, side="right"))
        lengths = np.concatenate([self._lengths, self._lengths[:fitting] + size * take])
        worths = np.concatenate([self._worths, self._worths[:fitting] + size * value])
        # A longer filling stays only when it is worth more than every shorter one.
        order = np.argsort(lengths, kind="stable")
        best_before = np.maximum.accumulate(worths[order])
        kept = order[np.concatenate([[True], worths[order][1:] > best_before[:-1]])]
        self._bundles.append((piece, size, kept))
        self._lengths, self._worths = lengths[kept], worths[kept]

    def best(self, room: int) -> tuple[int, Counts]:
        """Return the greatest worth that fits into `room` (none longer than the longest board)."""
        index = int(np.searchsorted(self._lengths, room, side="right")) - 1
        return int(self._worths[index]), self._counts(len(self._bundles), index)

    def most_of_first(self, pieces: int, room: int) -> int:
        """Return the greatest worth in `room` of the first so many pieces in the order they came."""
        _, lengths, worths = self._stages[pieces]
        return int(worths[int(np.searchsorted(lengths, room, side="right")) - 1])

    def counts_of_first(self, pieces: int, room: int) -> Counts:
        """Return the counts that `most_of_first` is the worth of."""
        bundles, lengths, _ = self._stages[pieces]
        return self._counts(bundles, int(np.searchsorted(lengths, room, side="right")) - 1)

    def good(self, room: int, above: int, most: int) -> list[Counts]:
        """Return up to `most` fillings worth more than `above`, the best first, with little in common."""
        last = int(np.searchsorted(self._lengths, room, side="right"))
        first = max(int(np.searchsorted(self._worths, above, side="right")), last - _LOOKED_AT)
        chosen: list[Counts] = []
        used: set[int] = set()
        for index in range(last - 1, first - 1, -1):
            counts = self._counts(len(self._bundles), index)
            pieces = {piece for piece, count in enumerate(counts) if count}
            if not chosen or not pieces & used:
                chosen.append(counts)
                used |= pieces
                if len(chosen) == most:
                    break
        return chosen

    def _counts(self, bundles: int, index: int) -> Counts:
        """Go back through the first so many bundles to the pieces of a filling."""
        counts = [0] * self._pieces
        for number in range(bundles - 1, -1, -1):
            piece, size, kept = self._bundles[number]
            before = len(self._bundles[number - 1][2]) if number else 1
            index = int(kept[index])
            if index >= before:
                counts[piece] += size
                index -= before
        return tuple(counts)


_LOOKED_AT = 200
"""Fillings looked at for some that have little in common. Our choice."""


def _bundle_sizes(most: int) -> Iterator[int]:
    size = 1
    while most > 0:
        yield min(size, most)
        most -= size
        size *= 2
