"""The master linear programme: which share of which route each run takes.

PURE. Columns are routes. Rows are one a run (its shares make one), one a window for what is earned,
and, added only when a solution breaks them, one a day and spot (a stay or its rest covers it once)
and one a window or spot for its nitrogen room. Rows never added have no price, which a proven bound
may always assume.
"""

from collections import Counter, defaultdict
from collections.abc import Container, Iterable, Iterator, Sequence

import highspy
import numpy as np

from garden.quiet_highs import quiet_highs
from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.duals import Duals
from rotation.engine.grid import Floats, Grid, Ints
from rotation.engine.levels import Kind, LevelCut, broken_cut
from rotation.engine.model_parts import solver_with
from rotation.engine.prices import PARTS, crowding
from rotation.engine.shared_rows import SharedRow, Visit

BROKEN_BY = 1e-6
"""How far past its limit of one a row must be before it is added."""

BASIC = highspy.HighsBasisStatus.kBasic

LEAST_SHARE = 1e-9
"""Share of a column below which it counts as not taken."""


class Master:
    """The linear programme over the routes known so far."""

    def __init__(self, grid: Grid, runs: Sequence[Choices]) -> None:
        self.grid = grid
        self.runs = runs
        self.columns: list[tuple[int, Route]] = []
        self.objective = np.inf
        self.column_of: dict[tuple[int, Route], int] = {}
        self._visits_of: list[list[Visit]] = []
        self._numbers_of: list[Ints] = []
        """Of the visits of each column: spot, window, first day and end day."""
        self._taken_of: list[Floats] = []
        """Of the visits of each column: what they take of window and spot, by way of counting."""
        self._taken: dict[tuple[int, Leg], tuple[tuple[float, ...], ...]] = {}
        self._visits_on: list[list[Visit]] = [[] for _ in range(grid.spot_count)]
        self.cuts: list[LevelCut] = []
        self._rows: dict[SharedRow, int] = {}
        self._rows_on: dict[int, list[SharedRow]] = defaultdict(list)
        self.solver = quiet_highs()
        self._lay_fixed_rows()

    def _lay_fixed_rows(self) -> None:
        grid, solver, first_window = self.grid, self.solver, len(self.runs)
        for _ in self.runs:
            solver.addRow(1.0, 1.0, 0, [], [])
        for window in range(grid.window_count):
            solver.addRow(-highspy.kHighsInf, 0.0, 0, [], [])
            wanted_g = grid.wanted_g[window]
            solver.addCol(-grid.earned_per_gram, 0.0, wanted_g, 1, [first_window + window], [1.0])

    def add(self, number: int, route: Route) -> bool:
        """Add a route of a run; say whether it was new."""
        if (number, route) in self.column_of:
            return False
        run, column = self.runs[number], len(self.columns)
        self.column_of[number, route] = column
        self.columns.append((number, route))
        entries: dict[int, float] = defaultdict(float, {number: 1.0})
        visits = [self._visit(run, column, leg) for leg in route]
        self._visits_of.append(visits)
        self._numbers_of.append(
            np.array([(v.spot, v.window, v.first_day, v.end_day) for v in visits], dtype=np.int64)
        )
        self._taken_of.append(np.array([(v.window_taken, v.spot_taken) for v in visits]))
        for leg, visit in zip(route, visits, strict=True):
            self._visits_on[leg.spot].append(visit)
            earned_g = min(run.leg_nitrogen_g(leg), self.grid.wanted_g[visit.window])
            entries[len(self.runs) + visit.window] -= earned_g
            for row in self._rows_on[leg.spot]:
                entries[self._rows[row]] += self._share(row, visit)
        index, value = _sparse(entries)
        self.solver.addCol(run.cost_of(route), 0.0, highspy.kHighsInf, len(index), index, value)
        return True

    def hold(self, column: int, share: float) -> None:
        """Let a column be taken with just this share: 0 shuts it, 1 fixes its run."""
        self.solver.changeColBounds(self.grid.window_count + column, share, share)

    def solve(self) -> Floats:
        """Solve, adding broken rows until none is left; return the share of each column."""
        while True:
            self.solver.run()
            values = np.asarray(self.solver.getSolution().col_value)
            shares = values[self.grid.window_count :]
            broken = sorted(self._broken(shares))
            if not broken:
                self.objective = self.solver.getObjectiveValue()
                return shares
            for row in broken:
                self._add_row(row)

    def paid(self) -> Floats:
        """Return what each run's routes cost at the prices of the last solution: nothing cheaper is known."""
        return np.asarray(self.solver.getSolution().row_dual)[: len(self.runs)]

    def duals(self) -> Duals:
        """Return the prices of the last solution."""
        grid = self.grid
        prices = np.maximum(-np.asarray(self.solver.getSolution().row_dual), 0.0)
        first = len(self.runs)
        duals = Duals.none(grid)
        earned = prices[first : first + grid.window_count]
        duals.earned_gram[:] = np.minimum(earned, grid.earned_per_gram)
        for row, index in self._rows.items():
            if row.kind == "busy":
                duals.busy[row.at, row.spot] = prices[index]
            elif row.kind == "cut":
                duals.cuts[self.cuts[row.at]] = float(prices[index])
            elif row.kind == "window":
                duals.window_room[row.way, row.at] = prices[index]
            else:
                duals.spot_room[row.way, row.at] = prices[index]
        return duals

    def _visit(self, run: Choices, column: int, leg: Leg) -> Visit:
        window, nitrogen_g = run.leg_window(leg), run.leg_nitrogen_g(leg)
        taken = self._taken.get((run.number, leg))
        if taken is None:
            rooms_g = self.grid.window_room_g[window], self.grid.spot_room_g[leg.spot]
            taken = tuple(
                tuple(crowding(nitrogen_g, room_g, parts) for parts in PARTS) for room_g in rooms_g
            )
            self._taken[run.number, leg] = taken
        covered_to = leg.end_day + self.grid.rest
        return Visit(
            column, leg.spot, window, leg.first_day, covered_to, *taken, run.number, nitrogen_g
        )

    def _add_row(self, row: SharedRow) -> None:
        entries: dict[int, float] = defaultdict(float)
        for visit in self._visits_on[row.spot]:
            entries[self.grid.window_count + visit.column] += self._share(row, visit)
        index, value = _sparse(entries)
        self._rows[row] = self.solver.getNumRow()
        self._rows_on[row.spot].append(row)
        self.solver.addRow(-highspy.kHighsInf, 1.0, len(index), index, value)

    def _share(self, row: SharedRow, visit: Visit) -> float:
        """Return what a visit of the row's spot takes of the row's limit of one."""
        if row.kind == "busy":
            return float(visit.first_day <= row.at < visit.end_day)
        if row.kind == "spot":
            return float(visit.spot_taken[row.way])
        if row.kind == "cut":
            return self.cuts[row.at].share(Kind(visit.run, visit.window), visit.nitrogen_g)
        return float(visit.window_taken[row.way]) if visit.window == row.at else 0.0

    def add_cuts(self, shares: Floats) -> int:
        """Add the limits on levels that the columns' shares break; return how many."""
        known = len(self.cuts)
        for spot, visits in self._used(shares).items():
            used: dict[tuple[Kind, float], float] = defaultdict(float)
            for visit in visits:
                kind = Kind(visit.run, visit.window)
                used[kind, visit.nitrogen_g] += shares[visit.column]
            if sum(used.values()) > 1.0:
                cut = broken_cut(self.grid, self.runs, spot, used)
                if cut is not None:
                    self.cuts.append(cut)
                    self._add_row(SharedRow("cut", spot, len(self.cuts) - 1))
        return len(self.cuts) - known

    def keep_leg(self, number: int, leg: Leg, shut: Iterable[Visit]) -> None:
        """Shut the columns of a run without a leg, and of other runs those with such visits."""
        columns = [
            column
            for column, (owner, route) in enumerate(self.columns)
            if owner == number and leg not in route
        ]
        columns = sorted({*columns, *(visit.column for visit in shut)})
        index = np.array(columns, dtype=np.int32) + self.grid.window_count
        none = np.zeros(len(index))
        self.solver.changeColsBounds(len(index), index, none, none)

    def visits_on(self, spot: int) -> list[Visit]:
        """Return all visits of a spot by any column."""
        return self._visits_on[spot]

    def thinned(self, most: int) -> "Master":
        """Return a linear programme with the cheapest columns of each run at the last prices, at most so many
        and those in use, and without the rows that nothing presses on.
        """
        solution, basis = self.solver.getSolution(), self.solver.getBasis()
        windows = self.grid.window_count
        spare = np.asarray(solution.col_dual)[windows:]
        in_use = np.array([one == BASIC for one in basis.col_status[windows:]], dtype=bool)
        order = np.lexsort((np.where(in_use, -np.inf, spare), [run for run, _ in self.columns]))
        kept, many = list[int](), Counter[int]()
        for column in order:
            run = self.columns[column][0]
            many[run] += 1
            if many[run] <= most or in_use[column]:
                kept.append(int(column))
        of_rows = basis.row_status
        pressed = {row for row, index in self._rows.items() if of_rows[index] != BASIC}
        return self.part(sorted(kept), pressed)

    def part(self, keep: Sequence[int], rows: Container[SharedRow] | None = None) -> "Master":
        """Return a linear programme of its own with some columns, in their order, and all or some rows."""
        part, first = Master(self.grid, self.runs), len(self.runs) + self.grid.window_count
        part.columns = [self.columns[column] for column in keep]
        part.column_of = {entry: number for number, entry in enumerate(part.columns)}
        part._taken, part.objective = self._taken, self.objective
        for number, column in enumerate(keep):
            visits = [visit._replace(column=number) for visit in self._visits_of[column]]
            part._visits_of.append(visits)
            part._numbers_of.append(self._numbers_of[column])
            part._taken_of.append(self._taken_of[column])
            for visit in visits:
                part._visits_on[visit.spot].append(visit)
        kept = list(range(first))
        for row, index in self._rows.items():
            if rows is not None and row not in rows:
                continue
            new = row
            if row.kind == "cut":
                new = row._replace(at=len(part.cuts))
                part.cuts.append(self.cuts[row.at])
            part._rows[new] = len(kept)
            part._rows_on[new.spot].append(new)
            kept.append(index)
        columns = [
            *range(self.grid.window_count),
            *(self.grid.window_count + np.asarray(keep, int)),
        ]
        part.solver = solver_with(self.solver, columns, kept)
        return part

    def _used(self, shares: Floats) -> dict[int, list[Visit]]:
        used: dict[int, list[Visit]] = defaultdict(list)
        for column in np.flatnonzero(shares > LEAST_SHARE):
            for visit in self._visits_of[column]:
                used[visit.spot].append(visit)
        return used

    def _broken(self, shares: Floats) -> Iterator[SharedRow]:
        """Yield, for each spot, the busiest day and the rooms that `shares` overfill."""
        used = [
            column for column in np.flatnonzero(shares > LEAST_SHARE) if self._visits_of[column]
        ]
        if not used:
            return
        grid, most = self.grid, 1.0 + BROKEN_BY
        visits = np.concatenate([self._numbers_of[column] for column in used])
        taken = np.concatenate([self._taken_of[column] for column in used])
        share = np.repeat(shares[used], [len(self._visits_of[column]) for column in used])
        spot, window, first_day, end_day = visits.T
        load = np.zeros((grid.days + 1, grid.spot_count))
        np.add.at(load, (first_day, spot), share)
        np.add.at(load, (np.minimum(end_day, grid.days), spot), -share)
        load = np.cumsum(load, axis=0)
        busiest = load.argmax(axis=0)
        for number in np.flatnonzero(load.max(axis=0) > most):
            yield from self._if_new(SharedRow("busy", int(number), int(busiest[number])))
        for way in range(len(PARTS)):
            on_spot = np.bincount(spot, share * taken[:, 1, way], grid.spot_count)
            for number in np.flatnonzero(on_spot > most):
                yield from self._if_new(SharedRow("spot", int(number), int(number), way))
            in_window = np.bincount(window, share * taken[:, 0, way], grid.window_count)
            for number in np.flatnonzero(in_window > most):
                at = int(grid.window_spot[number])
                yield from self._if_new(SharedRow("window", at, int(number), way))

    def _if_new(self, row: SharedRow) -> Iterator[SharedRow]:
        if row not in self._rows:
            yield row


def _sparse(entries: dict[int, float]) -> tuple[np.ndarray, np.ndarray]:
    index = np.array([row for row, value in entries.items() if value], dtype=np.int32)
    return index, np.array([value for value in entries.values() if value])
