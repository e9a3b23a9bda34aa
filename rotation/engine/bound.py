"""Column generation: a proven lower bound, prices for the search, and routes worth trying.

PURE. For any prices >= 0 the Lagrangian bound holds: the sum over runs of the least cost of a route
at those prices, less what the rooms are worth at them. The least costs come from programmes that allow
every lawful route and some unlawful ones, so neither the linear programme's rounding nor an early end can
make the bound untrue. The linear programme has lawful routes and, where the programmes cannot be taught better,
a few unlawful ones.
"""

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from itertools import repeat

import numpy as np

from rotation.engine.ascent import Ascent
from rotation.engine.choices import Choices, Route
from rotation.engine.duals import Duals
from rotation.engine.grid import Floats, Grid
from rotation.engine.lawful import Lawful
from rotation.engine.master import Master
from rotation.engine.prices import stay_prices
from rotation.engine.programme import Programme, too_close

MIXING = 0.5
"""Weight of the newest prices against the best so far (a choice; calms the first rounds)."""

COLUMNS = 4
"""Routes of a run that one round adds at most (a choice)."""

WIDTH = 4
"""How broad the search for them is (a choice)."""

LESSONS = 20
"""Times that a run's programme is taught in one round at most (a choice)."""

LEARN_WITHIN = 0.2
"""Relative distance of bound and linear programme at which programmes begin to learn (a choice: prices far from
right make pens return everywhere, and what is learnt from that slows all later rounds)."""

THINNED_TO, THINNED_FROM = 150, 300
"""Routes of a run that are kept when the linear programme is thinned, and growth in between (a choice)."""

DIVE_WITHIN = 0.03
"""Relative distance at which its shares are worth diving from (a choice: earlier dives are long and poor)."""

CUT_WITHIN = 0.01
"""Relative distance of bound and linear programme at which its solution is worth cutting off (a choice)."""

CUT_EVERY = 5
"""Rounds between two looks for cuts (a choice)."""

THREADS, THREADS_FROM = 2, 2000
"""Threads that price runs, and for how many places of all runs together they are worth starting (a choice)."""

CLOSED = 1e-6
"""Relative distance of bound and linear programme at which the bound can rise no more."""

LEAST_GAIN = 1e-6
"""By how much a route must be cheaper than what its run pays now to be worth a column."""

SAFETY = 1e-9
"""Share of the bound's terms given away, far above what summing them in floats can lose."""


class Bound:
    """The column generation of one problem, in rounds that may stop at any time."""

    def __init__(self, grid: Grid, runs: Sequence[Choices]) -> None:
        self.grid = grid
        self.runs = runs
        self.master = Master(grid, runs)
        self.programmes = [Programme(run, grid.rest) for run in runs]
        self.duals = Duals.none(grid)
        """Prices of the best bound so far."""
        self.guide = self.duals
        """Prices of the last linear programme, the better guide to what is scarce."""
        # every cost item is >= 0 but what is earned, and that ends at what is wanted
        self.value = -float(grid.earned_per_gram * grid.wanted_g.sum())
        self.converged = False
        self._since_cuts = 0
        self._thin_from = THINNED_FROM * max(len(runs), 1)
        self._ascent = Ascent(grid, runs, self._climbed)
        large = sum(len(run.spots) for run in runs) >= THREADS_FROM
        # the compiled loops let go of the interpreter, and what one run costs is no other's business
        self._each = ThreadPoolExecutor(THREADS).map if large else map

    def start(self, routes: Sequence[Route]) -> None:
        """Take a first plan's routes as columns."""
        for number, route in enumerate(routes):
            self.master.add(number, route)

    def round(self, upper: float, go_on: Callable[[], bool] = lambda: True) -> None:
        """Let the bound rise, for as long as `go_on` says so; `upper` is the cost of the best plan known.

        First the prices climb by themselves; then each round solves the linear programme once and looks for
        routes that would improve it.
        """
        if self._ascent.is_done:
            self._generate(go_on)
        else:
            self._ascent.step(upper)
            self.guide = self.duals

    def known(self) -> Master:
        """Return a linear programme of its own with the best of what is known."""
        return self.master.thinned(THINNED_TO)

    def _climbed(self, duals: Duals) -> tuple[float, list[Route]]:
        """Bound the cost at some prices; return that and the runs' cheapest routes, lawful or not."""
        value, found = self._bounded(duals, self._prices(duals), repeat(np.inf))
        for number, (_, route) in enumerate(found):
            if too_close(route, self.grid.rest) is None:
                self.master.add(number, route)
        return value, [route for _, route in found]

    def _bounded(
        self,
        duals: Duals,
        prices: Sequence[Floats],
        limits: Iterable[float],
        lessons: int = 0,
    ) -> tuple[float, list[tuple[float, Route]]]:
        """Bound the cost at some prices; return that and each run's floor with the route that has it.

        A limit is what some lawful route of the run costs at most.
        """

        def cheapest(programme: Programme, price: Floats, limit: float) -> tuple[float, Route]:
            return programme.cheapest(price, limit, lessons)

        found = list(self._each(cheapest, self.programmes, prices, limits))
        terms = [duals.constant(self.grid), *(floor for floor, _ in found)]
        value = sum(terms)
        safe = value - SAFETY * (1.0 + sum(map(abs, terms)))
        if safe > self.value:
            self.value, self.duals = safe, duals
        return value, found

    def _generate(self, go_on: Callable[[], bool]) -> None:
        shares = self.master.solve()
        if len(self.master.columns) > self._thin_from:
            self.master = self.known()
            # ever more may be learnt until the next time, so that nothing is learnt anew for ever
            self._thin_from += THINNED_FROM * len(self.runs)
            shares = self.master.solve()
        self._since_cuts += 1
        if self._since_cuts >= CUT_EVERY and self._distance() <= CUT_WITHIN:
            self._since_cuts = 0
            if self.master.add_cuts(shares):
                self.master.solve()
        if not go_on():
            return
        self.guide, paid = self.master.duals(), self.master.paid()
        mixed = self.duals.mixed(self.guide, MIXING)
        prices = self._prices(mixed)
        found = self._search(prices)
        self._prove(mixed, prices, found, LESSONS if self.is_near else 0)
        if not go_on() or self._take(found, np.full(len(self.runs), np.inf)):
            return
        prices = self._prices(self.guide)
        found = self._search(prices)
        if not self._take(found, paid):
            known = self._lessons()
            new = self._prove(self.guide, prices, found, LESSONS, paid)
            if self._distance() <= CLOSED or not (new or self._lessons() > known):
                self.converged = not self.master.add_cuts(self.master.solve())

    def _lessons(self) -> int:
        return sum(programme.lessons for programme in self.programmes)

    def _distance(self) -> float:
        return (self.master.objective - self.value) / max(abs(self.value), 1.0)

    @property
    def is_near(self) -> bool:
        """Whether the bound has come so near to the linear programme that its prices are about right."""
        return self._distance() <= LEARN_WITHIN

    @property
    def is_settled(self) -> bool:
        """Whether the linear programme is about what it will be."""
        return self._distance() <= DIVE_WITHIN

    def _prices(self, duals: Duals) -> list[Floats]:
        prices = duals.prices(self.grid)
        return list(self._each(partial(stay_prices, self.grid, prices=prices), self.runs))

    def _search(self, prices: Sequence[Floats]) -> list[Lawful]:
        """Return the runs' cheap lawful routes at these prices."""
        return list(self._each(partial(Lawful, self.grid, width=WIDTH), self.runs, prices))

    def _take(self, found: Sequence[Lawful], paid: Floats) -> int:
        """Add routes found that cost less than is `paid`; return how many were new."""
        return sum(
            self.master.add(number, route)
            for number, routes in enumerate(found)
            for route in routes.below(paid[number] - LEAST_GAIN, COLUMNS)
        )

    def _prove(
        self,
        duals: Duals,
        prices: Sequence[Floats],
        found: Sequence[Lawful],
        lessons: int,
        paid: Floats | None = None,
    ) -> int:
        """Bound the cost at these prices; return how many routes below what is `paid` came out."""
        limits = [routes.cost() for routes in found]
        _, proven = self._bounded(duals, prices, limits, lessons)
        if paid is None:
            return 0
        # an unlawful route that cannot be unlearnt has to be priced away
        return sum(
            self.master.add(number, route)
            for number, (floor, route) in enumerate(proven)
            if floor < paid[number] - LEAST_GAIN
        )
