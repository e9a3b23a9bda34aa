"""A profile in whole numbers, ways to cut one board of it, and all ways that could still be of use.

PURE. A piece takes its length plus one kerf, and a board gives room for its usable length plus one
kerf, because the last piece needs none where the board is used to its end. So a pattern fits when
the sum of its pieces' takes is within the board's room.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pens.cutting.problem import is_sliver

Counts = tuple[int, ...]
"""How many of each distinct length one board gives."""


@dataclass(frozen=True, slots=True)
class Task:
    """The pieces of one profile and the boards for them, all in whole numbers.

    Attributes
    ----------
    takes : tuple of int
        For each distinct length, longest first: the length plus one kerf. [ticks]
    demand : tuple of int
        How many of each are wanted.
    rooms : tuple of int
        For each stock: the usable length plus one kerf. [ticks]
    prices : tuple of int
        Price of each stock, in the largest unit that makes all of them whole.
    available : tuple of (int or None)
        How many boards of each stock there are; None for no end.
    kerf_ticks : int
        The saw's width. [ticks]
    """

    takes: tuple[int, ...]
    demand: tuple[int, ...]
    rooms: tuple[int, ...]
    prices: tuple[int, ...]
    available: tuple[int | None, ...]
    kerf_ticks: int

    def taken(self, counts: Counts) -> int:
        """Return the room a pattern takes. [ticks]"""
        return sum(take * count for take, count in zip(self.takes, counts, strict=True))

    def after(self, choices: Iterable["Choice"]) -> "Task":
        """Return what is still to do once some boards are cut."""
        demand = list(self.demand)
        available = list(self.available)
        for pattern, boards in choices:
            for piece, count in enumerate(pattern.counts):
                demand[piece] = max(0, demand[piece] - count * boards)
            limit = available[pattern.stock]
            if limit is not None:
                available[pattern.stock] = limit - boards
        return replace(self, demand=tuple(demand), available=tuple(available))

    def is_sliver(self, pattern: "Pattern") -> bool:
        """Tell whether the last cut of a pattern shaves off less than the saw's width."""
        leftover = self.rooms[pattern.stock] - self.taken(pattern.counts)
        return is_sliver(leftover, self.kerf_ticks)

    def topped_up(self, counts: Counts, room: int) -> Counts:
        """Fill what room a pattern leaves with further pieces, longest first."""
        left = room - self.taken(counts)
        full = []
        for take, count, most in zip(self.takes, counts, self.demand, strict=True):
            more = min(most - count, left // take)
            left -= more * take
            full.append(count + more)
        return tuple(full)


@dataclass(frozen=True, slots=True)
class Pattern:
    """A way to cut one board of a stock, given by its number."""

    stock: int
    counts: Counts


Choice = tuple[Pattern, int]
"""A pattern and how many boards are cut by it."""


class TooManyPatternsError(Exception):
    """There are more patterns worth looking at than the search is allowed."""


def patterns_worth(
    task: Task, stock: int, room: int, values: Sequence[int], least_worth: int, most_patterns: int
) -> list[Pattern]:
    """List the full patterns of a stock that are worth at least a given sum.

    Parameters
    ----------
    task : Task
        The pieces; no pattern has more of a piece than is wanted.
    stock : int
        Number of the stock.
    room : int
        How much of its room may be taken. [ticks]
    values : sequence of int
        Worth of each piece, none negative.
    least_worth : int
        Patterns worth less are left out.
    most_patterns : int
        Patterns to list before giving up.

    Returns
    -------
    list of Pattern
        Full ones only: no further wanted piece would fit.

    Raises
    ------
    TooManyPatternsError
        If there are more than `most_patterns`.
    """
    order = sorted(
        range(len(task.takes)), key=lambda piece: (-values[piece] / task.takes[piece], piece)
    )
    listing = _Listing(task, stock, values, order, least_worth, most_patterns)
    listing.extend(0, room, 0)
    return listing.found


class _Listing:
    """A depth-first walk over counts, pieces of the best worth per length first."""

    def __init__(
        self,
        task: Task,
        stock: int,
        values: Sequence[int],
        order: Sequence[int],
        least_worth: int,
        most_patterns: int,
    ) -> None:
        self.found: list[Pattern] = []
        self._task, self._stock, self._values, self._order = task, stock, values, order
        self._least_worth, self._most_patterns = least_worth, most_patterns
        # Dead ends cost time as well, so they count too, though less.
        self._steps_left = 40 * most_patterns
        self._counts = [0] * len(task.takes)

    def extend(self, depth: int, room: int, worth: int) -> None:
        """Try every count of the piece at `depth`, most first, as long as enough may come of it."""
        self._steps_left -= 1
        if self._steps_left < 0:
            raise TooManyPatternsError
        if depth == len(self._order):
            self._keep(room)
            return
        piece = self._order[depth]
        take, value = self._task.takes[piece], self._values[piece]
        for count in range(min(self._task.demand[piece], room // take), -1, -1):
            left, so_far = room - count * take, worth + count * value
            if not self._may_reach(depth + 1, left, so_far):
                break
            self._counts[piece] = count
            self.extend(depth + 1, left, so_far)
        self._counts[piece] = 0

    def _may_reach(self, depth: int, room: int, worth: int) -> bool:
        """Bound what the rest can add by filling all of it with the next best piece."""
        if depth == len(self._order):
            return worth >= self._least_worth
        piece = self._order[depth]
        lacking = (self._least_worth - worth) * self._task.takes[piece]
        return room * self._values[piece] >= lacking

    def _keep(self, room: int) -> None:
        wanted = zip(self._task.takes, self._counts, self._task.demand, strict=True)
        if all(take > room or count == most for take, count, most in wanted):
            self.found.append(Pattern(self._stock, tuple(self._counts)))
            if len(self.found) > self._most_patterns:
                raise TooManyPatternsError
