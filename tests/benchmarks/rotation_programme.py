"""A mixed-integer programme gathered piece by piece, and HiGHS on it."""

from dataclasses import dataclass, field
from typing import NamedTuple

import highspy
import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import csc_array, csr_array

from garden.quiet_highs import quiet_highs

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FINE = 1000
"""A solver of whole numbers is told grams and prices of carrying in thousandths."""


class Found(NamedTuple):
    """What a solver made of a programme; no values if it found none that keep the rows."""

    values: Floats | None
    lower_bound: float


@dataclass
class _Columns:
    costs: list[Floats] = field(default_factory=list)
    lowers: list[Floats] = field(default_factory=list)
    uppers: list[Floats] = field(default_factory=list)
    wholes: list[NDArray[np.bool_]] = field(default_factory=list)
    units: list[Floats] = field(default_factory=list)


class Programme:
    """Minimise the cost of columns whose rows lie within limits."""

    def __init__(self) -> None:
        self._columns = _Columns()
        self._row_lowers: list[Floats] = []
        self._row_uppers: list[Floats] = []
        self._entries: list[tuple[Ints, Ints, Floats]] = []
        self.conditions: dict[int, int] = {}
        """Rows that need only hold where a column is yes."""
        self.column_count = self.row_count = 0

    def add_columns(
        self, costs: ArrayLike, *, upper: float = 1.0, whole: bool = False, unit: float = 1.0
    ) -> Ints:
        """Add a column ``>= 0`` for each cost and return their numbers.

        A column may be anything up to `upper`, or whole; a solver of whole numbers takes steps of `unit`.
        """
        costs = np.asarray(costs, dtype=float)
        columns = self._columns
        columns.costs.append(costs)
        columns.lowers.append(np.zeros(len(costs)))
        columns.uppers.append(np.full(len(costs), upper))
        columns.wholes.append(np.full(len(costs), whole))
        columns.units.append(np.full(len(costs), unit))
        self.column_count += len(costs)
        return np.arange(self.column_count - len(costs), self.column_count)

    def hold(self, column: int) -> None:
        """Make a yes-or-no column yes."""
        at = column
        for lowers in self._columns.lowers:
            if at < len(lowers):
                lowers[at] = 1.0
                return
            at -= len(lowers)

    def add_rows(self, lower: ArrayLike, upper: ArrayLike) -> Ints:
        """Add a row for each pair of limits and return their numbers."""
        lowers, uppers = np.broadcast_arrays(np.atleast_1d(lower), np.atleast_1d(upper))
        self._row_lowers.append(lowers.astype(float))
        self._row_uppers.append(uppers.astype(float))
        self.row_count += len(lowers)
        return np.arange(self.row_count - len(lowers), self.row_count)

    def enter(self, rows: ArrayLike, columns: ArrayLike, factors: ArrayLike) -> None:
        """Add factors of columns to rows; the three are made equally long."""
        parts = np.broadcast_arrays(np.atleast_1d(rows), columns, factors)
        self._entries.append(tuple(part.ravel() for part in parts))

    def only_if(self, row: int, column: int) -> None:
        """Let a row hold only where a yes-or-no column is yes."""
        self.conditions[row] = column

    @property
    def costs(self) -> Floats:
        """Cost of each column."""
        return np.concatenate(self._columns.costs)

    @property
    def limits(self) -> tuple[Floats, Floats]:
        """Least and greatest value of each column."""
        return np.concatenate(self._columns.lowers), np.concatenate(self._columns.uppers)

    @property
    def wholes(self) -> NDArray[np.bool_]:
        """Which columns are whole-numbered."""
        return np.concatenate(self._columns.wholes)

    @property
    def units(self) -> Floats:
        """The steps of each column for a solver of whole numbers."""
        return np.concatenate(self._columns.units)

    @property
    def row_limits(self) -> tuple[Floats, Floats]:
        """Least and greatest value of each row."""
        return np.concatenate(self._row_lowers), np.concatenate(self._row_uppers)

    def matrix(self) -> csr_array:
        """Return the factors by row and column; repeated entries add up."""
        rows, columns, factors = (
            np.concatenate(parts) for parts in zip(*self._entries, strict=True)
        )
        return csr_array((factors, (rows, columns)), shape=(self.row_count, self.column_count))


def by_highs(programme: Programme, seconds: float, threads: int = 1, gap: float = 1e-4) -> Found:
    """Return what HiGHS makes of a programme in the time given; it knows no conditions."""
    solver = quiet_highs()
    solver.setOptionValue("threads", threads)
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_rel_gap", gap)
    solver.setOptionValue("mip_abs_gap", gap / 10)
    solver.passModel(_highs_model(programme))
    solver.run()
    info = solver.getInfo()
    feasible = info.primal_solution_status == int(highspy.SolutionStatus.kSolutionStatusFeasible)
    values = np.asarray(solver.getSolution().col_value) if feasible else None
    return Found(values, info.mip_dual_bound)


def _highs_model(programme: Programme) -> highspy.HighsLp:
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = programme.column_count, programme.row_count
    model.col_cost_ = programme.costs
    model.col_lower_, model.col_upper_ = programme.limits
    model.row_lower_, model.row_upper_ = programme.row_limits
    kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
    model.integrality_ = [kinds[int(whole)] for whole in programme.wholes]
    matrix = csc_array(programme.matrix())
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_ = matrix.indptr, matrix.indices
    model.a_matrix_.value_ = matrix.data
    return model
