"""Find the cheapest way to cut everything, and prove how much cheaper it could be.

PURE. Profiles are independent. For each: a quick full-boards-first plan; column generation for a
bound and good patterns; dives, that fix boards and price the rest anew, for a plan; whole boards
chosen among the patterns known; and, while a gap is left, all patterns that could be part of a
cheaper plan are listed and the choice is made among them, which closes the gap for good. Time ends
the search at any point with an honest gap.
"""

import time
from contextlib import suppress
from fractions import Fraction
from math import ceil, floor

from pens.cutting.bound import Relaxation, next_sum, relax
from pens.cutting.branching import Tree
from pens.cutting.dive import Dive
from pens.cutting.master import Master, shortage_price
from pens.cutting.patterns import (
    Choice,
    Pattern,
    Task,
    TooManyPatternsError,
    patterns_worth,
)
from pens.cutting.problem import Board, NotEnoughStockError, Plan, Problem
from pens.cutting.profile import Asked
from pens.cutting.quick import cost_of, is_short, quick_plan
from pens.cutting.rules import faults

MOST_PATTERNS = 20_000
"""Patterns listed at most to close a gap: what HiGHS still chooses among in seconds. Our choice."""

BRANCHES = 12
"""Branches of the relaxed plan that are followed down. Our choice."""

_SPARE_SHARES = (1, 1 / 4, 1 / 16, 1 / 64)
"""Parts of the gap that a single board may waste, tried in turn until the patterns can be listed."""


def cut_boards(problem: Problem, seconds: float) -> Plan:
    """Plan which boards to take and how to cut them, at the least cost.

    Parameters
    ----------
    problem : Problem
        Every piece must fit on some board of its profile.
    seconds : float
        Time allowed, greater than 0. A plan is returned even when it is too short. [s]

    Returns
    -------
    Plan
        Right by `pens.cutting.rules`; optimal unless time ran out or the problem is very large.

    Raises
    ------
    NotEnoughStockError
        If the boards that are available do not give all pieces, or no way was found in time.
    """
    deadline = time.monotonic() + seconds
    boards: list[Board] = []
    lower_bound = Fraction(0)
    profiles = problem.profiles()
    for number, profile in enumerate(profiles):
        now = time.monotonic()
        share = max(0.0, deadline - now) / (len(profiles) - number)
        part = _cut_profile(problem, profile, now + share)
        boards.extend(part.boards)
        lower_bound += part.lower_bound
    cost = sum((board.stock.price * board.count for board in boards), Fraction(0))
    plan = Plan(tuple(boards), cost, lower_bound)
    wrong = faults(problem, plan)
    if wrong:
        raise AssertionError("the search broke a rule of cutting: " + "; ".join(wrong))
    return plan


def _cut_profile(problem: Problem, profile: str, deadline: float) -> Plan:
    asked = Asked.of(problem, profile)
    search = _Search(asked.task, deadline)
    search.run()
    if is_short(asked.task, search.choices):
        raise NotEnoughStockError(profile, proven=search.is_proven())
    boards = asked.boards(search.choices)
    cost = sum((board.stock.price * board.count for board in boards), Fraction(0))
    return Plan(boards, cost, min(cost, search.lower_bound * asked.price_unit))


class _Search:
    """The search for one profile: the best choice so far and the bound it is held against."""

    def __init__(self, task: Task, deadline: float) -> None:
        self._task = task
        self._deadline = deadline
        self.choices: list[Choice] = []
        self.cost = shortage_price(task) * sum(task.demand)
        self.lower_bound = 0

    def run(self) -> None:
        """Improve the choice and the bound until they meet or time is up."""
        task = self._task
        self._offer(quick_plan(task, task.takes))
        relaxation = relax(
            task, [pattern for pattern, _ in self.choices], self.cost, self._deadline
        )
        self._raise_bound(ceil(relaxation.certificate.bound))
        if not self.is_proven():
            values = [1 + value for value in relaxation.certificate.values]
            self._offer(quick_plan(task, values))
        pool = dict.fromkeys([*relaxation.patterns, *(pattern for pattern, _ in self.choices)])
        if not self.is_proven() and self._seconds_left() > 0:
            self._dive(pool)
        if not self.is_proven():
            self._choose(list(pool), self._seconds_left() / 3)
        if not self.is_proven() and self._seconds_left() > 0:
            self._round_down(relaxation)
        if not self.is_proven() and self._seconds_left() > 0:
            self._close_gap(relaxation, pool)
        if not self.is_proven() and self._seconds_left() > 0:
            self._branch(relaxation)
        self._avoid_slivers(relaxation, pool)

    def is_proven(self) -> bool:
        """Tell whether no choice can cost less."""
        return self.cost <= self.lower_bound

    def _seconds_left(self) -> float:
        return self._deadline - time.monotonic()

    def _offer(self, choices: list[Choice]) -> None:
        cost = cost_of(self._task, choices)
        if cost < self.cost:
            self.choices, self.cost = choices, cost

    def _raise_bound(self, bound: int) -> None:
        if bound < shortage_price(self._task):
            bound = next_sum(bound, self._task.prices)
        self.lower_bound = max(self.lower_bound, bound)

    def _choose(self, patterns: list[Pattern], seconds: float) -> int:
        """Choose whole boards among patterns, and return what no such choice goes below."""
        choices, bound = Master(self._task, patterns).whole(seconds)
        if choices is not None:
            self._offer(choices)
        return bound

    def _dive(self, pool: dict[Pattern, None]) -> None:
        """Follow branches of the relaxed plan to whole boards, and keep the patterns they end in."""
        deadline = time.monotonic() + self._seconds_left() / 3
        for choices in Dive(self._task, list(pool), self.cost, deadline).branches(BRANCHES):
            self._offer(choices)
            pool.update((pattern, None) for pattern, _ in choices)
            if self.is_proven():
                return

    def _round_down(self, relaxation: Relaxation) -> None:
        """Cut the whole boards of the relaxed plan, and search again for what is left to cut."""
        boards = zip(relaxation.patterns, relaxation.boards, strict=False)
        whole = [(pattern, floor(parts)) for pattern, parts in boards if parts >= 1]
        if whole:
            rest = _Search(self._task.after(whole), time.monotonic() + self._seconds_left() / 2)
            rest.run()
            self._offer(whole + rest.choices)

    def _close_gap(self, relaxation: Relaxation, pool: dict[Pattern, None]) -> None:
        """Choose among all patterns of any cheaper plan, or as many of the best as can be listed."""
        cost_to_beat = self.cost
        spare = relaxation.certificate.spare_steps(cost_to_beat - 1)
        for share in _SPARE_SHARES:
            try:
                listed = self._patterns_within(relaxation, int(spare * share))
            except TooManyPatternsError:
                continue
            pool.update(dict.fromkeys(listed))
            bound = self._choose(list(pool), self._seconds_left() / 2)
            if share == 1:
                # Every cheaper plan was among the choices.
                self._raise_bound(min(bound, cost_to_beat))
            return

    def _branch(self, relaxation: Relaxation) -> None:
        """Search the tree of pairs that are cut from one board or kept apart."""
        tree = Tree(self._task, self.lower_bound, self.cost, relaxation.patterns, self._deadline)
        for choices in tree.plans():
            self._offer(choices)
        # Where pieces stay uncut and the tree is at its end, there is no way to cut them all.
        ended = tree.bound >= min(self.cost, shortage_price(self._task))
        self._raise_bound(self.cost if ended else tree.bound)

    def _patterns_within(
        self, relaxation: Relaxation, spare_steps: int, left_free: int = 0
    ) -> list[Pattern]:
        """List the full patterns that waste no more than `spare_steps`, with some room left free."""
        certificate, task = relaxation.certificate, self._task
        found: list[Pattern] = []
        for stock, room in enumerate(task.rooms):
            least = certificate.board_steps(task, stock) - spare_steps
            left = MOST_PATTERNS - len(found)
            within = max(0, room - left_free)
            found += patterns_worth(task, stock, within, certificate.values, least, left)
        return [pattern for pattern in found if any(pattern.counts)]

    def _avoid_slivers(self, relaxation: Relaxation, pool: dict[Pattern, None]) -> None:
        """Swap the choice for one of the same cost with fewer cuts narrower than the saw."""
        slivers = any(self._task.is_sliver(pattern) for pattern, _ in self.choices)
        if not slivers or is_short(self._task, self.choices) or self._seconds_left() <= 0:
            return
        pool.update((pattern, None) for pattern, _ in self.choices)
        spare = relaxation.certificate.spare_steps(self.cost)
        with suppress(TooManyPatternsError):
            # What is not a sliver uses the board to its end, or leaves room for the last cut.
            for left_free in (0, self._task.kerf_ticks):
                pool.update(dict.fromkeys(self._patterns_within(relaxation, spare, left_free)))
        tidier = Master(self._task, pool).without_slivers(self._seconds_left(), self.cost)
        if tidier is not None and cost_of(self._task, tidier) <= self.cost:
            self.choices, self.cost = tidier, cost_of(self._task, tidier)
