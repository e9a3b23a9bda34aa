"""Large-neighbourhood search: lift a few runs out of the plan and route them again.

PURE. The runs lifted together are neighbours in time. Each is routed anew at the garden's own costs
and, to leave scarce spots to the runs that come after it, a random share of the prices that the
linear programme puts on them; or all of them together, by the linear programme itself (`dive`).
"""

from collections.abc import Callable, Sequence
from random import Random

from rotation.engine.choices import Route
from rotation.engine.dive import BLUR, Dive
from rotation.engine.draft import Draft
from rotation.engine.duals import Duals
from rotation.engine.prices import Prices
from rotation.engine.repair import best_response

MOST_LIFTED = 4
"""Runs lifted at once at most (a choice)."""

MOST_DIVED = 8
"""Runs that a dive lifts at once at most, but for the first (a choice)."""

FIRST_DIVED = 12
"""Runs of a garden up to which the first dive lifts them all (a choice: time)."""

WIDTHS = (2, 4, 8)
"""How broad a repair may search (a choice: mostly quick, now and then thorough)."""

WORSE_BY = 0.02
"""Share of its cost by which the plan worked on may be worse than the best (a choice)."""

LEAST_GAIN = 1e-7


class Improvement:
    """One search from a draft; the draft is left at the plan last accepted."""

    def __init__(self, draft: Draft, random: Random) -> None:
        self.draft = draft
        self.random = random
        self.best_cost = draft.cost
        self.best = list(draft.routes)
        self._dives = 0

    def first_plan(self, width: int, go_on: Callable[[], bool]) -> None:
        """Route one run after another, for as long as `go_on` says so; the others stay off-bed.

        What was announced is tried first, as it is and as a beginning.
        """
        if any(self.draft.announced):
            for number, route in enumerate(self.draft.announced):
                self.draft.put(number, self.draft.what_fits(number, route))
            self._record()
            for run in self.draft.runs:
                if go_on():
                    self._route(run.number, width, None)
            self._record()
            for run in self.draft.runs:
                self.draft.lift(run.number)
        for run in sorted(self.draft.runs, key=lambda run: run.first_day):
            if go_on():
                self._route(run.number, width, None)
        self._record()

    def step(self, guide: Duals) -> None:
        """Lift and route again once; `guide` prices what is scarce."""
        before, cost_before = list(self.draft.routes), self.draft.cost
        lifted = self._neighbours(1, MOST_LIFTED)
        width = self.random.choice(WIDTHS)
        charge = guide.scaled(self.random.uniform(0.0, 1.2)).prices(self.draft.grid)
        for number in lifted:
            self.draft.lift(number)
        for number in lifted:
            self._route(number, width, charge)
        for number in lifted:
            self._route(number, width, None)
        self._settle(before, cost_before)

    def dive(self, dive: Dive, go_on: Callable[[], bool]) -> int:
        """Lift some runs of the best plan and let the linear programme put them back; return how many."""
        self.draft.put_all(self.best)
        first = self._dives == 0
        self._dives += 1
        whole = first and len(self.draft.runs) <= FIRST_DIVED
        lifted = self._neighbours(*(2 * [FIRST_DIVED] if whole else (2, MOST_DIVED)))
        dive.run(lifted, go_on, blur=0.0 if whole else BLUR)
        for number in lifted:
            self._route(number, max(WIDTHS), None)
        self._record()
        return len(lifted)

    def _route(self, number: int, width: int, charge: Prices | None) -> None:
        route = best_response(self.draft, number, width, charge)
        if charge is None:
            old, cost = self.draft.routes[number], self.draft.cost
            self.draft.put(number, route)
            if self.draft.cost > cost:
                self.draft.put(number, old)
        else:
            self.draft.put(number, route)

    def _settle(self, before: Sequence[Route], cost_before: float) -> None:
        """Go on from the draft unless it is much worse than the best and no better than before."""
        allowed = self.best_cost + WORSE_BY * abs(self.best_cost) * self.random.random() ** 2
        if self.draft.cost > max(allowed, cost_before):
            self.draft.put_all(before)
        else:
            self._record()

    def _record(self) -> None:
        if self.draft.cost < self.best_cost - LEAST_GAIN:
            self.best_cost, self.best = self.draft.cost, list(self.draft.routes)

    def _neighbours(self, least: int, most: int) -> list[int]:
        """Return some runs near one another in time, in random order."""
        runs, random = self.draft.runs, self.random
        centre = random.choice(runs)
        near = sorted(
            runs, key=lambda run: abs(run.first_day - centre.first_day) * random.uniform(0.5, 2.0)
        )
        lifted = [run.number for run in near[: random.randint(least, most)]]
        random.shuffle(lifted)
        return lifted
