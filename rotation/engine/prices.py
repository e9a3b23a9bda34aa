"""What the garden charges a run for a stay: rest days, nitrogen room, nitrogen wanted.

PURE. The same charge serves the bound (prices from the linear programme) and the repair of a plan
(what other runs have taken is shut, what they have dropped is no longer earned).
"""

from dataclasses import dataclass
from operator import itemgetter

import numpy as np

from rotation.engine.choices import Choices, Route
from rotation.engine.grid import ROOM_SLACK_G, Floats, Grid, Ints
from rotation.engine.kernels.prices import WAYS, crowded, price_stays, shut_taken
from rotation.engine.levels import LevelCut
from rotation.engine.problem import NITROGEN_TOLERANCE_G

PARTS = WAYS
"""The ways in which a stay is counted against a room; see `crowding`."""
NOTHING = np.zeros(0)


def crowding(nitrogen_g: float, room_g: float, parts: int) -> float:
    """Return what a stay takes of a room of one: sums of it over lawful stays never pass 1.

    With no parts it is the plain share of the room. With two, a stay that takes more than half
    counts 1 and a smaller one nothing, because two of the larger never fit; with three, more than a third
    counts 1/2 and more than two thirds 1. These are the dual feasible functions
    ``floor((k + 1) x) / k``, with the share itself where ``(k + 1) x`` is whole [1]_. The room is
    taken with the tolerance that the rules allow, so exactly half counts as less than half.

    References
    ----------
    .. [1] Fekete and Schepers' functions for bin packing bounds, from memory.
    """
    return crowded(nitrogen_g, room_g + NITROGEN_TOLERANCE_G, parts)


@dataclass(frozen=True)
class Prices:
    """Prices on the garden's shared rows, all >= 0."""

    busy: Floats
    """Running sums over days, one row a day and one more, of the price of each day and spot covered."""
    window_room: Floats
    """For each whole room of a window, by way of counting in `PARTS` and window."""
    spot_room: Floats
    """For each whole room of a spot, likewise."""
    earned_gram: Floats
    """Earned for each gram in a window, up to `earned_up_to_g` a stay."""
    earned_up_to_g: Floats
    cuts: tuple[tuple[LevelCut, float], ...] = ()
    """Limits on levels of nitrogen with their prices."""

    def steps(self, grid: Grid, number: int) -> tuple[Ints, Floats, Floats]:
        """Return what the cuts charge a run by window: where each window's steps begin, their nitrogen [g],
        their charge.
        """
        steps_of = np.zeros(grid.window_count + 1, dtype=np.int64)
        parts = [
            (window, from_g, price * rise)
            for cut, price in self.cuts
            for window, from_g, rise in cut.rises.get(number, ())
        ]
        if not parts:
            return steps_of, NOTHING, NOTHING
        parts.sort(key=itemgetter(0))
        for window, from_g, _ in parts:
            steps_of[window + 1] += len(from_g)
        from_g = np.concatenate([part[1] for part in parts])
        charge = np.concatenate([part[2] for part in parts])
        return np.cumsum(steps_of), from_g, charge


@dataclass(frozen=True)
class Taken:
    """What other runs have taken of the garden."""

    busy: Ints
    """Number of visits, their rests included, by day and spot."""
    window_left_g: Floats
    """Room left in each window."""
    spot_left_g: Floats
    """Room left on each spot."""


def stay_prices(
    grid: Grid, run: Choices, prices: Prices, taken: Taken | None = None, pins: Route = ()
) -> Floats:
    """Return the cost of each stay but for entering it, shaped like ``run.base``.

    With `taken`, stays that would break rest or nitrogen rules against other runs cost inf, but for the
    run's own `pins`, which `taken` counts already.
    """
    if not len(run.spots) or not grid.window_count:
        return run.base
    price = price_stays(
        run.base,
        run.nitrogen_g,
        run.window,
        run.spots,
        run.first_day,
        grid.rest,
        prices.busy,
        prices.window_room,
        prices.spot_room,
        grid.window_room_g + NITROGEN_TOLERANCE_G,
        grid.spot_room_g + NITROGEN_TOLERANCE_G,
        prices.earned_gram,
        prices.earned_up_to_g,
        *prices.steps(grid, run.number),
    )
    if taken is not None:
        held = [(run.at(pin), price[run.at(pin)]) for pin in pins]
        shut_taken(
            price,
            run.nitrogen_g,
            run.window,
            run.spots,
            run.first_day,
            grid.rest,
            taken.busy,
            taken.window_left_g,
            taken.spot_left_g,
            ROOM_SLACK_G,
        )
        for stay, cost in held:
            price[stay] = cost
    return price
