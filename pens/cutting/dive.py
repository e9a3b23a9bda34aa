"""Down one branch after another: fix the boards the relaxed plan is surest of, price the rest anew.

PURE. A node of the tree is a residual problem with prices and patterns of its own [1]_: what is fixed
is taken off the demand, patterns that would now cut too much are shut out, and new ones are priced.
A branch ends where its relaxed cost says that it leads to nothing cheaper. After the first branch
the others leave it at one node each, the upper ones first (limited discrepancy search [2]_).

References
----------
.. [1] Sadykov, R. et al., "Primal heuristics for branch and price: the assets of diving methods",
   INFORMS Journal on Computing 31(2), 2019, pp. 251-267. From memory.
.. [2] Harvey, W. D. and Ginsberg, M. L., "Limited discrepancy search", IJCAI 1995. From memory.
"""

import time
from collections.abc import Iterator, Sequence
from math import ceil, floor

from pens.cutting.fillings import Fillings
from pens.cutting.master import Master, Relaxed
from pens.cutting.patterns import Choice, Pattern, Task

_SURE = 0.85
"""Patterns with at least this part of a board are fixed together. Our choice."""

_ROUNDS = 12
"""Rounds of pricing at a node at most: a dive need not be exact. Our choice."""

_SCALE = 10**7
_NO_GAIN = 1e-6


class Dive:
    """Dives through one task; `choices` cost less than was to be beaten, or there are none."""

    def __init__(
        self, task: Task, patterns: Sequence[Pattern], cost_to_beat: int, deadline: float
    ) -> None:
        self._task, self._deadline = task, deadline
        self._cost_to_beat = cost_to_beat
        self._patterns = list(patterns)

    def branches(self, most: int) -> Iterator[list[Choice]]:
        """Yield plans cheaper than all before, from at most so many branches, until time is up."""
        for turn_off in range(-1, most - 1):
            if time.monotonic() > self._deadline:
                return
            found = self._down(turn_off)
            if found is not None:
                cost = sum(self._task.prices[p.stock] * count for p, count in found)
                if cost < self._cost_to_beat:
                    self._cost_to_beat = cost
                    yield found

    def _down(self, turn_off: int) -> list[Choice] | None:
        """Follow one branch; at depth `turn_off` leave the way it would have gone."""
        master = Master(self._task, self._patterns)
        rest, fixed, paid, depth = self._task, [], 0, 0
        while any(rest.demand):
            relaxed, cost = self._priced(master, rest)
            if time.monotonic() > self._deadline or paid + cost > self._cost_to_beat - 1 + 1e-6:
                return None
            choices = self._surest(master, rest, relaxed, depth == turn_off)
            if not choices:
                return None
            fixed += choices
            paid += sum(rest.prices[pattern.stock] * count for pattern, count in choices)
            rest = rest.after(choices)
            master.ask(rest)
            depth += 1
        return fixed

    def _priced(self, master: Master, rest: Task) -> tuple[Relaxed, float]:
        """Price patterns for what is left to cut, and return boards in parts with their cost."""
        for _ in range(_ROUNDS):
            relaxed = master.relaxed()
            in_time = time.monotonic() < self._deadline
            new = self._new_patterns(rest, relaxed, master) if in_time else []
            for pattern in new:
                master.add(pattern)
                self._patterns.append(pattern)
            if not new:
                break
        else:
            relaxed = master.relaxed()
        return relaxed, master.cost()

    def _new_patterns(self, rest: Task, relaxed: Relaxed, master: Master) -> list[Pattern]:
        values = [floor(price * _SCALE) for price in relaxed.piece_prices]
        fillings = Fillings(rest, values, rest.demand)
        new = []
        for stock, room in enumerate(rest.rooms):
            if rest.available[stock] == 0:
                continue
            worth, counts = fillings.best(room)
            charged = rest.prices[stock] - relaxed.stock_prices[stock]
            if worth / _SCALE > charged * (1 + _NO_GAIN) + _NO_GAIN:
                pattern = Pattern(stock, rest.topped_up(counts, room))
                if not master.knows(pattern):
                    new.append(pattern)
        return new

    def _surest(self, master: Master, rest: Task, relaxed: Relaxed, turn_off: bool) -> list[Choice]:
        """Return whole boards, and else the pattern that is nearest to one; or the one after it."""
        used = [
            (parts, pattern)
            for parts, pattern in zip(relaxed.boards, master.patterns, strict=True)
            if parts > _NO_GAIN
        ]
        used.sort(
            key=lambda pair: (-(pair[0] % 1 if pair[0] < 1 else 1), -rest.taken(pair[1].counts))
        )
        if turn_off and len(used) > 1:
            return self._fitting(rest, [(1, used[1][1])])
        sure = [(ceil(parts - _SURE), pattern) for parts, pattern in used if parts >= _SURE]
        return self._fitting(rest, sure or [(1, pattern) for _, pattern in used[:1]])

    def _fitting(self, rest: Task, wished: Sequence[tuple[int, Pattern]]) -> list[Choice]:
        """Keep of the boards wished for those that cut nothing beyond what is wanted."""
        choices: list[Choice] = []
        for count, pattern in wished:
            most = min(
                want // have for want, have in zip(rest.demand, pattern.counts, strict=True) if have
            )
            limit = rest.available[pattern.stock]
            boards = min(max(1, count), most, most if limit is None else limit)
            if boards:
                choices.append((pattern, boards))
                rest = rest.after(choices[-1:])
        return choices
