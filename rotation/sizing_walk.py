"""A quick plan of the way of the pens over the beds, for sizing a season: thousands are tried.

PURE. Day by day every pen goes where it can stay longest. What comes out keeps the rules that the planner
keeps (windows, rest, longest stay, nitrogen room), so it is a plan that exists, seldom the best one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import numpy as np

from rotation.sizing import BatchSize, Bird

TOLERANCE_G = 1e-6


@dataclass(frozen=True)
class Place:
    """A place for pens of one size; `windows` are ``(first_day, end_day, room_g)``."""

    size: int
    room_g: float
    windows: tuple[tuple[int, int, float], ...]
    shares: tuple[tuple[int, float], ...] = ()
    """Other places on the same ground, and the share of what is dropped here that lies there."""


@dataclass(frozen=True)
class StayRules:
    """The garden's days."""

    max_stay_days: int
    rest_days: int
    min_stay_days: int = 1


class Walk:
    """The ground as batches one after the other leave it."""

    def __init__(self, places: Sequence[Place], rules: StayRules) -> None:
        self.rules = rules
        rows = [(index, *window) for index, place in enumerate(places) for window in place.windows]
        table = np.array(rows, dtype=float).reshape(-1, 4)
        self._of, self._first, self._end = (table[:, i].astype(int) for i in range(3))
        self._window_g = table[:, 3].copy()
        self._place_g = np.array([place.room_g for place in places], dtype=float)
        self._size = np.array([place.size for place in places], dtype=int)
        self._free_from = np.zeros(len(places), dtype=int)
        self._shares = [place.shares for place in places]

    @property
    def room_g(self) -> float:
        """Return what all places of one size of pen may still take together, of the size that has most [g]."""
        open_at = np.unique(self._of)
        sizes, room_g = self._size[open_at], self._place_g[open_at]
        return max((float(room_g[sizes == size].sum()) for size in set(sizes)), default=0.0)

    def copy(self) -> "Walk":
        """Return the same ground, to be walked another way."""
        other = object.__new__(Walk)
        other.__dict__ |= self.__dict__
        other._window_g, other._place_g = self._window_g.copy(), self._place_g.copy()
        other._free_from = self._free_from.copy()
        return other

    def take(self, batch: BatchSize, birds: Sequence[tuple[int, int]], bird: Bird) -> int:
        """Walk one batch's pens over the ground and return their off-bed days.

        Parameters
        ----------
        birds : sequence of (int, int)
            For each pen its size and its birds.
        """
        first, end = batch.out_day(bird), batch.end_day(bird)
        running_g = np.cumsum(np.array(bird.nitrogen_g[: end - first]))
        waiting = [(first, number) for number in range(len(birds))]
        heapify(waiting)
        off = 0
        while waiting:
            day, pen = heappop(waiting)
            if day >= end:
                continue
            size, count = birds[pen]
            stays = self._stay(day, end, size, count * running_g, first)
            off += not stays
            heappush(waiting, (day + max(stays, 1), pen))
        return off

    def _stay(self, day: int, end: int, size: int, running_g: np.ndarray, first: int) -> int:
        """Let a pen stay where it can longest; return for how many days, 0 for nowhere."""
        of = self._of
        open_now = np.flatnonzero(
            (self._first <= day)
            & (day < self._end)
            & (self._size[of] == size)
            & (self._free_from[of] <= day)
        )
        if not len(open_now):
            return 0
        before_g = running_g[day - first - 1] if day > first else 0.0
        ahead_g = running_g[day - first :] - before_g
        room_g = np.minimum(self._window_g[open_now], self._place_g[of[open_now]])
        held = np.searchsorted(ahead_g, room_g + TOLERANCE_G, side="right")
        held = np.minimum(held, self._end[open_now] - day)
        held = np.minimum(held, min(self.rules.max_stay_days, end - day))
        best = int(held.max())
        if best < self.rules.min_stay_days:
            return 0
        longest = np.flatnonzero(held == best)
        # Of equally long stays the one that leaves least room unused.
        window = open_now[longest[np.argmin(room_g[longest])]]
        self._leave(int(of[window]), day, day + best, float(ahead_g[best - 1]))
        return best

    def _leave(self, place: int, first_day: int, end_day: int, dropped_g: float) -> None:
        for index, share in ((place, 1.0), *self._shares[place]):
            self._place_g[index] -= share * dropped_g
            here = (self._of == index) & (self._first <= first_day) & (first_day < self._end)
            self._window_g[here] -= share * dropped_g
            free_from = end_day + self.rules.rest_days
            self._free_from[index] = max(self._free_from[index], free_from)
