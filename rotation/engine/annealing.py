"""Plans made better by many small changes, while the linear programme says what is scarce.

PURE. A change takes a few stays out and finds a cheap way through the days that are left open. One that makes
the plan dearer is kept with odds that fall as the search cools (simulated annealing; Kirkpatrick, Gelatt and
Vecchi 1983, from memory). Ways are looked for at the garden's own costs and a share of what the linear
programme charges for scarce spots, because a cheap stay on a spot that another run needs costs more than it
seems; whether a change is kept is judged by the garden's own costs alone.
"""

from collections.abc import Sequence
from dataclasses import replace
from random import Random

import numpy as np

from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.draft import Draft
from rotation.engine.duals import Duals
from rotation.engine.grid import Grid
from rotation.engine.kernels import NONE
from rotation.engine.kernels.anneal import MOST_OTHERS, Space, anneal
from rotation.engine.kernels.stays import Ground, Plan, count_stay
from rotation.engine.kernels.stretch import Ways
from rotation.engine.prices import stay_prices

NEAR = 100
"""Spots near another that are looked at at most (a choice)."""

HOT, WARM, COLD = 0.3, 0.1, 0.04
"""Heat, in what a stay costs, at which a search begins, begins to polish a plan, and ends (a choice)."""

STEPS_A_RUN = 500
"""Changes for each run until a first search is cold (a choice)."""

MOST_DOUBLED = 7
"""How often the changes of the next search are doubled at most (a choice)."""


class Annealing:
    """Searches by small changes, one after another: each begins hot from the best plan and takes longer."""

    def __init__(self, draft: Draft, random: Random) -> None:
        self.runs = draft.runs
        self.best: Sequence[Route] = list(draft.routes)
        self.best_cost = draft.cost
        self._grid = draft.grid
        self._pins = [set(route) for route in draft.pinned]
        self._ground = _ground(draft.grid, draft.runs)
        self._space = _space(self._ground, random)
        self._scale = _scale(draft.grid)
        days = max((run.days for run in draft.runs), default=0)
        longest = max((run.base.shape[1] for run in draft.runs), default=0)
        shape = (len(draft.runs), days, longest, draft.grid.spot_count)
        self._charge = np.zeros(shape, dtype=np.float32)
        self._has_choices = 0 not in shape
        self._doubled = 0
        self._begin(self.best, self.best_cost, HOT)

    def charge(self, guide: Duals) -> None:
        """Take what scarce spots are charged from some prices."""
        prices = replace(guide.prices(self._grid), earned_gram=np.zeros(self._grid.window_count))
        for run in self.runs:
            with np.errstate(invalid="ignore"):  # inf where a stay is shut
                charged = np.nan_to_num(stay_prices(self._grid, run, prices) - run.base)
            days, longest, _ = charged.shape
            self._charge[run.number, :days, :longest, run.spots] = np.moveaxis(charged, 2, 0)

    def polish(self, routes: Sequence[Route], cost: float) -> None:
        """Go on from another plan, only a little warm."""
        self._begin(routes, cost, WARM)

    @property
    def is_polishing(self) -> bool:
        """Whether it still polishes a plan."""
        return self._hot == WARM

    def go(self, steps: int) -> bool:
        """Try so many changes; say whether a better plan than ever was found."""
        if not self._has_choices:
            return False
        steps = min(steps, self._steps - self._done)
        heats = [
            self._scale * self._hot * (COLD / self._hot) ** (done / self._steps)
            for done in (self._done, self._done + steps)
        ]
        self._now, best = anneal(
            self._ground,
            self._plan,
            self._space,
            self._charge,
            steps,
            (heats[0], heats[1]),
            (self._now, self.best_cost),
            self._best_count,
            self._best_stays,
        )
        self._done += steps
        found = best < self.best_cost
        if found:
            self.best_cost, self.best = best, self._routes()
        if self._done >= self._steps:
            self._doubled = min(self._doubled + 1, MOST_DOUBLED)
            self._begin(self.best, self.best_cost, HOT)
        return found

    def _begin(self, routes: Sequence[Route], cost: float, hot: float) -> None:
        self._plan = self._laid(routes)
        self._best_count, self._best_stays = self._plan.count.copy(), self._plan.stays.copy()
        self._now, self._hot = cost, hot
        self.best_cost = min(self.best_cost, cost)
        if cost <= self.best_cost:
            self.best = list(routes)
        doubled = 0 if hot == WARM else self._doubled
        self._steps, self._done = len(self.runs) * STEPS_A_RUN * 2**doubled, 0

    def _laid(self, routes: Sequence[Route]) -> Plan:
        """Return routes as arrays."""
        grid, runs = self._grid, self.runs
        longest = max((run.days for run in runs), default=0) + 1
        visits = (grid.days + grid.rest) // (grid.rest + 1) + 2
        plan = Plan(
            count=np.zeros(len(runs), dtype=np.int64),
            stays=np.zeros((len(runs), longest, 4), dtype=np.int64),
            on_count=np.zeros(grid.spot_count, dtype=np.int64),
            on=np.zeros((grid.spot_count, visits, 3), dtype=np.int64),
            window_g=np.zeros(grid.window_count),
            spot_g=np.zeros(grid.spot_count),
        )
        for run, route in enumerate(routes):
            plan.count[run] = len(route)
            for number, leg in enumerate(route):
                plan.stays[run, number] = (*leg, leg in self._pins[run])
                count_stay(self._ground, plan, run, *leg)
        return plan

    def _routes(self) -> list[Route]:
        """Return the best plan found as routes."""
        return [
            tuple(Leg(*map(int, stay[:3])) for stay in stays[:count])
            for stays, count in zip(self._best_stays, self._best_count, strict=True)
        ]


def _scale(grid: Grid) -> float:
    """Return about what one stay more or less costs in this garden, > 0."""
    costs = grid.problem.costs
    earned = (
        costs.wanted_nitrogen_per_gram * float(grid.wanted_g.mean()) if grid.window_count else 0
    )
    return max(costs.move, earned, 0.05 * costs.off_bed_day, 1e-6)


def _ground(grid: Grid, runs: Sequence[Choices]) -> Ground:
    problem, many = grid.problem, len(runs)
    may = np.zeros((many, grid.spot_count), dtype=np.bool_)
    dropped_g = np.zeros((many, grid.days + 1))
    told = np.full((many, grid.days), NONE, dtype=np.int64)
    starts_on, stood_days = np.full(many, NONE), np.zeros(many, dtype=np.int64)
    for number, run in enumerate(problem.runs):
        may[number, runs[number].spots] = True
        dropped_g[number, run.first_day + 1 : run.end_day + 1] = np.cumsum(run.nitrogen_g)
        dropped_g[number, run.end_day + 1 :] = dropped_g[number, run.end_day]
        for span in run.announced:
            told[number, span.first_day : span.end_day] = grid.number_of[span.spot]
        if run.starts_on in run.spots:
            starts_on[number] = grid.number_of[run.starts_on]
            stood_days[number] = run.stood_days
    near = np.argsort(grid.carry, axis=1, kind="stable")[:, :NEAR]
    costs, rules = problem.costs, problem.rules
    return Ground(
        first_day=np.array([run.first_day for run in problem.runs], dtype=np.int64),
        end_day=np.array([run.end_day for run in problem.runs], dtype=np.int64),
        may=may,
        dropped_g=dropped_g,
        told=told,
        starts_on=starts_on,
        stood_days=stood_days,
        window_at=grid.window_at,
        closes=grid.closes,
        window_room_g=grid.window_room_g,
        spot_room_g=grid.spot_room_g,
        wanted_g=grid.wanted_g,
        carry=grid.carry,
        near=np.ascontiguousarray(near),
        earned_per_gram=float(grid.earned_per_gram),
        move=float(costs.move),
        off_bed_day=float(costs.off_bed_day),
        changed_day=float(costs.changed_day),
        least=rules.min_stay_days,
        most=rules.max_stay_days,
        rest=grid.rest,
    )


def _space(ground: Ground, random: Random) -> Space:
    days = int((ground.end_day - ground.first_day).max(initial=0)) + 1
    spots = min(len(ground.near), 2 * ground.near.shape[1] + days)
    return Space(
        chance=np.array([random.getrandbits(63) | 1], dtype=np.uint64),
        ways=Ways(
            cost=np.empty((days, spots + 1)),
            place=np.empty((days, spots + 1), dtype=np.int64),
            began=np.empty((days, spots + 1), dtype=np.int64),
        ),
        stays=np.empty((days, 4), dtype=np.int64),
        spots=np.empty(spots, dtype=np.int64),
        seen=np.zeros(len(ground.near), dtype=np.int64),
        taken=np.zeros((MOST_OTHERS + 1, 4), dtype=np.int64),
        kept=np.zeros((MOST_OTHERS + 1, days, 4), dtype=np.int64),
    )
