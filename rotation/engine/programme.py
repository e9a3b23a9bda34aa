"""The least cost of a route of one run at given prices, by a programme that remembers where the pen has been.

PURE. A pen remembers some of the places it has left and never enters one that it remembers. Every place
lets a pen keep the memory of its *neighbours* only, so that parts of routes can be compared. Routes that
keep their rests are all still there: the least cost found is a lower bound on the cheapest lawful route's;
it grows as neighbours are learnt from the unlawful routes that come out. The idea is the ng-route
relaxation of vehicle routing (Baldacci, Mingozzi and Roberti, from memory).

Where a run is longer than a rest, a place may be entered again once its rest is over. What is remembered is
therefore kept in two parts, the older and the newer, and the older is let go on the earliest day on which
any of it may be over.
"""

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.grid import Floats, Ints
from rotation.engine.kernels import NONE
from rotation.engine.kernels.prices import open_lengths
from rotation.engine.kernels.sweep import DROP, SHIFT, sweep
from rotation.engine.kernels.to_go import costs_to_go

MOST_REMEMBERED = 64
"""Places of a run that can be remembered at all: the bits of one number."""

ROUNDING = 1e-9
"""Share of a limit by which sums of floats may pass it and mean the same."""


def too_close(route: Route, rest: int) -> tuple[Leg, Leg] | None:
    """Return two stays of one route on one spot that lie less than a rest apart, if any."""
    for earlier, later in pairwise(sorted(route)):
        if earlier.spot == later.spot and later.first_day < earlier.end_day + rest:
            return earlier, later
    return None


def memory_actions(days: int, rest: int) -> Ints:
    """Return what each day of a run does to a pen's memory: keep, shift newer to older, or drop the older.

    Places left on days ``[begin, next begin)`` are remembered together and let go ``rest`` days after the
    first of those days; those left within a rest of the last day are never let go.
    """
    action = np.zeros(days + 1, dtype=np.int64)
    begins, half_rest = [days - rest], max(1, (rest + 1) // 2)
    while begins[0] > 1:
        begins.insert(0, max(1, begins[0] - half_rest))
    for number, begin in enumerate(begins[1:], start=1):
        action[begin] = SHIFT
        over = begins[number - 1] + rest
        after = begins[number + 1] if number + 1 < len(begins) else days + 1
        if over < min(after, days):
            action[over] = DROP
    return action


class Onward(NamedTuple):
    """What is cheapest from each day on by place just left; off the beds is the last place."""

    to_go: Floats
    """What it costs."""
    enters: Ints
    """Where the pen goes, `NONE` being off the beds for a day."""
    lasts: Ints
    """For how long [days]."""


class Programme:
    """The programme of one run, with what it has learnt."""

    def __init__(self, run: Choices, rest: int) -> None:
        self.run = run
        self.rest = rest
        self._places = len(run.spots)
        self._bit = np.zeros(self._places + 1, dtype=np.uint64)
        """By place; 0 where it is not one of those that can be remembered."""
        self._neighbours = np.zeros(self._places + 1, dtype=np.uint64)
        self._known = 0
        self._action = memory_actions(run.days, rest)
        self.lessons = 0
        """How often it has learnt."""

    def cheapest(self, price: Floats, limit: float, lessons: int = 0) -> tuple[float, Route]:
        """Return a cost that no lawful route is below at the stays' `price`, and the route that has it.

        The route may be unlawful; up to `lessons` times the programme learns from such a one and solves
        again. At `limit`, the cost of some lawful route, the programme need not look for dearer ones.
        """
        run = self.run
        onward = self._onward(price)
        if not self._known:
            # nothing to remember yet: what the pen would do from day to day is the answer
            route = self._followed(onward)
            if not lessons or too_close(route, self.rest) is None or not self._learn(route):
                return float(onward.to_go[0, self._places]), route
            lessons -= 1
        lasts = open_lengths(price, run.off)
        limit += ROUNDING * (1.0 + abs(limit))
        while True:
            cost, route = self._solved(price, lasts, onward.to_go, limit)
            if not lessons or too_close(route, self.rest) is None or not self._learn(route):
                return cost, route
            lessons -= 1

    def _onward(self, price: Floats) -> Onward:
        run, parted = self.run, self.run.neighbourhoods
        found = costs_to_go(
            price,
            run.off,
            run.carry,
            parted.near,
            parted.order,
            parted.begins,
            run.move,
            self.rest,
        )
        return Onward(*found)

    def _followed(self, onward: Onward) -> Route:
        """Return the route of a pen that goes on as costs least and remembers only the place just left."""
        run, day, left, legs = self.run, 0, self._places, []
        while day < run.days:
            place, days = int(onward.enters[day, left]), int(onward.lasts[day, left])
            if place != NONE:
                began = run.first_day + day
                legs.append(Leg(int(run.spots[place]), began, began + days))
            day, left = day + days, place if place != NONE else self._places
        return tuple(legs)

    def _solved(
        self, price: Floats, lasts: Ints, to_go: Floats, limit: float
    ) -> tuple[float, Route]:
        run = self.run
        last, labels = sweep(
            price,
            lasts,
            run.off,
            run.carry,
            run.move,
            self.rest,
            self._bit,
            self._neighbours,
            self._action,
            to_go,
            limit,
        )
        place_of, before, began = labels["place"], labels["before"], labels["began"]
        label, end, legs = int(last), run.days, []
        while before[label] != NONE:
            place, start = int(place_of[label]), int(began[label])
            if place < self._places:
                legs.append(Leg(int(run.spots[place]), run.first_day + start, run.first_day + end))
            label, end = int(before[label]), start
        return float(labels["cost"][last]), tuple(reversed(legs))

    def _learn(self, route: Route) -> bool:
        """Let the places between two visits remember the place visited; say whether that was new."""
        new, last_seen = False, dict[int, int]()
        stops = self._stops(route)
        for stop, place in enumerate(stops):
            if place in last_seen:
                bit = self._bit_of(place)
                for between in stops[last_seen[place] + 1 : stop]:
                    new |= bool(bit & ~self._neighbours[between])
                    self._neighbours[between] |= bit
            if place != self._places:
                last_seen[place] = stop
        self.lessons += new
        return new

    def _bit_of(self, place: int) -> np.uint64:
        if not self._bit[place] and self._known < MOST_REMEMBERED:
            self._bit[place] = np.uint64(1) << np.uint64(self._known)
            self._known += 1
        return self._bit[place]

    def _stops(self, route: Route) -> list[int]:
        """Return the places of a route's stays in order, with the last place for days off the beds between."""
        stops, reached = [], self.run.first_day
        for leg in route:
            if leg.first_day > reached:
                stops.append(self._places)
            stops.append(self.run.place_of[leg.spot])
            reached = leg.end_day
        return stops
