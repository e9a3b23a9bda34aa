"""Plans made with the linear programme's help: what it is surest of is fixed first, and the rest priced again.

PURE. What is fixed is a single stay, not a route: the rest of the run is still free to give way.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from random import Random

import numpy as np

from rotation.engine.bound import COLUMNS, LEAST_GAIN, WIDTH
from rotation.engine.choices import Choices, Leg
from rotation.engine.draft import Draft
from rotation.engine.grid import ROOM_SLACK_G, Floats
from rotation.engine.lawful import Lawful
from rotation.engine.master import Master
from rotation.engine.prices import stay_prices
from rotation.engine.repair import best_response

ROUNDS = 4
"""Rounds of pricing after stays have been fixed (a choice)."""

SURE = 0.9
"""Share from which stays are fixed beside the surest one (a choice)."""

BLUR = 0.3
"""How far chance moves a stay's share unless told otherwise (a choice)."""

TAKEN = 1e-6
"""Share above which a route counts as taken at all."""


class Dive:
    """Puts lifted runs back into a draft, stay after stay.

    Parameters
    ----------
    draft : Draft
        The plan worked on.
    known : Master
        The linear programme with the routes to begin with.
    """

    def __init__(self, draft: Draft, known: Master, random: Random) -> None:
        self.draft = draft
        self.known = known
        self.random = random

    def run(self, lifted: Sequence[int], go_on: Callable[[], bool], blur: float = BLUR) -> None:
        """Lift runs out of the draft and put them back; whenever `go_on` ends it, the draft is whole.

        `blur` is how far chance moves a stay's share before the surest is taken.
        """
        draft = self.draft
        before = list(draft.routes)
        for number in lifted:
            draft.lift(number)
        runs = {number: draft.runs[number] for number in lifted}
        master, fixes = self._master(lifted, before), True
        while fixes and go_on():
            fixes = self._fix(master, runs, self._priced(master, runs), blur)
        for run in runs.values():
            draft.put(run.number, best_response(draft, run, WIDTH))
        draft.let_go()

    def _master(self, lifted: Sequence[int], before: Sequence[tuple[Leg, ...]]) -> Master:
        """Return a linear programme of what is known of the lifted runs, with all others as they are."""
        draft, known = self.draft, self.known
        for number, route in enumerate(draft.routes):
            known.add(number, route)
        keep = [known.column_of[entry] for entry in enumerate(draft.routes)]
        for number in lifted:
            known.add(number, before[number])
            routes = [route for owner, route in known.columns if owner == number]
            keep += [
                known.column_of[number, route]
                for route in draft.fitting(number, routes)
                if route != draft.routes[number]
            ]
        master = known.part(keep)
        for number, route in enumerate(draft.routes):
            if number not in lifted:
                master.hold(master.column_of[number, route], 1.0)
        return master

    def _priced(self, master: Master, runs: dict[int, Choices]) -> Floats:
        """Add routes of the lifted runs until none is worth it; return the columns' shares."""
        grid, draft = self.draft.grid, self.draft
        for _ in range(ROUNDS):
            shares = master.solve()
            prices, paid, new = master.duals().prices(grid), master.paid(), 0
            for number, run in runs.items():
                taken = draft.taken_by_others(number)[0]
                price = stay_prices(grid, run, prices, taken, draft.held[number])
                found = Lawful(grid, run, price, WIDTH, taken)
                for route in found.below(paid[number] - LEAST_GAIN, COLUMNS):
                    new += master.add(number, route)
            if not new:
                return shares
        return master.solve()

    def _fix(self, master: Master, runs: dict[int, Choices], shares: Floats, blur: float) -> int:
        """Fix the stay that the programme is surest of, and others it is sure of; return how many."""
        used: dict[tuple[int, Leg], float] = defaultdict(float)
        for column in np.flatnonzero(shares > TAKEN):
            number, route = master.columns[column]
            for leg in route if number in runs else ():
                if leg not in self.draft.held[number]:
                    used[number, leg] += shares[column]
        hopes = [
            (share + self.random.uniform(0, blur) * (share < 1 - TAKEN), stay)
            for stay, share in used.items()
        ]
        fixes = 0
        for _, (number, leg) in sorted(hopes, reverse=True):
            is_sure = used[number, leg] > SURE
            if (is_sure or not fixes) and self.draft.hold(number, leg):
                runs[number] = runs[number].holding(leg, self.draft.grid.rest)
                self._keep(master, number, leg)
                fixes += 1
        return fixes

    def _keep(self, master: Master, number: int, leg: Leg) -> None:
        """Have the programme keep a stay that the draft holds: shut what clashes with it."""
        draft, run = self.draft, self.draft.runs[number]
        taken, window = draft.taken_by_others(number)[0], run.leg_window(leg)
        held = {(number, leg) for number, legs in enumerate(draft.held) for leg in legs}
        covered_to = leg.end_day + draft.grid.rest
        shut = []
        for visit in master.visits_on(leg.spot):
            end_day = visit.end_day - draft.grid.rest
            if (
                visit.run == number
                or (visit.run, Leg(visit.spot, visit.first_day, end_day)) in held
            ):
                continue
            meets = visit.first_day < covered_to and leg.first_day < visit.end_day
            left_g = taken.spot_left_g[leg.spot]
            if visit.window == window:
                left_g = min(left_g, taken.window_left_g[window])
            if meets or visit.nitrogen_g > left_g + ROOM_SLACK_G:
                shut.append(visit)
        master.keep_leg(number, leg, shut)
        master.add(number, draft.held[number])
