"""Column generation: a proven lower bound, prices for the search, and routes worth trying.

PURE. For any prices >= 0 the Lagrangian bound holds: the sum over runs of the least cost of a route
at those prices, less what the rooms are worth at them. The least costs come from dynamic programmes
that allow every lawful route and some unlawful ones, so neither the linear programme's rounding nor
an early end can make the bound untrue.
"""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from rotation.engine.choices import Choices, Route
from rotation.engine.duals import Duals
from rotation.engine.grid import Floats, Grid
from rotation.engine.master import Master
from rotation.engine.prices import stay_prices
from rotation.engine.pricing import Relaxed, too_close
from rotation.engine.remembering import Remembering

MIXING = 0.5
"""Weight of the newest prices against the best so far (a choice; calms the first rounds)."""

LEARN_FROM = 1e-6
"""Share from which a route in the linear programme's solution is learnt from."""

LEARN_WITHIN = 0.01
"""Relative distance of bound and linear programme at which returns are learnt (a choice)."""

SAFETY = 1e-9
"""Share of the bound's terms given away, far above what summing them in floats can lose."""


class Bound:
    """The column generation of one problem, in rounds that may stop at any time."""

    def __init__(self, grid: Grid, runs: Sequence[Choices]) -> None:
        self.grid = grid
        self.runs = runs
        self.master = Master(grid, runs)
        self.duals = Duals.none(grid)
        """Prices of the best bound so far."""
        self.guide = self.duals
        """Prices of the last linear programme, the better guide to what is scarce."""
        self.floors = np.zeros(len(runs))
        """Least cost of a route of each run at `duals`."""
        # every cost item is >= 0 but what is earned, and that ends at what is wanted
        self.value = -float(grid.earned_per_gram * grid.wanted_g.sum())
        self.converged = False
        self._remembering: list[Remembering] | None = None
        self._shares: Floats = np.zeros(0)

    def start(self, routes: Sequence[Route]) -> None:
        """Take a first plan's routes as columns and price the garden at nothing."""
        for number, route in enumerate(routes):
            self.master.add(number, route)
        self._price(self.duals)

    def round(self) -> None:
        """Solve the linear programme once and look for routes that would improve it."""
        self._shares = self.master.solve()
        self.guide = self.master.duals()
        gained = self._price(self.duals.mixed(self.guide, MIXING))
        near = self.master.objective - self.value <= LEARN_WITHIN * max(abs(self.value), 1.0)
        if not gained and not self._price(self.guide):
            self.converged = not self._learn()
        elif near:
            self._learn()

    def over_floor(self, number: int, route: Route, price: Floats) -> float:
        """Return by how much a route is dearer at stays' `price` than the floor of its run.

        No plan that costs less than the bound and a margin contains a route further over.
        """
        run = self.runs[number]
        charged = sum(price[run.at(leg)] - run.base[run.at(leg)] for leg in route)
        return run.cost_of(route) + float(charged) - float(self.floors[number])

    def price_of(self, number: int) -> Floats:
        """Return what each stay of a run costs at the prices of the best bound."""
        return stay_prices(self.grid, self.runs[number], self.duals.prices(self.grid))

    def _price(self, duals: Duals) -> int:
        """Bound the cost at these prices; return how many new routes the runs' best ones were."""
        prices = duals.prices(self.grid)
        floors, gained = np.zeros(len(self.runs)), 0
        for number, run in enumerate(self.runs):
            floors[number], route = self._cheapest(number, stay_prices(self.grid, run, prices))
            gained += self.master.add(number, route)
        constant = duals.constant(self.grid)
        value = constant + float(floors.sum())
        value -= SAFETY * (1.0 + abs(constant) + float(np.abs(floors).sum()))
        if value > self.value:
            self.value, self.duals, self.floors = value, duals, floors
        return gained

    def _cheapest(self, number: int, price: Floats) -> tuple[float, Route]:
        if self._remembering is not None:
            return self._remembering[number].cheapest(price)
        relaxed = Relaxed(self.runs[number], price)
        return relaxed.cost, relaxed.route()

    def _learn(self) -> bool:
        """Learn from the returns in the solution; say whether the programmes changed.

        The first time, it is enough that pens begin to remember the place they have just left.
        """
        changed = set[int]()
        if self._remembering is None:
            self._remembering = [Remembering(run, self.grid.rest) for run in self.runs]
            changed = set(range(len(self.runs)))
        returns: dict[int, list[Route]] = defaultdict(list)
        for (number, route), share in zip(self.master.columns, self._shares, strict=False):
            if share > LEARN_FROM and too_close(route, self.grid.rest):
                returns[number].append(route)
        for number, routes in returns.items():
            if self._remembering[number].learn(routes):
                changed.add(number)
        for column, (number, route) in enumerate(self.master.columns):
            if number in changed and self._remembering[number].forbids(route):
                self.master.shut(column)
        return bool(changed)
