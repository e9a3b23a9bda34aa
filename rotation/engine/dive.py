"""Plans made with the linear programme's help: what it is surest of is fixed first, and the rest priced again.

PURE.
"""

from collections.abc import Callable, Sequence
from functools import partial
from heapq import nsmallest
from random import Random

import numpy as np

from rotation.engine.bound import COLUMNS, LEAST_GAIN, WIDTH, Bound
from rotation.engine.draft import Draft
from rotation.engine.grid import Floats
from rotation.engine.lawful import Lawful
from rotation.engine.master import Master
from rotation.engine.prices import stay_prices
from rotation.engine.repair import best_response

ROUNDS = 8
"""Rounds of pricing after each route that is fixed (a choice)."""

BLUR = 0.3
"""How far chance moves a route's share unless told otherwise (a choice)."""

KNOWN = 1500
"""Known routes of a lifted run that a dive begins with at most (a choice)."""

TAKEN = 1e-6
"""Share above which a route counts as taken at all."""


class Dive:
    """Puts lifted runs back into a draft, one after another.

    Parameters
    ----------
    bound : Bound
        The column generation; what it has learnt is used and added to.
    draft : Draft
        The plan worked on.
    """

    def __init__(self, bound: Bound, draft: Draft, random: Random) -> None:
        self.bound = bound
        self.draft = draft
        self.random = random

    def run(self, lifted: Sequence[int], go_on: Callable[[], bool], blur: float = BLUR) -> None:
        """Lift runs out of the draft and put them back; whenever `go_on` ends it, the draft is whole.

        `blur` is how far chance moves a route's share before the surest is taken.
        """
        for number in lifted:
            self.draft.lift(number)
        master, left = self._master(lifted), list(lifted)
        while left and go_on():
            shares = self._priced(master, left)
            for number in self._fixed(master, left, shares, blur):
                left.remove(number)
        for number in left:
            self.draft.put(number, best_response(self.draft, number, WIDTH))

    def _master(self, lifted: Sequence[int]) -> Master:
        """Return a linear programme of what is known of the lifted runs, with all others as they are."""
        bound, draft, whole = self.bound, self.draft, self.bound.master
        for number, route in enumerate(draft.routes):
            whole.add(number, route)
        keep = [whole.column_of[entry] for entry in enumerate(draft.routes)]
        prices = bound.guide.prices(bound.grid)
        for number in lifted:
            run = bound.runs[number]
            price = stay_prices(bound.grid, run, prices)
            known = [route for owner, route in whole.columns if owner == number]
            cheap = nsmallest(KNOWN, known, key=partial(run.priced, price))
            keep += [
                whole.column_of[number, route]
                for route in draft.fitting(number, cheap)
                if route != draft.routes[number]
            ]
        master = whole.part(keep)
        for number, route in enumerate(draft.routes):
            if number not in lifted:
                master.hold(master.column_of[number, route], 1.0)
        return master

    def _priced(self, master: Master, left: Sequence[int]) -> Floats:
        """Add routes of the runs that are left until none is worth it; return the columns' shares."""
        bound, grid = self.bound, self.bound.grid
        for _ in range(ROUNDS):
            shares = master.solve()
            prices, paid, new = master.duals().prices(grid), master.paid(), 0
            for number in left:
                run = bound.runs[number]
                taken = self.draft.taken_by_others(number)[0]
                price = stay_prices(grid, run, prices, taken, self.draft.pinned[number])
                found = Lawful(grid, run, price, WIDTH, taken)
                for route in found.below(paid[number] - LEAST_GAIN, COLUMNS):
                    new += master.add(number, route)
                    bound.master.add(number, route)
            if not new:
                return shares
        return master.solve()

    def _fixed(self, master: Master, left: Sequence[int], shares: Floats, blur: float) -> list[int]:
        """Fix the routes that the programme is surest of; return their runs."""
        fixed = list[int]()
        hopes = [
            (shares[column] + self.random.uniform(0, blur) * (shares[column] < 1 - TAKEN), column)
            for column in np.flatnonzero(shares > TAKEN)
        ]
        for _, column in sorted(hopes, reverse=True):
            number, route = master.columns[column]
            if number not in left or number in fixed:
                continue
            if self.draft.clashes(number, route):
                master.hold(column, 0.0)
            elif not fixed or shares[column] > 1 - TAKEN:
                master.hold(column, 1.0)
                self.draft.put(number, route)
                fixed.append(number)
        return fixed
