"""The cheapest route of one run that remembers some of the places it has been to.

PURE. A pen at a place remembers those of its earlier places that are *neighbours* of the present
one, and never enters a place that it remembers. Routes that keep their rests are all still there, so
the cheapest route found is a lower bound on the cheapest lawful one; it grows as neighbours are
learnt from the unlawful routes that come out. The idea is the ng-route relaxation of vehicle routing
(Baldacci, Mingozzi and Roberti, from memory).

Off-bed days are a place like another, the last one, which costs nothing to carry to and may be
entered again at once.

Where a run is longer than a rest, the days are cut into phases no longer than a rest, counted from
the last day backwards. Within a phase every remembered stay ended so late that its place still
rests. A stay or an off-bed day that ends in a later phase than it began in forgets all other places.
"""

from collections.abc import Iterable

import numpy as np

from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.grid import Floats, Ints

MOST_NEIGHBOURS = 9
"""Places that a place lets a pen remember: 2**9 states (a choice between strength and speed)."""

MOST_STEPS = 600_000
"""Steps between states that a run may have before it learns no more (a choice, likewise)."""


class Remembering:
    """The dynamic programme of one run, with what it has learnt."""

    def __init__(self, choices: Choices, rest: int) -> None:
        self.choices = choices
        self.rest = rest
        self.places = len(choices.spots)
        self._neighbours: list[list[int]] = [[] for _ in range(self.places + 1)]
        self._full = False
        self._carry = np.zeros((self.places + 1, self.places + 1))
        self._carry[:-1, :-1] = choices.carry
        self._carry[:, :-1] += choices.move
        days = np.arange(choices.days + 1)
        # whole rests from a day to the last; without a rest there is nothing to remember
        self._phase = (days[::-1] + rest - 1) // max(rest, 1)
        self._lay_steps()

    def learn(self, routes: Iterable[Route]) -> bool:
        """Learn neighbours from the returns in `routes`; say whether there was anything new."""
        new = False
        for route in routes:
            new |= self._learn_one(route)
        if new:
            self._lay_steps()
        return new

    def _learn_one(self, route: Route) -> bool:
        new, last_seen = False, dict[int, int]()
        places = [place for place, _, _ in self._stops(route)]
        for stop, place in enumerate(places):
            if place == self.places:
                continue
            if place in last_seen:
                for between in places[last_seen[place] + 1 : stop]:
                    known = self._neighbours[between]
                    if place not in known and len(known) < MOST_NEIGHBOURS and not self._full:
                        known.append(place)
                        new = True
            last_seen[place] = stop
        return new

    def forbids(self, route: Route) -> bool:
        """Say whether a route enters a place that the pen still remembers."""
        here, memory = self.places, set[int]()
        for place, start, end in self._stops(route):
            if here < self.places and self.rest:
                memory = memory | {here}
            if place in memory:
                return True
            keeps = self._phase[end] == self._phase[start]
            memory = memory & set(self._neighbours[place]) if keeps else set()
            here = place
        return False

    def _stops(self, route: Route) -> list[tuple[int, int, int]]:
        """Return place, start and end of a route's stays and of each of its off-bed days."""
        stops, reached, first_day = [], 0, self.choices.first_day
        for leg in route:
            start, end = leg.first_day - first_day, leg.end_day - first_day
            stops += [(self.places, day, day + 1) for day in range(reached, start)]
            stops.append((self.choices.place_of[leg.spot], start, end))
            reached = end
        return stops

    def _lay_steps(self) -> None:
        """Number the states (place and memory) and list every step between two of them."""
        sizes = np.array([1 << len(known) for known in self._neighbours])
        self._first_state = np.concatenate([[0], np.cumsum(sizes)])
        self._place_of = np.repeat(np.arange(self.places + 1), sizes)
        flag = np.zeros((self.places + 1, self.places + 1), dtype=np.int64)
        for place, known in enumerate(self._neighbours):
            flag[place, known] = 1 << np.arange(len(known))
        parts = [self._steps_from(place, flag) for place in range(self.places + 1)]
        source, target = (np.concatenate(column) for column in zip(*parts, strict=True))
        order = np.argsort(target, kind="stable")
        self._source, target = source[order], target[order]
        self._targets, self._first_step = np.unique(target, return_index=True)
        self._step_cost = self._carry[self._place_of[self._source], self._place_of[target]]
        self._full = len(source) > MOST_STEPS

    def _steps_from(self, place: int, flag: Ints) -> tuple[Ints, Ints]:
        known = self._neighbours[place]
        memories = np.arange(1 << len(known))[:, None]
        targets = np.arange(self.places + 1)[None, :]
        remembered = np.zeros((len(memories), self.places + 1), dtype=np.int64)
        shut = np.zeros(remembered.shape, dtype=bool)
        if place < self.places and self.rest:
            remembered += flag[:, place]
            shut[:, place] = True
        for bit, other in enumerate(known):
            holds = (memories >> bit) & 1
            remembered += holds * flag[:, other]
            shut[:, other] |= holds[:, 0] > 0
        source = np.broadcast_to(memories + self._first_state[place], shut.shape)
        target = self._first_state[targets] + remembered
        return source[~shut], target[~shut]

    def cheapest(self, price: Floats) -> tuple[float, Route]:
        """Return the least cost and a route of that cost at the stays' `price`."""
        choices = self.choices
        days, longest, _ = price.shape
        off = np.full((days, longest, 1), np.inf)
        off[:, 0, 0] = choices.off
        price = np.concatenate([price, off], axis=2)
        left = np.full((days + 1, len(self._place_of)), np.inf)
        entered = np.full((days, len(self._place_of)), np.inf)
        left[0, self._first_state[self.places]] = 0.0
        for day in range(days):
            arrivals = left[day, self._source] + self._step_cost
            entered[day, self._targets] = np.minimum.reduceat(arrivals, self._first_step)
            costs = entered[day] + price[day, : days - day][:, self._place_of]
            same = int(np.count_nonzero(self._phase[day + 1 :] == self._phase[day]))
            ahead = left[day + 1 : day + 1 + len(costs)]
            np.minimum(ahead[:same], costs[:same], out=ahead[:same])
            if same < len(costs):
                alone = self._first_state[:-1]
                least = np.minimum.reduceat(costs[same:], alone, axis=1)
                ahead[same:, alone] = np.minimum(ahead[same:, alone], least)
        return float(left[days].min()), self._traced(price, left, entered)

    def _traced(self, price: Floats, left: Floats, entered: Floats) -> Route:
        legs: list[Leg] = []
        day = self.choices.days
        state = int(left[day].argmin())
        while day > 0:
            place = int(self._place_of[state])
            start, state = self._entry_of(price, left, entered, day, state)
            if place < self.places:
                first_day = self.choices.first_day
                legs.append(Leg(int(self.choices.spots[place]), first_day + start, first_day + day))
            day, state = start, self._before(left, start, state)
        return tuple(reversed(legs))

    def _entry_of(
        self, price: Floats, left: Floats, entered: Floats, end: int, state: int
    ) -> tuple[int, int]:
        """Return start and state entered of the stay that `left` this state at this cost."""
        place = int(self._place_of[state])
        states = np.arange(self._first_state[place], self._first_state[place + 1])
        best = (np.inf, 0, 0)
        for start in range(max(end - price.shape[1], 0), end):
            cost = price[start, end - start - 1, place]
            if self._phase[end] == self._phase[start]:
                best = min(best, (float(entered[start, state] + cost), start, state))
            elif state == states[0]:
                one = int(entered[start, states].argmin())
                best = min(
                    best, (float(entered[start, states[one]] + cost), start, int(states[one]))
                )
        return best[1], best[2]

    def _before(self, left: Floats, day: int, state: int) -> int:
        """Return the state left on `day` for entering `state`."""
        at = int(np.searchsorted(self._targets, state))
        first = self._first_step[at]
        ends = np.append(self._first_step, len(self._source))
        steps = slice(first, ends[at + 1])
        return int(
            self._source[steps][(left[day, self._source[steps]] + self._step_cost[steps]).argmin()]
        )
