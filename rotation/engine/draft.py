"""A plan being worked on: one route a run, and what they take of the garden together.

PURE.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np

from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.grid import ROOM_SLACK_G, Grid
from rotation.engine.prices import PARTS, Prices, Taken
from rotation.engine.programme import too_close


class Draft:
    """Routes of all runs, changed one run at a time; pins are there from the start."""

    def __init__(self, grid: Grid, runs: Sequence[Choices]) -> None:
        self.grid = grid
        self.runs = runs
        self.pinned: list[Route] = [
            tuple(
                Leg(grid.number_of[pin.spot], pin.first_day, pin.end_day)
                for pin in sorted(run.pinned, key=lambda pin: pin.first_day)
            )
            for run in grid.problem.runs
        ]
        self.held = list(self.pinned)
        """What each run must keep: its pins, and what a dive has fixed."""
        self.announced = [_announced(grid, run) for run in runs]
        """What of the stays that were announced each run could still have if it were alone."""
        self.routes: list[Route] = [()] * len(runs)
        self._route_costs = np.zeros(len(runs))
        self._busy = np.zeros((grid.days, grid.spot_count), dtype=np.int64)
        self._dropped_g = np.zeros(grid.window_count)
        self._free = (
            np.zeros((grid.days + 1, grid.spot_count)),
            np.zeros((len(PARTS), grid.window_count)),
            np.zeros((len(PARTS), grid.spot_count)),
        )
        """No price on any shared row."""
        for number, route in enumerate(self.pinned):
            self.put(number, route)

    @property
    def cost(self) -> float:
        """Cost of the draft as it stands."""
        earned_g = np.minimum(np.maximum(self._dropped_g, 0.0), self.grid.wanted_g).sum()
        return float(self._route_costs.sum() - self.grid.earned_per_gram * earned_g)

    def put(self, number: int, route: Route) -> None:
        """Let a run take this route instead of the one it has."""
        self._count(number, self.routes[number], -1)
        self._count(number, route, +1)
        self.routes[number] = route
        self._route_costs[number] = self.runs[number].cost_of(route)

    def lift(self, number: int) -> None:
        """Take a run's route back but for its pins."""
        self.put(number, self.pinned[number])

    def hold(self, number: int, leg: Leg) -> bool:
        """Let a run of which only what it must keep is in the draft keep one more leg; say whether it can."""
        held = self.held[number]
        route = tuple(sorted((*held, leg), key=lambda leg: leg.first_day))
        apart = all(one.end_day <= other.first_day for one, other in pairwise(route))
        if not apart or not self.fitting(number, [route]):
            return False
        self.held[number] = route
        self.put(number, route)
        return True

    def let_go(self) -> None:
        """Let runs keep their pins only."""
        self.held = list(self.pinned)

    def put_all(self, routes: Sequence[Route]) -> None:
        """Take all routes of another draft of the same problem."""
        for number, route in enumerate(routes):
            if route != self.routes[number]:
                self.put(number, route)

    def taken_by_others(self, number: int) -> tuple[Taken, Prices]:
        """Return what other runs, and this one by what it must keep, take; and what a stay would still earn."""
        self._count(number, self.routes[number], -1)
        grid, run = self.grid, self.runs[number]
        busy, dropped_g = self._busy.copy(), np.maximum(self._dropped_g, 0.0)
        self._count(number, self.routes[number], +1)
        window_left_g = grid.window_room_g - dropped_g
        spot_left_g = grid.spot_room_g.copy()
        np.subtract.at(spot_left_g, grid.window_spot, dropped_g)
        for pin in self.held[number]:
            window_left_g[run.leg_window(pin)] -= run.leg_nitrogen_g(pin)
            spot_left_g[pin.spot] -= run.leg_nitrogen_g(pin)
        prices = Prices(
            *self._free,
            earned_gram=np.full(grid.window_count, grid.earned_per_gram),
            earned_up_to_g=np.maximum(grid.wanted_g - dropped_g, 0.0),
        )
        return Taken(busy, window_left_g, spot_left_g), prices

    def fitting(self, number: int, routes: Iterable[Route]) -> list[Route]:
        """Return those routes of a run that keep every rule beside the routes of all others."""
        taken = self.taken_by_others(number)[0]
        return [route for route in routes if self._fits(number, route, taken)]

    def what_fits(self, number: int, route: Route) -> Route:
        """Return a run's pins and the legs of a route that keep the rules beside them and all others."""
        taken = self.taken_by_others(number)[0]
        kept = self.pinned[number]
        for leg in route:
            apart = all(
                leg.end_day <= one.first_day or one.end_day <= leg.first_day for one in kept
            )
            more = tuple(sorted((*kept, leg), key=lambda leg: leg.first_day))
            if apart and self._fits(number, more, taken):
                kept = more
        return kept

    def _fits(self, number: int, route: Route, taken: Taken) -> bool:
        if too_close(route, self.grid.rest):
            return False
        run = self.runs[number]
        used_g: dict[tuple[str, int], float] = defaultdict(float)
        for leg in route:
            if leg in self.held[number]:
                continue
            window, dropped_g = run.leg_window(leg), run.leg_nitrogen_g(leg)
            used_g["window", window] += dropped_g
            used_g["spot", leg.spot] += dropped_g
            over_g = max(
                used_g["window", window] - taken.window_left_g[window],
                used_g["spot", leg.spot] - taken.spot_left_g[leg.spot],
            )
            covered = taken.busy[leg.first_day : leg.end_day + self.grid.rest, leg.spot]
            if over_g > ROOM_SLACK_G or covered.any():
                return False
        return True

    def _count(self, number: int, route: Route, sign: int) -> None:
        run = self.runs[number]
        for leg in route:
            self._busy[leg.first_day : leg.end_day + self.grid.rest, leg.spot] += sign
            self._dropped_g[run.leg_window(leg)] += sign * run.leg_nitrogen_g(leg)


def _announced(grid: Grid, run: Choices) -> Route:
    """Return, of the stays that were announced to a run, those that are open to it."""
    asked = grid.problem.runs[run.number]
    legs = (
        Leg(grid.number_of[span.spot], span.first_day, span.end_day) for span in asked.announced
    )
    return tuple(sorted(filter(run.is_open, legs), key=lambda leg: leg.first_day))
