"""A cutting problem as a plain integer programme, for solvers that know nothing of boards.

For every board that might be taken there is a yes or no, and for every length how often it is cut from
that board: the textbook's assignment model, with boards of one stock in descending order of use so that
equals need not be told apart. It shares no code with the search, only the values of a problem.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

import highspy
from ortools.sat.python import cp_model

from garden.quiet_highs import quiet_highs
from pens.cutting.problem import Problem, Stock

MOST_ENTRIES = 2_000_000
"""Above so many counts no solver is asked (a choice: gigabytes, and minutes to begin)."""


@dataclass(frozen=True)
class Answer:
    """The cost found, None for none, and what is proven that no plan goes below."""

    cost: Fraction | None
    bound: Fraction

    @property
    def gap(self) -> float:
        """Share of the cost that might be saved; 1 where nothing is found."""
        if self.cost is None:
            return 1.0
        return float((self.cost - self.bound) / max(self.cost, Fraction(1)))


@dataclass(frozen=True)
class _Boards:
    """Boards of one stock that might be taken, and the lengths that may be cut from them."""

    stock: Stock
    most: int
    room: int


def _boards(problem: Problem, profile: str, demand: Counter[int]) -> Iterator[_Boards]:
    kerf = problem.kerf_ticks
    for stock in problem.stock:
        room = problem.usable_ticks(stock) + kerf
        if stock.profile == profile:
            # First fit: a board for each, less what surely goes together.
            most = sum(-(-n // max(1, room // (length + kerf))) for length, n in demand.items())
            yield _Boards(
                stock, most if stock.available is None else min(most, stock.available), room
            )


def _parts(problem: Problem) -> list[tuple[Counter[int], list[_Boards]]]:
    parts = []
    for profile in problem.profiles():
        demand: Counter[int] = Counter()
        for piece in problem.pieces:
            if piece.profile == profile:
                demand[piece.length_ticks] += piece.count
        parts.append((demand, list(_boards(problem, profile, demand))))
    return parts


def _too_large(problem: Problem) -> bool:
    return any(
        len(demand) * sum(one.most for one in boards) > MOST_ENTRIES
        for demand, boards in _parts(problem)
    )


def by_highs(problem: Problem, seconds: float) -> Answer:
    """Ask HiGHS, with one thread."""
    if _too_large(problem):
        return Answer(None, Fraction(0))
    model, kerf = quiet_highs(), problem.kerf_ticks
    whole = highspy.HighsVarType.kInteger
    for demand, groups in _parts(problem):
        cut: dict[int, list[int]] = {length: [] for length in demand}
        for group in groups:
            before = None
            for _ in range(group.most):
                used = model.addVariable(0, 1, float(group.stock.price), whole).index
                fitting = [length for length in demand if length + kerf <= group.room]
                counts = [
                    model.addVariable(0, min(demand[n], group.room // (n + kerf)), 0.0, whole).index
                    for n in fitting
                ]
                takes = [float(length + kerf) for length in fitting]
                model.addRow(
                    -highspy.kHighsInf,
                    0,
                    len(fitting) + 1,
                    [*counts, used],
                    [*takes, -float(group.room)],
                )
                for length, count in zip(fitting, counts, strict=True):
                    cut[length].append(count)
                if before is not None:
                    model.addRow(0, 1, 2, [before, used], [1.0, -1.0])
                before = used
        for length, wanted in demand.items():
            model.addRow(
                wanted, highspy.kHighsInf, len(cut[length]), cut[length], [1.0] * len(cut[length])
            )
    model.setOptionValue("time_limit", seconds)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.run()
    info, lost = model.getInfo(), Fraction(10**6)
    bound = Fraction(max(0.0, min(info.mip_dual_bound, 1e9))).limit_denominator(10**4)
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Answer(None, bound)
    cost = Fraction(round(info.objective_function_value * lost)) / lost
    return Answer(
        cost, cost if model.getModelStatus() == highspy.HighsModelStatus.kOptimal else bound
    )


def by_cp_sat(problem: Problem, seconds: float) -> Answer:
    """Ask CP-SAT, with one worker."""
    if _too_large(problem):
        return Answer(None, Fraction(0))
    model, kerf = cp_model.CpModel(), problem.kerf_ticks
    unit = lcm(*(stock.price.denominator for stock in problem.stock))
    paid = []
    for demand, groups in _parts(problem):
        cut: dict[int, list[cp_model.IntVar]] = {length: [] for length in demand}
        for group in groups:
            before = None
            for _ in range(group.most):
                used = model.new_bool_var("")
                taken = []
                for length, wanted in demand.items():
                    if length + kerf <= group.room:
                        count = model.new_int_var(0, min(wanted, group.room // (length + kerf)), "")
                        cut[length].append(count)
                        taken.append((length + kerf) * count)
                model.add(sum(taken) <= group.room * used)
                if before is not None:
                    model.add_implication(used, before)
                before = used
                paid.append(int(group.stock.price * unit) * used)
        for length, wanted in demand.items():
            model.add(sum(cut[length]) >= wanted)
    model.minimize(sum(paid))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    bound = Fraction(max(0, round(solver.best_objective_bound)), unit)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Answer(None, bound)
    return Answer(Fraction(round(solver.objective_value), unit), bound)
