"""Large-neighbourhood search: lift a few runs out of the plan and route them again.

PURE. The runs lifted together are neighbours in time. Each is routed anew at the garden's own costs
and, to leave scarce spots to the runs that come after it, a random share of the prices that the
linear programme puts on them.
"""

from collections.abc import Callable
from random import Random

from rotation.engine.choices import Route
from rotation.engine.draft import Draft
from rotation.engine.duals import Duals
from rotation.engine.prices import Prices
from rotation.engine.repair import best_response

MOST_LIFTED = 3
"""Runs lifted at once at most (a choice)."""

WIDTHS = (6, 16, 40)
"""Labels a day that a repair may follow (a choice: mostly quick, now and then thorough)."""

WORSE_BY = 0.02
"""Share of its cost by which the plan worked on may be worse than the best (a choice)."""

LEAST_GAIN = 1e-7


class Improvement:
    """One search from a draft; the draft is left at the plan last accepted."""

    def __init__(self, draft: Draft, random: Random, seen: Callable[[int, Route], object]) -> None:
        self.draft = draft
        self.random = random
        self.seen = seen
        self.best_cost = draft.cost
        self.best = list(draft.routes)

    def adopt(self, routes: list[Route]) -> None:
        """Go on from another plan, if it is better."""
        self.draft.put_all(routes)
        self._record()

    def first_plan(self, width: int, go_on: Callable[[], bool]) -> None:
        """Route one run after another, for as long as `go_on` says so; the others stay off-bed."""
        for run in sorted(self.draft.runs, key=lambda run: run.first_day):
            if go_on():
                self._route(run.number, width, None)
        self._record()

    def step(self, guide: Duals) -> None:
        """Lift and route again once; `guide` prices what is scarce."""
        before, cost_before = list(self.draft.routes), self.draft.cost
        lifted = self._neighbours()
        width = self.random.choice(WIDTHS)
        share = self.random.random()
        charge = Duals.none(self.draft.grid).mixed(guide, share).prices(self.draft.grid)
        for number in lifted:
            self.draft.lift(number)
        for number in lifted:
            self._route(number, width, charge)
        for number in lifted:
            self._route(number, width, None)
        allowed = self.best_cost + WORSE_BY * abs(self.best_cost) * self.random.random() ** 2
        if self.draft.cost > max(allowed, cost_before):
            self.draft.put_all(before)
        else:
            self._record()

    def _route(self, number: int, width: int, charge: Prices | None) -> None:
        route = best_response(self.draft, number, width, charge)
        self.seen(number, route)
        if charge is None:
            old, cost = self.draft.routes[number], self.draft.cost
            self.draft.put(number, route)
            if self.draft.cost > cost:
                self.draft.put(number, old)
        else:
            self.draft.put(number, route)

    def _record(self) -> None:
        if self.draft.cost < self.best_cost - LEAST_GAIN:
            self.best_cost, self.best = self.draft.cost, list(self.draft.routes)

    def _neighbours(self) -> list[int]:
        """Return some runs near one another in time, in random order."""
        runs, random = self.draft.runs, self.random
        centre = random.choice(runs)
        near = sorted(
            runs, key=lambda run: abs(run.first_day - centre.first_day) * random.uniform(0.5, 2.0)
        )
        lifted = [run.number for run in near[: random.randint(1, MOST_LIFTED)]]
        random.shuffle(lifted)
        return lifted
