"""The most valuable filling of a board where some pieces may not come from the same board.

PURE. Pieces that are to be kept apart from others are decided first, one count after the other; what the
rest of the board is worth at most is read off the fillings that know of no such rule, so that few
counts are ever tried.
"""

import time
from collections.abc import Sequence

from pens.cutting.fillings import Fillings
from pens.cutting.patterns import Counts, Task

Apart = tuple[frozenset[int], ...]
"""For each piece, those that may not come from the same board; itself where two of it may not."""

_STEPS_A_LOOK = 1024
"""Steps between two looks at the clock. Our choice."""


class OutOfTimeError(Exception):
    """Time was up before the best filling was known."""


class FillingsApart:
    """Fillings of a board that keep apart what must be kept apart.

    Parameters
    ----------
    task : Task
        The pieces and boards.
    values : sequence of int
        Worth of each piece; pieces worth nothing are left out.
    apart : tuple of frozenset of int
        See `Apart`.
    deadline : float
        Of the monotonic clock. [s]
    """

    def __init__(self, task: Task, values: Sequence[int], apart: Apart, deadline: float) -> None:
        self._task, self._values, self._apart, self._deadline = task, values, apart, deadline
        self._most = [
            min(wanted, 1) if piece in apart[piece] else wanted
            for piece, wanted in enumerate(task.demand)
        ]
        worth_it = (piece for piece, value in enumerate(values) if value > 0)
        order = sorted(worth_it, key=lambda piece: (len(apart[piece]), task.takes[piece]))
        self._free = sum(not apart[piece] for piece in order)
        self._order = order
        self._rest = Fillings(task, values, self._most, order=order)

    def best(self, room: int, above: int) -> tuple[int, Counts | None]:
        """Return the greatest worth that fits into `room`; `above` and nothing where none is more.

        Raises
        ------
        OutOfTimeError
            If the deadline comes first.
        """
        self._steps = 0
        self._best: tuple[int, Counts | None] = (above, None)
        self._counts = [0] * len(self._values)
        self._decide(len(self._order), room, 0, frozenset())
        return self._best

    def _decide(self, left: int, room: int, worth: int, banned: frozenset[int]) -> None:
        """Try the counts of the last of `left` pieces, as long as more may come of it."""
        self._steps += 1
        if self._steps % _STEPS_A_LOOK == 0 and time.monotonic() > self._deadline:
            raise OutOfTimeError
        while left and self._order[left - 1] in banned:
            left -= 1
        if worth + self._rest.most_of_first(left, room) <= self._best[0]:
            return
        if left <= self._free:
            # Nothing left has to be kept apart from anything.
            counts = self._rest.counts_of_first(left, room)
            total = tuple(a + b for a, b in zip(self._counts, counts, strict=True))
            self._best = (worth + self._rest.most_of_first(left, room), total)
            return
        piece = self._order[left - 1]
        take, value = self._task.takes[piece], self._values[piece]
        for count in range(min(self._most[piece], room // take), -1, -1):
            self._counts[piece] = count
            shut = banned | self._apart[piece] if count else banned
            self._decide(left - 1, room - count * take, worth + count * value, shut)
        self._counts[piece] = 0
