"""The master linear programme: which share of which route each run takes.

PURE. Columns are routes. Rows are one a run (its shares make one), one a window for what is earned,
and, added only when a solution breaks them, one a day and spot (a stay or its rest covers it once)
and one a window or spot for its nitrogen room. Rows never added have no price, which a proven bound
may always assume.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import highspy
import numpy as np

from garden.quiet_highs import quiet_highs
from rotation.engine.choices import Choices, Leg, Route
from rotation.engine.duals import Duals
from rotation.engine.grid import Floats, Grid
from rotation.engine.prices import PARTS, crowding

BROKEN_BY = 1e-6
"""How far past its limit of one a row must be before it is added."""

LEAST_SHARE = 1e-9
"""Share of a column below which it counts as not taken."""


class Visit(NamedTuple):
    """One leg of one column, as the shared rows see it; `end_day` includes the rest."""

    column: int
    spot: int
    window: int
    first_day: int
    end_day: int
    window_taken: Floats
    """What it takes of its window's room, counted in each way of `PARTS`."""
    spot_taken: Floats
    """What it takes of its spot's room, likewise."""


class SharedRow(NamedTuple):
    """A limit of one on the visits of a spot.

    ``busy``: a visit covers day `at`. ``window``: what it takes of the room of window `at`, counted
    in the `way`-th way of `PARTS`. ``spot``: the same of the spot's whole room.
    """

    kind: str
    spot: int
    at: int
    way: int = 0


class Master:
    """The linear programme over the routes known so far."""

    def __init__(self, grid: Grid, runs: Sequence[Choices]) -> None:
        self.grid = grid
        self.runs = runs
        self.columns: list[tuple[int, Route]] = []
        self.objective = 0.0
        self._known: set[tuple[int, Route]] = set()
        self._visits_of: list[list[Visit]] = []
        self._visits_on: list[list[Visit]] = [[] for _ in range(grid.spot_count)]
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
        if (number, route) in self._known:
            return False
        self._known.add((number, route))
        run, column = self.runs[number], len(self.columns)
        self.columns.append((number, route))
        entries: dict[int, float] = defaultdict(float, {number: 1.0})
        visits = [self._visit(run, column, leg) for leg in route]
        self._visits_of.append(visits)
        for leg, visit in zip(route, visits, strict=True):
            self._visits_on[leg.spot].append(visit)
            earned_g = min(run.leg_nitrogen_g(leg), self.grid.wanted_g[visit.window])
            entries[len(self.runs) + visit.window] -= earned_g
            for row in self._rows_on[leg.spot]:
                entries[self._rows[row]] += _share(row, visit)
        index, value = _sparse(entries)
        self.solver.addCol(run.cost_of(route), 0.0, highspy.kHighsInf, len(index), index, value)
        return True

    def shut(self, column: int) -> None:
        """Let no run take this column any more."""
        self.solver.changeColBounds(self.grid.window_count + column, 0.0, 0.0)

    def solve(self) -> Floats:
        """Solve, adding broken rows until none is left; return the share of each column."""
        while True:
            self.solver.run()
            values = np.asarray(self.solver.getSolution().col_value)
            shares = values[self.grid.window_count :]
            broken = list(self._broken(shares))
            if not broken:
                self.objective = self.solver.getObjectiveValue()
                return shares
            for row in broken:
                self._add_row(row)

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
            elif row.kind == "window":
                duals.window_room[row.way, row.at] = prices[index]
            else:
                duals.spot_room[row.way, row.at] = prices[index]
        return duals

    def add_all_rows(self) -> None:
        """Add every shared row that the known columns could break."""
        for visits in self._visits_on:
            for row in sorted(_rows_of(visits) - self._rows.keys()):
                self._add_row(row)

    def _visit(self, run: Choices, column: int, leg: Leg) -> Visit:
        window, nitrogen_g = run.leg_window(leg), run.leg_nitrogen_g(leg)
        rooms_g = np.array([self.grid.window_room_g[window], self.grid.spot_room_g[leg.spot]])
        taken = np.array([crowding(nitrogen_g, rooms_g, parts) for parts in PARTS])
        covered_to = leg.end_day + self.grid.rest
        return Visit(column, leg.spot, window, leg.first_day, covered_to, taken[:, 0], taken[:, 1])

    def _add_row(self, row: SharedRow) -> None:
        entries: dict[int, float] = defaultdict(float)
        for visit in self._visits_on[row.spot]:
            entries[self.grid.window_count + visit.column] += _share(row, visit)
        index, value = _sparse(entries)
        self._rows[row] = self.solver.getNumRow()
        self._rows_on[row.spot].append(row)
        self.solver.addRow(-highspy.kHighsInf, 1.0, len(index), index, value)

    def _broken(self, shares: Floats) -> Iterator[SharedRow]:
        """Yield, for each spot, the busiest day and the rooms that `shares` overfill."""
        used: dict[int, list[Visit]] = defaultdict(list)
        for column in np.flatnonzero(shares > LEAST_SHARE):
            for visit in self._visits_of[column]:
                used[visit.spot].append(visit)
        for visits in used.values():
            share = shares[[visit.column for visit in visits]]
            yield from (row for row in _overfull(visits, share) if row not in self._rows)


def _overfull(visits: Sequence[Visit], share: Floats) -> Iterator[SharedRow]:
    """Yield the busiest day of a spot and its rooms where shares of `visits` pass the limit."""
    spot, most = visits[0].spot, 1.0 + BROKEN_BY
    first_day, end_day, window = np.array(
        [(visit.first_day, visit.end_day, visit.window) for visit in visits]
    ).T
    covers = (first_day <= first_day[:, None]) & (first_day[:, None] < end_day)
    load = covers @ share
    if load.max() > most:
        yield SharedRow("busy", spot, int(first_day[load.argmax()]))
    on_spot = share @ np.array([visit.spot_taken for visit in visits])
    for way in np.flatnonzero(on_spot > most):
        yield SharedRow("spot", spot, spot, int(way))
    in_window = np.array([visit.window_taken for visit in visits]) * share[:, None]
    for number in np.unique(window):
        for way in np.flatnonzero(in_window[window == number].sum(axis=0) > most):
            yield SharedRow("window", spot, int(number), int(way))


def _share(row: SharedRow, visit: Visit) -> float:
    """Return what a visit of the row's spot takes of the row's limit of one."""
    if row.kind == "busy":
        return float(visit.first_day <= row.at < visit.end_day)
    if row.kind == "spot":
        return float(visit.spot_taken[row.way])
    return float(visit.window_taken[row.way]) if visit.window == row.at else 0.0


def _rows_of(visits: Sequence[Visit]) -> set[SharedRow]:
    """Return every shared row that visits of one spot could break."""
    rows = {SharedRow("busy", visit.spot, visit.first_day) for visit in visits}
    for way in range(len(PARTS)):
        rows |= {SharedRow("window", visit.spot, visit.window, way) for visit in visits}
        rows |= {SharedRow("spot", visit.spot, visit.spot, way) for visit in visits}
    return rows


def _sparse(entries: dict[int, float]) -> tuple[np.ndarray, np.ndarray]:
    index = np.array([row for row, value in entries.items() if value], dtype=np.int32)
    return index, np.array([value for value in entries.values() if value])
