"""Find a plan: the one door to the method, and every plan is judged before it leaves.

PURE. A quick first plan, then turn by turn column generation (`bound`), which proves how good a plan
can be and prices what is scarce, and large-neighbourhood search (`improve`), which uses the prices;
now and then the best plan is put together from all routes seen (`recombine`).
"""

from collections.abc import Callable, Sequence
from random import Random

from rotation.engine.bound import Bound
from rotation.engine.budget import Budget
from rotation.engine.choices import Route, choices_of
from rotation.engine.draft import Draft
from rotation.engine.explain import off_bed_spans
from rotation.engine.grid import Grid
from rotation.engine.improve import Improvement
from rotation.engine.pricing import too_close
from rotation.engine.problem import OPTIMAL_GAP, Problem, Progress, Solution, relative_gap, stay_of
from rotation.engine.recombine import recombined
from rotation.engine.rules import BrokenPlanError, broken_rules, cost_of

DEFAULT_SECONDS = 10.0

PROVEN_GAP = 1e-6
"""Relative gap at which there is nothing left to look for."""

BOUND_SHARE = 0.5
"""Share of what is used of the budget that the bound may have had (a choice)."""

RECOMBINE_AT = (0.3, 0.6, 0.9)
"""Shares of the budget used at which known routes are recombined (a choice)."""

RECOMBINE_SHARE = 0.1
"""Share of the seconds that one recombination may take (a choice)."""

POOL_SIZE = 50_000
"""Routes remembered before the oldest is forgotten (a choice: memory in very long searches)."""

RECOMBINED_AT_ONCE = 1500
"""Routes that one recombination takes from the pool at most (a choice: time to set up)."""

FIRST_WIDTH = 8
"""Labels a day followed for the first plan: quick above all (a choice)."""


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
    budget = Budget(seconds, rounds)
    search = _Search(problem, budget, Random(seed))  # noqa: S311 (nothing here is a secret)
    search.run(watch)
    return _judged(problem, search.improvement.best, search.bound.value, budget.seconds, seed)


class _Search:
    """One search: the plan, the bound and the pool of lawful routes seen."""

    def __init__(self, problem: Problem, budget: Budget, random: Random) -> None:
        self.budget = budget
        self.grid = Grid(problem)
        self.runs = choices_of(self.grid)
        self.pool: dict[tuple[int, Route], None] = {}
        self.bound = Bound(self.grid, self.runs)
        self.improvement = Improvement(Draft(self.grid, self.runs), random, self._see)
        self._bound_work = 0.0
        self._recombined = 0

    def run(self, watch: Callable[[Progress], bool] | None = None) -> None:
        """Search until the budget is spent, nothing is left to find, or `watch` says stop."""
        self.improvement.first_plan(FIRST_WIDTH, self._go_on)
        if self._go_on():
            self.bound.start(self.improvement.best)
        while self._go_on() and self._open_gap() > PROVEN_GAP:
            if self._is_time_to_recombine():
                self._recombine()
            elif self._is_bounds_turn():
                self._bound_round()
            else:
                self.improvement.step(self.bound.guide)
            self.budget.spend()
            if watch is not None and watch(self._progress()):
                break

    def _progress(self) -> Progress:
        return Progress(self.budget.seconds, self.improvement.best_cost, self.bound.value)

    def _go_on(self) -> bool:
        return self.budget.used < 1.0

    def _open_gap(self) -> float:
        return relative_gap(self.improvement.best_cost, self.bound.value)

    def _see(self, number: int, route: Route) -> None:
        self.pool[number, route] = None
        if len(self.pool) > POOL_SIZE:
            del self.pool[next(iter(self.pool))]

    def _is_bounds_turn(self) -> bool:
        return not self.bound.converged and self._bound_work <= BOUND_SHARE * self.budget.used

    def _bound_round(self) -> None:
        before, known = self.budget.used, len(self.bound.master.columns)
        self.bound.round()
        by_rounds = 1.0 / self.budget.limit_rounds if self.budget.limit_rounds else 0.0
        step = max(by_rounds, self.budget.used - before)
        self._bound_work += step
        for number, route in self.bound.master.columns[known:]:
            if too_close(route, self.grid.rest) is None:
                self._see(number, route)
        if self.bound.converged:
            self._recombine()

    def _is_time_to_recombine(self) -> bool:
        due = sum(share <= self.budget.used for share in RECOMBINE_AT)
        if due <= self._recombined:
            return False
        self._recombined = due
        return True

    def _recombine(self) -> None:
        """Put the best plan together from the pooled routes that a better plan may contain."""
        best_cost = self.improvement.best_cost
        left = self.budget.seconds_left
        seconds = None if left is None else min(left, RECOMBINE_SHARE * self.budget.limit_seconds)
        routes = recombined(self.grid, self.runs, self._hopeful(), best_cost, seconds)
        if routes is not None:
            self.improvement.adopt(routes)

    def _hopeful(self) -> list[tuple[int, Route]]:
        """Return the pooled routes nearest their floors that a better plan may contain."""
        margin = self.improvement.best_cost - self.bound.value
        prices = [self.bound.price_of(number) for number in range(len(self.runs))]
        over = {
            (number, route): self.bound.over_floor(number, route, prices[number])
            for number, route in self.pool
        }
        hopeful = [entry for entry in over if over[entry] < margin]
        return sorted(hopeful, key=over.__getitem__)[:RECOMBINED_AT_ONCE]


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
    lower_bound = min(bound, items.total)
    gap = relative_gap(items.total, lower_bound)
    return Solution(
        status="optimal" if gap <= OPTIMAL_GAP else "feasible",
        cost=items.total,
        lower_bound=lower_bound,
        gap=gap,
        cost_items=items,
        seconds=seconds,
        seed=seed,
        stays=stays,
        off_bed=off_bed,
    )
