"""A plan being worked on: one route a run, and what they take of the garden together.

PURE.
"""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.grid import ROOM_SLACK_G, Grid
from rotation.engine.prices import PARTS, Prices, Taken


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
        self.routes: list[Route] = [()] * len(runs)
        self._route_costs = np.zeros(len(runs))
        self._busy = np.zeros((grid.days, grid.spot_count), dtype=np.int64)
        self._dropped_g = np.zeros(grid.window_count)
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

    def put_all(self, routes: Sequence[Route]) -> None:
        """Take all routes of another draft of the same problem."""
        for number, route in enumerate(routes):
            if route != self.routes[number]:
                self.put(number, route)

    def taken_by_others(self, number: int) -> tuple[Taken, Prices]:
        """Return what all other runs take, and what a stay of this one would still earn."""
        self._count(number, self.routes[number], -1)
        grid = self.grid
        dropped_g = np.maximum(self._dropped_g, 0.0)
        spot_left_g = grid.spot_room_g.copy()
        np.subtract.at(spot_left_g, grid.window_spot, dropped_g)
        taken = Taken(
            busy=self._busy > 0,
            window_left_g=grid.window_room_g - dropped_g,
            spot_left_g=spot_left_g,
        )
        prices = Prices(
            busy=np.zeros((grid.days, grid.spot_count)),
            window_room=np.zeros((len(PARTS), grid.window_count)),
            spot_room=np.zeros((len(PARTS), grid.spot_count)),
            earned_gram=np.full(grid.window_count, grid.earned_per_gram),
            earned_up_to_g=np.maximum(grid.wanted_g - dropped_g, 0.0),
        )
        self._count(number, self.routes[number], +1)
        return taken, prices

    def _count(self, number: int, route: Route, sign: int) -> None:
        run = self.runs[number]
        for leg in route:
            self._busy[leg.first_day : leg.end_day + self.grid.rest, leg.spot] += sign
            self._dropped_g[run.leg_window(leg)] += sign * run.leg_nitrogen_g(leg)


def overload(run: Choices, route: Route, pinned: Route, taken: Taken) -> Leg | None:
    """Return the first leg for which the pins and its own earlier legs leave no room, if any."""
    in_window_g: dict[int, float] = defaultdict(float)
    on_spot_g: dict[int, float] = defaultdict(float)
    for leg in (*pinned, *(leg for leg in route if leg not in pinned)):
        window = run.leg_window(leg)
        in_window_g[window] += run.leg_nitrogen_g(leg)
        on_spot_g[leg.spot] += run.leg_nitrogen_g(leg)
        over_window_g = in_window_g[window] - taken.window_left_g[window]
        over_spot_g = on_spot_g[leg.spot] - taken.spot_left_g[leg.spot]
        if max(over_window_g, over_spot_g) > ROOM_SLACK_G and leg not in pinned:
            return leg
    return None
