"""The best plan that can be put together from routes already known: a small set-packing programme.

PURE.
"""

from collections.abc import Iterable, Sequence

import highspy
import numpy as np

from rotation.engine.choices import Choices, Route
from rotation.engine.grid import Grid
from rotation.engine.master import Master

NODES = 500
"""Branching nodes of a recombination that has no seconds to go by (a choice)."""

TAKEN = 0.5
"""Share above which a route of a whole-numbered solution is taken."""


def recombined(
    grid: Grid,
    runs: Sequence[Choices],
    pool: Iterable[tuple[int, Route]],
    below: float,
    seconds: float | None,
) -> list[Route] | None:
    """Return the best plan found of one pooled route a run, None if none costs less than `below`.

    Without `seconds` the branching ends by its nodes, and so the same pool gives the same plan.
    """
    master = Master(grid, runs)
    for number, route in pool:
        master.add(number, route)
    if {number for number, _ in master.columns} != set(range(len(runs))):
        return None
    master.add_all_rows()
    _branch(master, below, seconds)
    if not _has_plan(master.solver):
        return None
    values = np.asarray(master.solver.getSolution().col_value)[grid.window_count :]
    taken = [master.columns[column] for column in np.flatnonzero(values > TAKEN)]
    return [route for _, route in sorted(taken)]


def _branch(master: Master, below: float, seconds: float | None) -> None:
    solver, first = master.solver, master.grid.window_count
    columns = np.arange(first, first + len(master.columns), dtype=np.int32)
    whole = np.full(len(columns), highspy.HighsVarType.kInteger)
    solver.changeColsIntegrality(len(columns), columns, whole)
    solver.setOptionValue("mip_rel_gap", 1e-6)
    solver.setOptionValue("objective_bound", below)
    if seconds is None:
        solver.setOptionValue("mip_max_nodes", NODES)
    else:
        solver.setOptionValue("time_limit", seconds)
    solver.run()


def _has_plan(solver: highspy.Highs) -> bool:
    status = solver.getInfo().primal_solution_status
    return status == int(highspy.SolutionStatus.kSolutionStatusFeasible)
