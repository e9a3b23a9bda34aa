"""Cheap lawful routes of one run: the most promising parts of routes, followed day by day.

PURE. A part of a route that leaves a place on a day is compared only with others that leave the same place on
that day, and the cheapest few are followed. What comes out keeps the run's own rests and, where it returns to a
spot, the room that its first visit left; it is cheap but not proven the cheapest.
"""

from collections.abc import Iterator

import numpy as np

from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.grid import ROOM_SLACK_G, Floats, Grid
from rotation.engine.kernels import NONE
from rotation.engine.kernels.beam import beam
from rotation.engine.kernels.prices import open_lengths
from rotation.engine.prices import Taken

SIGNS = np.random.default_rng(0).integers(1, 2**63, 4096, dtype=np.uint64)
"""By place, so that parts of routes that went to the same places are known; any unlike numbers do."""


class Lawful:
    """The routes that one search found, the cheapest first.

    Parameters
    ----------
    grid : Grid
        The garden.
    run : Choices
        The run to be routed.
    price : array of float
        Cost of each stay but for entering it.
    width : int
        Parts followed for each day and place left, >= 1.
    taken : Taken, optional
        What other runs have taken; without it only the run's own second visits count.
    """

    def __init__(
        self, grid: Grid, run: Choices, price: Floats, width: int, taken: Taken | None = None
    ) -> None:
        self.run = run
        window_left_g = taken.window_left_g if taken else grid.window_room_g
        spot_left_g = taken.spot_left_g if taken else grid.spot_room_g
        self._last, parts = beam(
            price,
            open_lengths(price, run.off),
            run.off,
            run.carry,
            run.move,
            grid.rest,
            width,
            run.nitrogen_g,
            run.window,
            window_left_g + ROOM_SLACK_G,
            spot_left_g[run.spots] + ROOM_SLACK_G,
            np.append(np.resize(SIGNS, len(run.spots)), np.uint64(0)),
        )
        self.costs, self._place, self._before = parts["cost"], parts["place"], parts["before"]
        self._began, self._ended = parts["began"], parts["ended"]

    def __len__(self) -> int:
        return len(self._last)

    def cost(self, rank: int = 0) -> float:
        """Return the cost of the route of a rank."""
        return float(self.costs[self._last[rank]])

    def route(self, rank: int = 0) -> Route:
        """Return the route of a rank; 0 is the cheapest."""
        return tuple(reversed(list(self._legs(int(self._last[rank])))))

    def below(self, cost: float, most: int) -> Iterator[Route]:
        """Yield at most so many routes, as long as they cost less than `cost`."""
        for rank in range(min(most, len(self))):
            if self.cost(rank) >= cost:
                return
            yield self.route(rank)

    def _legs(self, label: int) -> Iterator[Leg]:
        run, off_bed = self.run, len(self.run.spots)
        while self._before[label] != NONE:
            place = self._place[label]
            if place != off_bed:
                started, ended = int(self._began[label]), int(self._ended[label])
                yield Leg(int(run.spots[place]), run.first_day + started, run.first_day + ended)
            label = int(self._before[label])
