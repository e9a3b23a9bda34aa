"""What the garden charges a run for a stay: rest days, nitrogen room, nitrogen wanted.

PURE. The same charge serves the bound (prices from the linear programme) and the repair of a plan
(what other runs have taken is shut, what they have dropped is no longer earned).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rotation.engine.choices import Choices
from rotation.engine.grid import ROOM_SLACK_G, Floats, Grid, Ints
from rotation.engine.problem import NITROGEN_TOLERANCE_G

PARTS = (0, 2, 3)
"""The ways in which a stay is counted against a room; see `crowding`."""


def crowding(nitrogen_g: Floats, room_g: Floats, parts: int) -> Floats:
    """Return what stays take of a room of one: sums of it over lawful stays never pass 1.

    With no parts it is the plain share of the room. With two, a stay that takes more than half
    counts 1 and a smaller one nothing, because two of the larger never fit; with three, more than a third
    counts 1/2 and more than two thirds 1. These are the dual feasible functions
    ``floor((k + 1) x) / k``, with the share itself where ``(k + 1) x`` is whole [1]_. The room is
    taken with the tolerance that the rules allow, so exactly half counts as less than half.

    References
    ----------
    .. [1] Fekete and Schepers' functions for bin packing bounds, from memory.
    """
    share = nitrogen_g / (room_g + NITROGEN_TOLERANCE_G)
    if not parts:
        return share
    scaled = parts * share
    whole = np.abs(scaled - np.rint(scaled)) < 1e-9
    return np.where(whole, share, np.floor(scaled) / (parts - 1))


@dataclass(frozen=True)
class Prices:
    """Prices on the garden's shared rows, all >= 0."""

    busy: Floats
    """For each day and spot that a stay or the rest after it covers."""
    window_room: Floats
    """For each whole room of a window, by way of counting in `PARTS` and window."""
    spot_room: Floats
    """For each whole room of a spot, likewise."""
    earned_gram: Floats
    """Earned for each gram in a window, up to `earned_up_to_g` a stay."""
    earned_up_to_g: Floats


@dataclass(frozen=True)
class Taken:
    """What other runs have taken of the garden."""

    busy: NDArray[np.bool_]
    """Day and spot covered by a stay or the rest after it."""
    window_left_g: Floats
    """Room left in each window."""
    spot_left_g: Floats
    """Room left on each spot."""


def stay_prices(grid: Grid, choices: Choices, prices: Prices, taken: Taken | None = None) -> Floats:
    """Return the cost of each stay but for entering it, shaped like ``choices.base``.

    With `taken`, stays that would break rest or nitrogen rules against other runs cost inf.
    """
    if not len(choices.spots) or not grid.window_count:
        return choices.base
    start, end = _covered_days(grid, choices)
    spots = choices.spots
    running = _running(prices.busy[:, spots])
    price = choices.base + running[end] - running[start][:, None, :]
    nitrogen_g = choices.nitrogen_g[:, :, None]
    _charge_rooms(grid, choices, prices, price)
    earned_g = np.minimum(nitrogen_g, prices.earned_up_to_g[choices.window][:, None, :])
    price -= earned_g * prices.earned_gram[choices.window][:, None, :]
    if taken is not None:
        running = _running(taken.busy[:, spots])
        price[running[end] > running[start][:, None, :]] = np.inf
        left_g = np.minimum(taken.window_left_g[choices.window], taken.spot_left_g[spots])
        price[nitrogen_g > left_g[:, None, :] + ROOM_SLACK_G] = np.inf
    return price


def _charge_rooms(grid: Grid, choices: Choices, prices: Prices, price: Floats) -> None:
    """Add what stays take of the rooms of their windows and spots, where that has a price."""
    for way, parts in enumerate(PARTS):
        window_price = prices.window_room[way][choices.window]
        spot_price = np.broadcast_to(prices.spot_room[way][choices.spots], window_price.shape)
        rooms_g = grid.window_room_g[choices.window], grid.spot_room_g[choices.spots]
        for charge, room_g in zip((window_price, spot_price), rooms_g, strict=True):
            priced = np.flatnonzero(charge.any(axis=0))
            if len(priced):
                room_g = np.broadcast_to(room_g, charge.shape)[:, None, priced]
                taken = crowding(choices.nitrogen_g[:, :, None], room_g, parts)
                price[:, :, priced] += taken * charge[:, None, priced]


def _covered_days(grid: Grid, choices: Choices) -> tuple[Ints, Ints]:
    """Return first day by start, and the day after the rest by start and length less one."""
    start = choices.first_day + np.arange(choices.days)
    lengths = np.arange(1, choices.base.shape[1] + 1)
    return start, np.minimum(start[:, None] + lengths[None, :] + grid.rest, grid.days)


def _running(per_day: NDArray) -> NDArray:
    sums = np.zeros((len(per_day) + 1, per_day.shape[1]), dtype=float)
    np.cumsum(per_day, axis=0, out=sums[1:])
    return sums
