"""What it costs to carry a pen from spot to spot, in an integer programme: three ways to say it.

``flow``        a flow from each spot that is left today to each that is reached: the tightest
``conditions``  if this spot is left, today's carry costs no less than from it to the spot that is
                reached: small, and only for solvers that know conditions
``landmarks``   today's carry costs no less than any landmark is farther from the one spot than from
                the other: the smallest; a carry between two spots that are no landmarks may look
                shorter than it is, so bounds stay true and plans are judged by what they really cost
"""

from typing import NamedTuple

import numpy as np

from rotation.engine.problem import Problem
from tests.benchmarks.rotation_programme import FINE, Floats, Ints, Programme

INFINITY = float("inf")

MAX_LANDMARKS = 8
"""Landmarks at most (a choice: two rows a day and run each)."""


class CarryLimits(NamedTuple):
    """Possible carries, day by day and run by run, up to which a solver is given a way."""

    flows: int
    conditions: int


class Stays(NamedTuple):
    """Stays side by side, a column of the programme each."""

    column: Ints
    run: Ints
    spot: Ints
    window: Ints
    """Counted over all spots."""
    first_day: Ints
    end_day: Ints
    nitrogen_g: Floats

    def where(self, chosen: np.ndarray) -> "Stays":
        """Return the stays that are chosen."""
        return Stays(*(part[chosen] for part in self))


class _Side(NamedTuple):
    """The spots that may be left today, or reached, and the day's off-bed column beside them."""

    spots: Ints
    columns: Ints
    """Yes where that spot is the one."""
    off_bed: int


class Carries:
    """Adds each day's carry of each run to a programme."""

    def __init__(self, problem: Problem, programme: Programme, limits: CarryLimits) -> None:
        self.programme = programme
        at = np.array([(spot.x_m, spot.y_m) for spot in problem.spots]).reshape(-1, 2)
        between = at[:, None, :] - at[None, :, :]
        per_metre = problem.costs.carry_per_metre
        self.carry: Floats = per_metre * np.hypot(between[..., 0], between[..., 1])
        carries = sum(len(run.nitrogen_g) * len(run.spots) ** 2 for run in problem.runs)
        if carries <= limits.flows:
            self._price = self._by_flow
        elif carries <= limits.conditions:
            self._price = self._by_conditions
        else:
            self._price = self._by_landmarks
        self.landmarks = self._far_apart()

    def add(self, sides: tuple[Stays, Stays], off: Ints) -> None:
        """Price carrying from the stays that end today to those that begin.

        `off` are the columns of yesterday and of today as off-bed days.
        """
        left, reached = sides
        self._price(self._side(left, off[1]), self._side(reached, off[0]))

    def _side(self, stays: Stays, off_bed: int) -> _Side:
        spots = np.unique(stays.spot)
        columns = self.programme.add_columns(np.zeros(len(spots)))
        rows = self.programme.add_rows(np.zeros(len(spots)), 0.0)
        self.programme.enter(rows, columns, 1.0)
        self.programme.enter(rows[np.searchsorted(spots, stays.spot)], stays.column, -1.0)
        return _Side(spots, columns, off_bed)

    def _by_flow(self, left: _Side, reached: _Side) -> None:
        """Send a pen on from the spot that is left, or off-bed where today is such a day."""
        programme = self.programme
        carry = self.carry[np.ix_(left.spots, reached.spots)]
        flow = programme.add_columns(carry.ravel()).reshape(carry.shape)
        for flows, side in ((flow, left), (flow.T, reached)):
            beside = programme.add_columns(np.zeros(len(side.spots)))
            rows = programme.add_rows(np.zeros(len(side.spots)), 0.0)
            programme.enter(rows[:, None], flows, 1.0)
            programme.enter(rows, beside, 1.0)
            programme.enter(rows, side.columns, -1.0)
            (row,) = programme.add_rows(-INFINITY, 0.0)
            programme.enter(row, beside, 1.0)
            programme.enter(row, [side.off_bed], -1.0)

    def _todays_price(self) -> Ints:
        most = float(self.carry.max())
        return self.programme.add_columns([1.0], upper=most, unit=1 / FINE)

    def _by_conditions(self, left: _Side, reached: _Side) -> None:
        programme, price = self.programme, self._todays_price()
        for spot, column in zip(left.spots, left.columns, strict=True):
            (row,) = programme.add_rows(0.0, INFINITY)
            programme.enter(row, price, 1.0)
            programme.enter(row, reached.columns, -self.carry[spot, reached.spots])
            programme.only_if(int(row), int(column))

    def _by_landmarks(self, left: _Side, reached: _Side) -> None:
        """Let no landmark be farther from one spot than from the other by more than the carry.

        A day off-bed, after the spot that is left or before the one reached, frees the other side.
        """
        programme, price = self.programme, self._todays_price()
        for far in self.carry[self.landmarks]:
            for near_side, far_side in ((left, reached), (reached, left)):
                (row,) = programme.add_rows(0.0, INFINITY)
                programme.enter(row, price, 1.0)
                programme.enter(row, near_side.columns, far[near_side.spots])
                programme.enter(row, far_side.columns, -far[far_side.spots])
                programme.enter(row, [far_side.off_bed], far.max())

    def _far_apart(self) -> list[int]:
        """Return landmarks, each the spot farthest from those before it."""
        chosen: list[int] = []
        nearest = np.full(len(self.carry), np.inf)
        while len(chosen) < min(len(self.carry), MAX_LANDMARKS):
            chosen.append(int(nearest.argmax()))
            nearest = np.minimum(nearest, self.carry[chosen[-1]])
            nearest[chosen] = -1.0
        return chosen
