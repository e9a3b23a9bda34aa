"""Branch and price: two pieces lie on one board, or never do.

PURE. Every node is a cutting problem of its own. Of two lengths, either some board gives both, and then
one of each is cut as a single piece; or no board does, and they are kept apart. For single items this is
the branching of Ryan and Foster [1]_; asked of lengths it needs no telling apart of pieces that are
alike. Each node's bound comes from column generation. Joining makes fewer pieces and keeping apart fewer
pairs, so the tree ends, and with it the gap.

References
----------
.. [1] Ryan, D. M. and Foster, B. A., "An integer programming approach to scheduling", in A. Wren (ed.),
   Computer scheduling of public transport, North-Holland, 1981, pp. 269-280. From memory.
"""

import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from pens.cutting.apart import Apart
from pens.cutting.bound import next_sum, relax
from pens.cutting.master import shortage_price
from pens.cutting.patterns import Choice, Counts, Pattern, Task
from pens.cutting.quick import is_short

_WHOLE = 1e-6
"""Parts of a board less than this are the solver's rounding."""

Pair = tuple[int, int]
"""Two kinds of a node, the same one twice for two pieces of it."""


@dataclass(frozen=True, slots=True)
class Node:
    """What is left to decide.

    Attributes
    ----------
    task : Task
        Its pieces are those of the whole problem and joined ones.
    parts : tuple of Counts
        What each piece is made of, in the pieces of the whole problem.
    apart : Apart
        Which pieces are kept apart.
    bound : int
        No plan from here costs less.
    patterns : tuple of Pattern
        To begin pricing with.
    """

    task: Task
    parts: tuple[Counts, ...]
    apart: Apart
    bound: int
    patterns: tuple[Pattern, ...]

    @classmethod
    def of(cls, task: Task, bound: int, patterns: Iterable[Pattern]) -> "Node":
        """Return the node of a whole problem."""
        kinds = range(len(task.takes))
        parts = tuple(tuple(int(kind == other) for other in kinds) for kind in kinds)
        return cls(task, parts, (frozenset(),) * len(kinds), bound, tuple(patterns))

    def kept_apart(self, pair: Pair) -> "Node":
        """Return the node where no board gives both."""
        one, other = pair
        apart = list(self.apart)
        apart[one] |= {other}
        apart[other] |= {one}
        patterns = tuple(pattern for pattern in self.patterns if not _has(pattern, pair))
        return replace(self, apart=tuple(apart), patterns=patterns)

    def joined(self, pair: Pair) -> "Node":
        """Return the node where one of each is cut as a single piece."""
        one, other = pair
        near = self.apart[one] | self.apart[other]
        part = tuple(a + b for a, b in zip(self.parts[one], self.parts[other], strict=True))
        new = len(self.parts)
        takes = (*self.task.takes, self.task.takes[one] + self.task.takes[other])
        demand = [*self.task.demand, 1]
        demand[one] -= 1
        demand[other] -= 1
        apart = [*self.apart, near]
        for kind in near:
            apart[kind] |= {new}
        task = replace(self.task, takes=takes, demand=tuple(demand))
        patterns = (_with_joined(pattern, pair) for pattern in self.patterns)
        node = Node(task, (*self.parts, part), tuple(apart), self.bound, tuple(patterns))
        return node.without_what_is_done()

    def without_what_is_done(self) -> "Node":
        """Return the node without pieces that are no longer wanted."""
        left = [kind for kind, wanted in enumerate(self.task.demand) if wanted]
        number = {kind: new for new, kind in enumerate(left)}
        task = replace(
            self.task,
            takes=tuple(self.task.takes[kind] for kind in left),
            demand=tuple(self.task.demand[kind] for kind in left),
        )
        thinned = (
            tuple(min(pattern.counts[kind], self.task.demand[kind]) for kind in left)
            for pattern in self.patterns
        )
        patterns = (
            Pattern(pattern.stock, counts)
            for pattern, counts in zip(self.patterns, thinned, strict=True)
            if any(counts)
        )
        apart = tuple(
            frozenset(number[other] for other in self.apart[kind] if other in number)
            for kind in left
        )
        parts = tuple(self.parts[kind] for kind in left)
        return Node(task, parts, apart, self.bound, tuple(dict.fromkeys(patterns)))

    def spelt_out(self, choices: Iterable[Choice]) -> list[Choice]:
        """Return a choice in the pieces of the whole problem."""
        return [
            (
                Pattern(
                    pattern.stock,
                    tuple(
                        sum(n * part for n, part in zip(pattern.counts, column, strict=True))
                        for column in zip(*self.parts, strict=True)
                    ),
                ),
                boards,
            )
            for pattern, boards in choices
        ]


def _has(pattern: Pattern, pair: Pair) -> bool:
    one, other = pair
    if one == other:
        return pattern.counts[one] > 1
    return bool(pattern.counts[one] and pattern.counts[other])


def _with_joined(pattern: Pattern, pair: Pair) -> Pattern:
    """Swap two pieces of a pattern for the joined one, where it has both."""
    counts = [*pattern.counts, 0]
    if _has(pattern, pair):
        for kind in pair:
            counts[kind] -= 1
        counts[-1] = 1
    return Pattern(pattern.stock, tuple(counts))


class Tree:
    """A search of everything that could cost less than `cost_to_beat`.

    Parameters
    ----------
    task : Task
    bound : int
        Proven already: no plan costs less.
    cost_to_beat : int
        Only cheaper plans are looked for; with all pieces cut, so at most the price of a shortage.
    patterns : sequence of Pattern
        To begin with.
    deadline : float
        Of the monotonic clock. [s]

    Attributes
    ----------
    bound : int
        No plan costs less; `cost_to_beat`, or the cheapest plan found, once the tree is at its end.
    """

    def __init__(
        self,
        task: Task,
        bound: int,
        cost_to_beat: int,
        patterns: Sequence[Pattern],
        deadline: float,
    ) -> None:
        self._task, self._deadline = task, deadline
        self._least = bound
        self._cost = min(cost_to_beat, shortage_price(task))
        self._open = [Node.of(task, bound, patterns)]

    @property
    def bound(self) -> int:
        """No plan costs less than this."""
        return min([self._cost, *(node.bound for node in self._open)])

    def plans(self) -> Iterator[list[Choice]]:
        """Yield plans, each cheaper than all before, until the tree is at its end or time is up."""
        while self._open and self._cost > self._least and time.monotonic() < self._deadline:
            node = self._open.pop()
            if node.bound >= self._cost:
                continue
            patterns = list(dict.fromkeys([*node.patterns, *_alone(node.task)]))
            solved = relax(node.task, patterns, self._cost, self._deadline, node.apart)
            node = replace(node, bound=self._raised(node, solved.certificate.bound))
            if not solved.is_settled and node.bound < self._cost:
                self._open.append(node)
                continue
            parts = zip(solved.patterns, solved.boards, strict=False)
            used = [(pattern, boards) for pattern, boards in parts if boards > _WHOLE]
            if all(abs(boards - round(boards)) < _WHOLE for _, boards in used):
                yield from self._taken(node, [(p, round(boards)) for p, boards in used])
            if node.bound < self._cost and (pair := _most_telling(node.task, used)):
                node = replace(node, patterns=tuple(solved.patterns))
                self._open += [node.kept_apart(pair), node.joined(pair)]

    def _raised(self, node: Node, bound: float) -> int:
        whole = ceil(bound)
        if whole < shortage_price(node.task):
            whole = next_sum(whole, node.task.prices)
        return max(node.bound, whole)

    def _taken(self, node: Node, choices: Sequence[Choice]) -> Iterator[list[Choice]]:
        spelt = node.spelt_out(choices)
        cost = sum(self._task.prices[pattern.stock] * boards for pattern, boards in spelt)
        if cost < self._cost and not is_short(self._task, spelt):
            self._cost = cost
            yield spelt


def _alone(task: Task) -> Iterator[Pattern]:
    """Yield every piece by itself on every board: what a board for nothing gives is not priced."""
    for stock, room in enumerate(task.rooms):
        for kind, take in enumerate(task.takes):
            if take <= room:
                yield Pattern(stock, tuple(int(kind == other) for other in range(len(task.takes))))


def _most_telling(task: Task, used: Iterable[tuple[Pattern, float]]) -> Pair | None:
    """Return the pair that is on one board for nearly a whole board, the longest of those."""
    together: Counter[Pair] = Counter()
    for pattern, boards in used:
        kinds = [kind for kind, count in enumerate(pattern.counts) if count]
        for place, one in enumerate(kinds):
            if pattern.counts[one] > 1:
                together[one, one] += boards
            for other in kinds[place + 1 :]:
                together[one, other] += boards

    def telling(pair: Pair) -> tuple[float, int]:
        part = together[pair] % 1
        is_part = _WHOLE < part < 1 - _WHOLE
        return round(part, 2) if is_part else -1.0, task.takes[pair[0]] + task.takes[pair[1]]

    return max(together, key=telling, default=None)
