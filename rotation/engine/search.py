"""Find a plan: the one door to the method, and every plan is judged before it leaves.

PURE. A quick first plan, then turn by turn column generation (`bound`), which proves how good a plan
can be and prices what is scarce, and dives of the linear programme (`dive`) once its prices are about right.
Beside them the plan is made better by many small changes (`annealing`): on a thread of their own where the
clock alone ends the search, in turn with the rest where work may.
"""

from collections.abc import Callable, Sequence
from functools import cache, partial
from random import Random

import numpy as np

from rotation.engine.annealing import Annealing
from rotation.engine.beside import Beside
from rotation.engine.bound import Bound
from rotation.engine.budget import Budget
from rotation.engine.choices import Route, choices_of
from rotation.engine.draft import Draft
from rotation.engine.explain import off_bed_spans
from rotation.engine.grid import Grid
from rotation.engine.improve import Improvement
from rotation.engine.kernels.levels import level_sets
from rotation.engine.plans import PlanWork
from rotation.engine.problem import (
    Costs,
    Problem,
    Progress,
    Rules,
    Run,
    Solution,
    Spot,
    Window,
    relative_gap,
    stay_of,
)
from rotation.engine.rules import BrokenPlanError, broken_rules, cost_of

DEFAULT_SECONDS = 10.0

PROVEN_GAP = 1e-6
"""Relative gap at which there is nothing left to look for."""

BOUND_SHARE = 0.4
"""Share of what is used of the budget that the bound may have had where work is done in turn (a choice)."""

REST_SECONDS = 0.02
"""How long the bound waits for plans once it can rise no more, before it looks again (a choice)."""

CHANGES_A_TURN = 300
"""Small changes in turn with each piece of other work (a choice)."""

FIRST_WIDTH = 2
"""How broad the search for the first plan is: quick above all (a choice)."""


def solve(
    problem: Problem,
    *,
    seconds: float | None = None,
    rounds: int | None = None,
    seed: int = 0,
    watch: Callable[[Progress], bool] | None = None,
) -> Solution:
    """Return a plan that keeps every rule, with a proven bound on how good any plan can be.

    Parameters
    ----------
    problem : Problem
        As read by `rotation.engine.document.read_problem`; its pins keep the rules.
    seconds : float, optional
        How long to search at most [s], > 0; 10 unless `rounds` is given.
    rounds : int, optional
        How much work to do at most, >= 0. Without `seconds` the same problem and seed then give the
        same plan; with both, the search ends when the first of them is spent.
    seed : int
        Of the search's random choices, >= 0.
    watch : callable, optional
        Told now and then how far the search has come; it ends when this answers True.

    Returns
    -------
    Solution
        The best plan found, whatever the budget: an off-bed day is always allowed.

    Raises
    ------
    BrokenPlanError
        If the plan breaks a rule: an error of the search, which never passes in silence.
    """
    if rounds is None and seconds is None:
        seconds = DEFAULT_SECONDS
    ready()
    budget = Budget(seconds, rounds)
    search = _Search(problem, budget, Random(seed))  # noqa: S311 (nothing here is a secret)
    search.run(watch)
    return _judged(problem, search.improvement.best, search.bound.value, budget.seconds, seed)


@cache
def ready() -> None:
    """Have the inner loops compiled, or read from where they are kept, before any clock runs."""
    window = Window(0, 6, 2.0, 1.0)
    spots = tuple(Spot(name, 0.0, 0.0, 2.0, (window,)) for name in "ab")
    runs = tuple(Run(name, 0, (1.0,) * 4, ("a", "b")) for name in "xy")
    tiny = Problem(6, Rules(1, 2, 1), Costs(1.0, 1.0, 9.0, 0.1), spots, runs)
    search = _Search(tiny, Budget(None, 50), Random(0))  # noqa: S311
    search.run()
    level_sets(1.0, np.ones(1), np.ones(1), np.zeros(1, int), np.zeros(1, int), np.eye(1) > 0, 1)


class _Search:
    """One search: the plan, the bound and what to do next."""

    def __init__(self, problem: Problem, budget: Budget, random: Random) -> None:
        self.budget = budget
        self.grid = Grid(problem)
        self.runs = choices_of(self.grid)
        self.bound = Bound(self.grid, self.runs)
        self.draft = Draft(self.grid, self.runs)
        self.improvement = Improvement(self.draft, random)
        self._random = random
        self._is_over = False
        self._bound_work = 0.0

    def run(self, watch: Callable[[Progress], bool] | None = None) -> None:
        """Search until the budget is spent, nothing is left to find, or `watch` says stop."""
        self.improvement.first_plan(FIRST_WIDTH, self._go_on)
        if not self._go_on():
            return
        self.bound.start(self.improvement.best)
        work = PlanWork(self.improvement, Annealing(self.draft, self._random), self._go_on)
        if self.budget.limit_rounds is not None:
            self._repeat(partial(self._in_turn, work), work, watch)
            return
        with Beside(work) as beside:
            self._repeat(partial(self._beside, beside), beside, watch)
            self._is_over = True

    def _repeat(
        self,
        piece: Callable[[], None],
        work: PlanWork | Beside,
        watch: Callable[[Progress], bool] | None,
    ) -> None:
        while self._go_on() and relative_gap(work.best_cost, self.bound.value) > PROVEN_GAP:
            piece()
            progress = Progress(self.budget.seconds, work.best_cost, self.bound.value)
            if watch is not None and watch(progress):
                return

    def _beside(self, work: Beside) -> None:
        """Work on the bound while a thread works on plans."""
        if self.bound.converged:
            work.rest(REST_SECONDS)
        else:
            self.bound.round(work.best_cost, self._go_on)
            work.guide(self.bound.guide)
        if self.bound.is_settled and work.wants_programme:
            work.learn(self.bound.known())

    def _in_turn(self, work: PlanWork) -> None:
        """Do one piece of work, for the bound or for the plan."""
        before = self.budget.used
        if self._is_bounds_turn():
            self.bound.round(work.best_cost, self._go_on)
            self.budget.spend()
            self._bound_work += self.budget.used - before
            work.guide(self.bound.guide)
        else:
            work.learn(self.bound.known())
            self.budget.spend(work.dive())
        work.change(CHANGES_A_TURN)

    def _go_on(self) -> bool:
        return self.budget.used < 1.0 and not self._is_over

    def _is_bounds_turn(self) -> bool:
        has_had_less = self._bound_work <= BOUND_SHARE * self.budget.used
        return not self.bound.converged and (has_had_less or not self.bound.is_settled)


def _judged(
    problem: Problem, routes: Sequence[Route], bound: float, seconds: float, seed: int
) -> Solution:
    """Return the plan as a solution, if it keeps the rules as written down in `rules`."""
    spots = [spot.id for spot in problem.spots]
    stays = tuple(
        stay_of(run, spots[leg.spot], leg.first_day, leg.end_day)
        for run, route in zip(problem.runs, routes, strict=True)
        for leg in route
    )
    off_bed = off_bed_spans(problem, stays)
    breaches = broken_rules(problem, stays, off_bed)
    if breaches:
        raise BrokenPlanError(breaches)
    items = cost_of(problem, stays, off_bed)
    return Solution(items, min(bound, items.total), seconds, seed, stays, off_bed)
