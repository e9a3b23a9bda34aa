"""The cheapest purchases of feed that cover a need: a small exact model.

PURE. A mixed integer programme: whole bags of each feed on each trip, a yes or no for each trip, and the flow
of each lot to the days on which it is fresh, to the kinds it suits. Days between two events (a trip, a
lot that goes stale) are one stretch. HiGHS proves the optimum; costs are whole cents in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import highspy
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array

from flocks.feed_buying import ANY, BuyingPlan, BuyingProblem, Feed, NoPurchaseError, Purchase
from garden.quiet_highs import quiet_highs
from garden.words import gettext as _

Array = NDArray[np.float64]
Entries = list[tuple[int, int, float]]

CENTS = 100
SEARCH_SECONDS = 4.0
"""Longest search [s]. A choice; plans of one season take a fraction of it."""
GRAIN_KG = 1e-6
"""A need smaller than this is rounding [kg]."""
TIE_CENTS = 0.4
"""What buying everything on the first day costs more than buying it on the last, in the search only [cent]: it
decides between plans of one price. A choice, below one cent."""


@lru_cache(maxsize=64)
def cheapest_purchases(problem: BuyingProblem) -> BuyingPlan:
    """Return the cheapest purchases that cover every need with feed that is not stale.

    Parameters
    ----------
    problem : BuyingProblem
        Up to some 150 days, 50 trips and 6 feeds.

    Returns
    -------
    BuyingPlan
        Empty where the store covers all. Among equally cheap plans, one that buys later.

    Raises
    ------
    NoPurchaseError
        Where no purchases do: nothing suits a kind, or it goes stale before the next trip.

    """
    wanting = [kind for kind, curve in problem.needs if curve and curve[-1] > GRAIN_KG]
    if not wanting:
        return BuyingPlan((), problem.trip_cost, True)
    for kind in wanting:
        if not any(feed.kind in (kind, ANY) for feed in problem.feeds):
            if kind == ANY:
                raise NoPurchaseError(_("No feed on your list is for all ages."))
            message = _("No feed on your list is for the {phase} phase, or for all ages.")
            raise NoPurchaseError(message.format(phase=_(kind)))
    return _Model(problem).solved()


@dataclass(frozen=True)
class _Source:
    """Feed that is or may be there: a lot of the store, or the bags of one feed on one trip."""

    kind: str
    from_day: int
    stale_on: int
    feed: Feed | None = None
    trip: int = -1
    mass_kg: float = 0.0

    def feeds(self, kind: str, first_day: int) -> bool:
        """Tell whether it can be fed to a phase on a stretch that begins on a day."""
        return self.kind in (kind, ANY) and self.from_day <= first_day < self.stale_on


class _Model:
    """The programme; its columns are bags, then trips, then flows."""

    def __init__(self, problem: BuyingProblem) -> None:
        self.problem = problem
        self.days = max(len(curve) for _, curve in problem.needs)
        self.trip_days = [day for day in problem.trip_days if 0 <= day < self.days]
        self.bags = [
            _Source(feed.kind, day, day + feed.keeps_days, feed, trip)
            for trip, day in enumerate(self.trip_days)
            for feed in problem.feeds
        ]
        lots = [_Source(lot.kind, 0, lot.stale_on, mass_kg=lot.mass_kg) for lot in problem.stock]
        self.sources = [*self.bags, *lots]
        self.most_bags = np.array([np.ceil(self._eaten_kg(b) / b.feed.bag_kg) for b in self.bags])
        self.stretches = self._stretches()
        self.flows = [
            (s, k * len(self.stretches) + b)
            for s, source in enumerate(self.sources)
            for k, (kind, _) in enumerate(problem.needs)
            for b, (first_day, _) in enumerate(self.stretches)
            if source.feeds(kind, first_day)
        ]
        self.trips_at = len(self.bags)
        self.flows_at = self.trips_at + len(self.trip_days)
        self.columns = self.flows_at + len(self.flows)

    def _eaten_kg(self, source: _Source) -> float:
        """Return what could be eaten of a source while it is fresh [kg]."""
        return sum(
            _up_to(curve, source.stale_on) - _up_to(curve, source.from_day)
            for kind, curve in self.problem.needs
            if source.kind in (kind, ANY)
        )

    def _stretches(self) -> list[tuple[int, int]]:
        """Return the stretches of days within which no source comes or goes."""
        events = {day for source in self.sources for day in (source.from_day, source.stale_on)}
        edges = sorted({0, self.days} | {day for day in events if 0 < day < self.days})
        return list(pairwise(edges))

    def solved(self) -> BuyingPlan:
        """Return the plan, or say that there is none."""
        solver = quiet_highs()
        solver.setOptionValue("time_limit", SEARCH_SECONDS)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.passModel(self._programme())
        solver.run()
        status = solver.getModelStatus()
        found = (
            solver.getInfo().primal_solution_status
            == highspy.SolutionStatus.kSolutionStatusFeasible
        )
        if not found and status == highspy.HighsModelStatus.kTimeLimit:
            raise NoPurchaseError(
                _(
                    "No purchases were found in a few seconds, though there may be some. Fewer feeds, or "
                    "fewer days for trips, are looked through quicker."
                )
            )
        if not found:
            raise NoPurchaseError(
                _(
                    "No purchases keep fresh feed in the store on every day. Allow more days for trips, "
                    "or a feed that keeps longer."
                )
            )
        return BuyingPlan(
            purchases=tuple(self._purchases(solver.getSolution().col_value)),
            trip_cost=self.problem.trip_cost,
            is_proven=status == highspy.HighsModelStatus.kOptimal,
        )

    def _programme(self) -> highspy.HighsLp:
        blocks = [self._holds(), self._covers(), self._goes()]
        entries: Entries = []
        lower, upper = [], []
        for block, least, most in blocks:
            entries += [(len(lower) + row, column, value) for row, column, value in block]
            lower += least
            upper += most
        row, column, value = zip(*entries, strict=True)
        matrix = coo_array((value, (row, column)), shape=(len(lower), self.columns)).tocsr()
        whole = highspy.HighsVarType.kInteger
        programme = highspy.HighsLp()
        programme.num_col_, programme.num_row_ = self.columns, len(lower)
        programme.col_cost_ = self._costs()
        programme.col_lower_ = np.zeros(self.columns)
        programme.col_upper_ = np.concatenate(
            [self.most_bags, np.ones(len(self.trip_days)), np.full(len(self.flows), np.inf)]
        )
        programme.row_lower_, programme.row_upper_ = np.array(lower), np.array(upper)
        programme.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        programme.a_matrix_.start_ = matrix.indptr
        programme.a_matrix_.index_ = matrix.indices
        programme.a_matrix_.value_ = matrix.data
        rest = [highspy.HighsVarType.kContinuous] * len(self.flows)
        programme.integrality_ = [whole] * self.flows_at + rest
        return programme

    def _costs(self) -> Array:
        costs = np.zeros(self.columns)
        early = TIE_CENTS / max(1.0, float(self.most_bags.sum()) * self.days)
        for column, source in enumerate(self.bags):
            cents = float(source.feed.price * CENTS)
            costs[column] = cents + early * (self.days - source.from_day)
        costs[self.trips_at : self.flows_at] = float(self.problem.trip_cost * CENTS)
        return costs

    def _holds(self) -> tuple[Entries, list[float], list[float]]:
        """No source gives more than it holds."""
        entries = [(s, self.flows_at + n, 1.0) for n, (s, _) in enumerate(self.flows)]
        entries += [(s, s, -source.feed.bag_kg) for s, source in enumerate(self.bags)]
        most = [source.mass_kg for source in self.sources]
        return entries, [-np.inf] * len(most), most

    def _covers(self) -> tuple[Entries, list[float], list[float]]:
        """Every stretch of days has what each kind needs."""
        entries = [(row, self.flows_at + n, 1.0) for n, (_, row) in enumerate(self.flows)]
        least = [
            max(0.0, _up_to(curve, end_day) - _up_to(curve, first_day))
            for _, curve in self.problem.needs
            for first_day, end_day in self.stretches
        ]
        return entries, least, [np.inf] * len(least)

    def _goes(self) -> tuple[Entries, list[float], list[float]]:
        """Bags are bought on trips only."""
        entries: Entries = []
        for column, source in enumerate(self.bags):
            entries += [
                (column, column, 1.0),
                (column, self.trips_at + source.trip, -self.most_bags[column]),
            ]
        return entries, [-np.inf] * len(self.bags), [0.0] * len(self.bags)

    def _purchases(self, values: Sequence[float]) -> Iterable[Purchase]:
        for column, source in enumerate(self.bags):
            if bags := round(values[column]):
                yield Purchase(source.from_day, source.feed, bags)


def _up_to(curve: Sequence[float], end_day: int) -> float:
    """Return what is needed before a day [kg]."""
    return curve[min(end_day, len(curve)) - 1] if curve and end_day > 0 else 0.0
