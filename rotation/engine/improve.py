"""The best plan so far: how it begins, and how the linear programme makes it better.

PURE. A few runs, neighbours in time, are lifted out of the plan and put back together by the linear programme
itself (`dive`). The many small changes between two dives are `annealing`.
"""

from collections.abc import Callable, Sequence
from random import Random

from rotation.engine.choices import Route
from rotation.engine.dive import BLUR, Dive
from rotation.engine.draft import Draft
from rotation.engine.master import Master
from rotation.engine.repair import best_response

LEAST_DIVED, MOST_DIVED = 3, 8
"""Runs that a dive lifts at once, but for those that lift all (a choice)."""

MOST_DIVED_WHOLE = 12
"""Runs of a garden up to which every other dive lifts them all (a choice: time)."""

WIDTH = 8
"""How broad a run is routed again after a dive (a choice)."""

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
                    self._route(run.number, width)
            self._record()
            for run in self.draft.runs:
                self.draft.lift(run.number)
        for run in sorted(self.draft.runs, key=lambda run: run.first_day):
            if go_on():
                self._route(run.number, width)
        self._record()

    def take(self, routes: Sequence[Route]) -> None:
        """Work on another plan from now on."""
        self.draft.put_all(routes)
        self._record()

    def dive(self, known: Master, go_on: Callable[[], bool]) -> int:
        """Lift some runs of the best plan and let the linear programme put them back; return how many.

        `known` is a linear programme of all runs with the routes to begin with.
        """
        self.draft.put_all(self.best)
        whole = self._dives % 2 == 0 and len(self.draft.runs) <= MOST_DIVED_WHOLE
        lifted = self._neighbours(*(2 * [MOST_DIVED_WHOLE] if whole else (LEAST_DIVED, MOST_DIVED)))
        Dive(self.draft, known, self.random).run(lifted, go_on, BLUR if self._dives else 0.0)
        self._dives += 1
        for number in lifted:
            self._route(number, WIDTH)
        self._record()
        return len(lifted)

    def _route(self, number: int, width: int) -> None:
        old, cost = self.draft.routes[number], self.draft.cost
        self.draft.put(number, best_response(self.draft, self.draft.runs[number], width))
        if self.draft.cost > cost:
            self.draft.put(number, old)

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
