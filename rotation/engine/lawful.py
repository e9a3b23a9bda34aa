"""A cheap route of one run that keeps its own rests: a narrowed label search.

PURE. A *label* is the part of a route up to some day: its cost, the place just left and the day
from which each place is free to it again. Labels are followed day by day. A label's *promise* is its
cost and what `rotation.engine.pricing` says it must still cost at the least. Of labels that differ
only in cost one is kept, and of the rest only the `width` most promising of a day are followed, so
the route found is lawful and cheap but not proven the cheapest.
"""

from typing import NamedTuple

import numpy as np

from rotation.engine.choices import Leg, Route
from rotation.engine.grid import Floats, Ints
from rotation.engine.pricing import Relaxed


class _Labels(NamedTuple):
    """Labels that end on one day, as columns; `before` numbers the label that each goes on from."""

    promise: Floats
    cost: Floats
    place: Ints
    start: Ints
    before: Ints

    def chosen(self, which: Ints) -> "_Labels":
        return _Labels(*(column[which] for column in self))


class LawfulSearch:
    """One label search from the relaxed programme at the same prices.

    Parameters
    ----------
    relaxed : Relaxed
        The solved programme that ignores rests.
    rest : int
        Days a spot rests.
    width : int
        Labels of a day that are followed at most, >= 1.
    """

    def __init__(self, relaxed: Relaxed, rest: int, width: int) -> None:
        self.relaxed = relaxed
        self.rest = rest
        self.width = width
        choices, price = relaxed.choices, relaxed.price
        self.days, self.longest, self.places = price.shape
        self._arrival = np.vstack([choices.carry, np.zeros(self.places)]) + choices.move
        startable = np.isfinite(price).any(axis=1)
        self._last_start = np.where(startable, np.arange(self.days)[:, None], -1).max(axis=0)
        # weights so uneven that unlike freedoms do not add up to one signature
        self._weights = np.random.default_rng(0).random(self.places)
        self._offers: list[list[_Labels]] = [[] for _ in range(self.days + 1)]
        self._kept: list[_Labels] = []
        self._kept_by_day = np.zeros(self.days + 2, dtype=np.int64)
        """Number of the first label kept of each day."""
        most_kept = (self.days + 1) * width
        self._free_from = np.zeros((most_kept, self.places), dtype=np.int16)

    def route(self) -> Route:
        """Follow the labels to the last day and return the cheapest route among them."""
        start = np.array([self.relaxed.cost]), np.zeros(1), np.array([self.places])
        zero = np.zeros(1, dtype=np.int64)
        self._offers[0].append(_Labels(*start, zero, zero))
        for day in range(self.days):
            self._keep(day)
            if len(self._kept[day].cost):
                self._stay_off(day)
                self._enter(day)
        self._keep(self.days)
        return self._traced(int(self._kept[self.days].cost.argmin()))

    def _keep(self, day: int) -> None:
        """Keep the most promising of the labels offered to a day, no two of them alike."""
        nothing = _Labels(*[np.zeros(0)] * 2, *[np.zeros(0, dtype=np.int64)] * 3)
        offers = self._offers[day] or [nothing]
        labels = _Labels(*(np.concatenate(column) for column in zip(*offers, strict=True)))
        # some of these will turn out alike, so more than the width are compared
        order = np.argsort(labels.promise, kind="stable")[: 3 * self.width]
        labels = labels.chosen(order)
        free_from = self._freed(day, labels)
        unlike = self._unlike(labels, free_from)[: self.width]
        first = int(self._kept_by_day[day])
        self._kept.append(labels.chosen(unlike))
        self._kept_by_day[day + 1] = first + len(unlike)
        self._free_from[first : first + len(unlike)] = free_from[unlike]

    def _freed(self, day: int, labels: _Labels) -> Ints:
        """Return from which day each place is free again; 0 where that no longer matters."""
        free_from = self._free_from[labels.before]
        stays = np.flatnonzero(labels.place < self.places)
        free_from[stays, labels.place[stays]] = min(day + self.rest, self.days)
        free_from[:, self._last_start < day] = 0
        free_from[free_from <= day] = 0
        return free_from

    def _unlike(self, labels: _Labels, free_from: Ints) -> Ints:
        """Return the rows of the first, and so the cheapest, of labels alike in all but cost."""
        signature = free_from @ self._weights + labels.place
        return np.sort(np.unique(signature, return_index=True)[1])

    def _stay_off(self, day: int) -> None:
        labels = self._kept[day]
        cost = labels.cost + self.relaxed.choices.off[day]
        if np.isfinite(cost[0]):
            promise = cost + self.relaxed.to_go[day + 1, self.places]
            place, start = np.full(len(cost), self.places), np.full(len(cost), day)
            before = self._kept_by_day[day] + np.arange(len(cost))
            self._offers[day + 1].append(_Labels(promise, cost, place, start, before))

    def _enter(self, day: int) -> None:
        """Offer every stay that starts on `day` to the day on which it ends."""
        labels, price = self._kept[day], self.relaxed.price[day]
        first = int(self._kept_by_day[day])
        arrived = labels.cost[:, None] + self._arrival[labels.place]
        arrived[self._free_from[first : first + len(arrived)] > day] = np.inf
        to_go = self.relaxed.to_go[day + 1 : day + 1 + self.longest, : self.places]
        price = price[: len(to_go)]
        promise = (arrived[:, None, :] + (price + to_go)[None]).ravel()
        shape = len(arrived), len(price), self.places
        hopeful = np.flatnonzero(promise < np.inf)
        most = 4 * self.width
        if len(hopeful) > most:
            hopeful = hopeful[np.argpartition(promise[hopeful], most)[:most]]
        row, length, place = np.unravel_index(hopeful, shape)
        cost = arrived[row, place] + price[length, place]
        start = np.full(len(place), day)
        offered = _Labels(promise[hopeful], cost, place, start, first + row)
        for one in range(len(price)):
            self._offers[day + 1 + one].append(offered.chosen(length == one))

    def _traced(self, row: int) -> Route:
        legs: list[Leg] = []
        choices, day = self.relaxed.choices, self.days
        while day > 0:
            labels = self._kept[day]
            place, start = int(labels.place[row]), int(labels.start[row])
            if place < self.places:
                first_day = choices.first_day
                legs.append(Leg(int(choices.spots[place]), first_day + start, first_day + day))
            row, day = int(labels.before[row] - self._kept_by_day[start]), start
        return tuple(reversed(legs))
