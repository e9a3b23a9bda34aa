"""A quick climb to good prices, before the linear programme knows enough routes to give any.

PURE. Subgradient steps on the Lagrangian bound: rows that the runs' cheapest routes overfill grow dearer,
the others cheaper. Every step proves a bound by itself; the best prices are where column generation begins.
"""

from collections.abc import Callable, Sequence

import numpy as np

from rotation.engine.choices import Choices, Route
from rotation.engine.duals import Duals
from rotation.engine.grid import Grid
from rotation.engine.prices import PARTS, crowding

FIRST_STEP, LEAST_STEP = 0.3, 0.02
"""Share of the way to the best plan's cost that a step aims at, at first and in the end (a choice)."""

PATIENCE = 6
"""Steps without a better bound after which they are halved (a choice)."""

INERTIA = 0.9
"""Weight of the last direction in the next (a choice)."""

SCALES = (1.0, 20.0, 20.0, 20.0)
"""How far a step goes in the prices of days, of windows' and spots' rooms and of lost earnings (a choice).

A stay with its rest pays for some forty days at once and for one room: days alone would lead the way.
"""

LEAST_GAIN = 1e-3
"""Share of the bound by which it must grow to count as better."""


class Ascent:
    """Prices on the way up.

    Parameters
    ----------
    prove : callable
        Gives the bound at some prices and the runs' cheapest routes.
    """

    def __init__(
        self,
        grid: Grid,
        runs: Sequence[Choices],
        prove: Callable[[Duals], tuple[float, list[Route]]],
    ) -> None:
        self.grid = grid
        self.runs = runs
        self.prove = prove
        self.duals = Duals.none(grid)
        self.step_share = FIRST_STEP
        self._best = -np.inf
        self._waited = 0
        self._direction: list[np.ndarray] | None = None

    @property
    def is_done(self) -> bool:
        """Whether steps have grown too small to be worth taking."""
        return self.step_share < LEAST_STEP

    def step(self, upper: float) -> None:
        """Bound the cost at the present prices and move them towards what a plan of cost `upper` allows."""
        value, routes = self.prove(self.duals)
        gains = self._best == -np.inf or value > self._best + LEAST_GAIN * abs(self._best)
        self._best = max(value, self._best)
        self._waited = 0 if gains else self._waited + 1
        if self._waited >= PATIENCE:
            self.step_share, self._waited = self.step_share / 2, 0
        prices = self._as_prices(self.duals)
        slopes = [
            np.where((price > 0) | (slope > 0), slope, 0.0)
            for price, slope in zip(prices, self._slopes(routes), strict=True)
        ]
        if self._direction is not None:
            slopes = [
                slope + INERTIA * last for slope, last in zip(slopes, self._direction, strict=True)
            ]
        self._direction = slopes
        size = sum(
            scale * float((slope**2).sum()) for scale, slope in zip(SCALES, slopes, strict=True)
        )
        if size > 0:
            step = self.step_share * max(upper - value, 1e-6 * abs(upper)) / size
            moved = [
                np.maximum(price + step * scale * slope, 0.0)
                for scale, price, slope in zip(SCALES, prices, slopes, strict=True)
            ]
            self.duals = self._as_duals(moved)

    def _as_prices(self, duals: Duals) -> list[np.ndarray]:
        """Return the prices of rows of one; a window's earnings are a row too, dear where little is earned."""
        lost = (self.grid.earned_per_gram - duals.earned_gram) * self.grid.wanted_g
        return [duals.busy, duals.window_room, duals.spot_room, lost]

    def _as_duals(self, prices: Sequence[np.ndarray]) -> Duals:
        busy, window_room, spot_room, lost = prices
        wanted_g = np.maximum(self.grid.wanted_g, 1e-9)
        earned = np.maximum(self.grid.earned_per_gram - lost / wanted_g, 0.0)
        return Duals(busy, window_room, spot_room, earned)

    def _slopes(self, routes: Sequence[Route]) -> list[np.ndarray]:
        """Return by how much the routes overfill each row."""
        grid = self.grid
        busy = np.full((grid.days, grid.spot_count), -1.0)
        window_room = np.full((len(PARTS), grid.window_count), -1.0)
        spot_room = np.full((len(PARTS), grid.spot_count), -1.0)
        earned = np.full(grid.window_count, -1.0)
        for run, route in zip(self.runs, routes, strict=True):
            for leg in route:
                window, dropped_g = run.leg_window(leg), run.leg_nitrogen_g(leg)
                busy[leg.first_day : leg.end_day + grid.rest, leg.spot] += 1.0
                for way, parts in enumerate(PARTS):
                    room_g, spot_g = grid.window_room_g[window], grid.spot_room_g[leg.spot]
                    window_room[way, window] += crowding(dropped_g, room_g, parts)
                    spot_room[way, leg.spot] += crowding(dropped_g, spot_g, parts)
                wanted_g = max(float(grid.wanted_g[window]), 1e-9)
                earned[window] += min(dropped_g / wanted_g, 1.0)
        return [busy, window_room, spot_room, earned]
