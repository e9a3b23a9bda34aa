"""CP-SAT on a rotation problem given whole: the same programme, in whole numbers.

Only the benchmarks need OR-Tools. Tried with one worker on gardens of 12 and 40 spots: the fullest use of
the relaxation (level 2) is far better than the default; carrying as a flow proves 12 spots in seconds and
chokes on 40, as conditions the other way round; spots as machines and days as choices on top gain nothing.
"""

import numpy as np
from ortools.sat.python import cp_model

from rotation.engine.problem import Problem
from tests.benchmarks.rotation_carries import CarryLimits
from tests.benchmarks.rotation_generic import Answer, Whole
from tests.benchmarks.rotation_programme import FINE, Found, Programme

CP_SAT_LIMITS = CarryLimits(flows=20_000, conditions=3_000_000)
"""Above these carries are priced in a smaller way (a choice, see above)."""

COST_STEPS = 1_000_000
"""Costs are told in millionths, so that prices of a gram stay whole numbers."""

OUT_OF_REACH = 2**40
"""A limit in whole numbers that no row reaches."""


ROUNDING = 1e-6
"""What sums of floating-point amounts may be off by, in whole numbers."""


class _Model:
    """A programme told to CP-SAT: each column a whole number of its units.

    Grams are taken to be told in thousandths at most; a carry may look a thousandth cheaper than it is.
    """

    def __init__(self, programme: Programme) -> None:
        self.model = cp_model.CpModel()
        self.programme = programme
        self.units = programme.units
        least, most = (np.floor(limit / self.units + ROUNDING) for limit in programme.limits)
        self.columns = [
            self.model.new_int_var(int(low), int(high), "")
            for low, high in zip(least, most, strict=True)
        ]
        self._add_rows()
        prices = np.rint(programme.costs * self.units * COST_STEPS).astype(int).tolist()
        self.model.minimize(cp_model.LinearExpr.weighted_sum(self.columns, prices))

    def _add_rows(self) -> None:
        matrix, lowers_and_uppers = self.programme.matrix(), self.programme.row_limits
        for row, limits in enumerate(zip(*lowers_and_uppers, strict=True)):
            entries = slice(matrix.indptr[row], matrix.indptr[row + 1])
            numbers, factors = matrix.indices[entries], matrix.data[entries]
            factors = factors * self.units[numbers]
            scale = 1 if (factors == np.rint(factors)).all() else FINE
            steps = np.trunc(scale * factors + np.copysign(ROUNDING, factors)).astype(int).tolist()
            taken = [self.columns[number] for number in numbers]
            told = self.model.add_linear_constraint(
                cp_model.LinearExpr.weighted_sum(taken, steps),
                int(np.ceil(np.clip(scale * limits[0] - ROUNDING, -OUT_OF_REACH, None))),
                int(np.floor(np.clip(scale * limits[1] + ROUNDING, None, OUT_OF_REACH))),
            )
            if row in self.programme.conditions:
                told.only_enforce_if(self.columns[self.programme.conditions[row]])

    def solved(self, seconds: float, threads: int) -> Found:
        """Return what CP-SAT makes of the model in the time given."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = threads
        solver.parameters.max_time_in_seconds = seconds
        solver.parameters.linearization_level = 2
        status = solver.solve(self.model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Found(None, -np.inf)
        values = np.array([solver.value(column) for column in self.columns]) * self.units
        return Found(values, solver.best_objective_bound / COST_STEPS)


def solved_by_cp_sat(problem: Problem, seconds: float, threads: int = 1) -> Answer:
    """Return what CP-SAT makes of a problem given whole; making the model takes time of its own."""
    whole = Whole(problem, CP_SAT_LIMITS)
    return whole.answer(_Model(whole.programme).solved(seconds, threads))
