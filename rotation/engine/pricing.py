"""The cheapest route of one run at given prices, its own rests ignored: dynamic programming.

PURE. The programme runs backwards over day and place left last, so that its table tells, for every
part of a route, what the rest must cost at the least. A route may return to a spot before the rest
is over, at the price twice; `rotation.engine.lawful` finds routes that do not.
"""

from itertools import pairwise

import numpy as np

from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.grid import Floats


def too_close(route: Route, rest: int) -> tuple[Leg, Leg] | None:
    """Return two stays of one route on one spot that lie less than a rest apart, if any."""
    for earlier, later in pairwise(sorted(route)):
        if earlier.spot == later.spot and later.first_day < earlier.end_day + rest:
            return earlier, later
    return None


class Relaxed:
    """The solved programme of one run at one set of prices.

    Attributes
    ----------
    to_go : array of float
        Least further cost by day of the run and place just left; the last place means that the pen
        was off-bed, or that the run begins.
    """

    def __init__(self, choices: Choices, price: Floats) -> None:
        self.choices = choices
        self.price = price
        days, longest, places = price.shape
        self.to_go = np.zeros((days + 1, places + 1))
        self._onward = np.full((days, places + 1), np.inf)
        """Least cost of entering a place on a day and all that follows; last: an off-bed day."""
        for day in reversed(range(days)):
            ahead = self.to_go[day + 1 : day + 1 + longest]
            stays = price[day, : len(ahead)] + ahead[:, :places]
            onward = self._onward[day]
            onward[:places] = stays.min(axis=0) + choices.move
            onward[places] = choices.off[day] + self.to_go[day + 1, places]
            self.to_go[day, places] = onward.min()
            open_now = np.flatnonzero(np.isfinite(onward[:places]))
            self.to_go[day, :places] = onward[places]
            if len(open_now):
                carried = (choices.carry[:, open_now] + onward[open_now]).min(axis=1)
                np.minimum(self.to_go[day, :places], carried, out=self.to_go[day, :places])

    @property
    def cost(self) -> float:
        """Cost of the cheapest route."""
        return float(self.to_go[0, -1])

    def route(self) -> Route:
        """Return a cheapest route."""
        choices, (days, longest, places) = self.choices, self.price.shape
        day, place, legs = 0, places, []
        while day < days:
            onward = self._onward[day].copy()
            if place < places:
                onward[:places] += choices.carry[place]
            place = int(onward.argmin())
            if place == places:
                day += 1
                continue
            ahead = self.to_go[day + 1 : day + 1 + longest, place]
            end = day + 1 + int((self.price[day, : len(ahead), place] + ahead).argmin())
            spot, first_day = int(choices.spots[place]), choices.first_day
            legs.append(Leg(spot, first_day + day, first_day + end))
            day = end
        return tuple(legs)
