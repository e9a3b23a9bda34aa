"""Limits on what stays of several runs take of one spot, found where a fractional solution breaks them.

PURE. A *kind* is one run in one window of the spot, a *level* is what a stay of a kind may drop, in grams.
Of all sets of levels that fit into the rooms of the spot and its windows together, and whose runs can come
a rest apart, a cut gives each level a share so that no such set passes one. A stay counts as the highest
level of its kind that it reaches, so the cut holds for every lawful plan. Shares are first found for the
levels that a fractional solution uses and then raised, kind after kind, as far as the others leave room.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import highspy
import numpy as np
from numpy.typing import NDArray

from garden.quiet_highs import quiet_highs
from rotation.engine.choices import Choices
from rotation.engine.grid import Floats, Grid
from rotation.engine.kernels.levels import level_sets
from rotation.engine.problem import NITROGEN_TOLERANCE_G

MOST_LEVELS = 30
"""Levels of a spot that are looked at together at most (a choice: time)."""

MOST_SETS = 2000
"""Sets of levels that are looked at at most (a choice: time)."""

BROKEN_BY = 0.02
"""How far past one a cut must be broken to be worth a row (a choice)."""

LEAST_SHARE = 1e-6
"""Shares below count as nothing."""

SLACK_G = 2 * NITROGEN_TOLERANCE_G
"""Grams by which rooms are taken as larger than they are, twice what the rules forgive."""

Steps = tuple[Floats, Floats]
"""Nitrogen [g] from which a share holds, ascending, and the shares, rising."""


class Kind(NamedTuple):
    """A run in a window."""

    run: int
    window: int


@dataclass(frozen=True, eq=False)
class LevelCut:
    """Shares of levels of one spot; lawful visits never pass one together."""

    spot: int
    steps: dict[Kind, Steps]

    @cached_property
    def _lists(self) -> dict[Kind, tuple[list[float], list[float]]]:
        """The steps as lists, which single numbers are found in more quickly."""
        return {kind: (at.tolist(), share.tolist()) for kind, (at, share) in self.steps.items()}

    @cached_property
    def rises(self) -> dict[int, list[tuple[int, Floats, Floats]]]:
        """By run: a window, the nitrogen [g] from which it counts more, and by how much more."""
        rises: dict[int, list[tuple[int, Floats, Floats]]] = defaultdict(list)
        for (run, window), (from_g, share) in self.steps.items():
            rises[run].append((window, from_g, np.diff(share, prepend=0.0)))
        return rises

    def share(self, kind: Kind, nitrogen_g: float) -> float:
        """Return what a stay takes of the limit of one."""
        known = self._lists.get(kind)
        if known is None:
            return 0.0
        reached = bisect_right(known[0], nitrogen_g)
        return known[1][reached - 1] if reached else 0.0


def broken_cut(
    grid: Grid, runs: Sequence[Choices], spot: int, used: dict[tuple[Kind, float], float]
) -> LevelCut | None:
    """Return a cut that a fractional solution breaks, if one breaks by much.

    Parameters
    ----------
    used : dict
        Share by kind and nitrogen [g] that the solution takes of `spot`.
    """
    return _SpotLevels(grid, runs, spot).broken_cut(used)


class _SpotLevels:
    """The levels of one spot."""

    def __init__(self, grid: Grid, runs: Sequence[Choices], spot: int) -> None:
        self.grid = grid
        self.runs = runs
        self.spot = spot
        self.windows = [int(window) for window in np.flatnonzero(grid.window_spot == spot)]

    @cached_property
    def kinds(self) -> list[Kind]:
        """Every run in every window in which it could have a stay."""
        return [
            Kind(run.number, window)
            for run in self.runs
            if self.spot in run.place_of
            for window in self.windows
            if self._days(Kind(run.number, window))[1] > self._days(Kind(run.number, window))[0]
        ]

    @cached_property
    def meets(self) -> NDArray[np.bool_]:
        """Whether stays of two kinds can lie a rest apart."""
        days = np.array([self._days(kind) for kind in self.kinds])
        # a stay lasts a day at least, whatever the rule: the first may have begun before
        after = days[:, 1][None, :] - 1 >= days[:, 0][:, None] + 1 + self.grid.rest
        return after | after.T

    def _days(self, kind: Kind) -> tuple[int, int]:
        run, (first_day, end_day) = self.runs[kind.run], self.grid.window_days[kind.window]
        return max(run.first_day, first_day), min(run.first_day + run.days, end_day)

    def broken_cut(self, used: dict[tuple[Kind, float], float]) -> LevelCut | None:
        most_used = sorted(used, key=lambda level: -used[level])[:MOST_LEVELS]
        levels = sorted(level for level in most_used if level[0] in self.kinds)
        share_used = np.array([used[level] for level in levels])
        counts, *_ = self._sets(levels)
        if len(counts) >= MOST_SETS:
            return None
        shares = _best_shares(levels, counts[1:], share_used)
        if shares is None or shares @ share_used < 1.0 + BROKEN_BY:
            return None
        steps = dict[Kind, Steps]()
        for kind in {kind for kind, _ in levels}:
            mine = [number for number, level in enumerate(levels) if level[0] == kind]
            from_g = np.array([levels[number][1] for number in mine])
            steps[kind] = _rising(from_g, np.maximum.accumulate(shares[mine]))
        return LevelCut(self.spot, self._raised(steps, self._by_use(levels, share_used)))

    def _by_use(self, levels: Sequence[tuple[Kind, float]], used: Floats) -> list[Kind]:
        """Return all kinds, those most used first."""
        uses = dict.fromkeys(self.kinds, 0.0)
        for (kind, _), share in zip(levels, used, strict=True):
            uses[kind] += share
        return sorted(uses, key=lambda kind: -uses[kind])

    def _raised(self, steps: dict[Kind, Steps], order: Sequence[Kind]) -> dict[Kind, Steps]:
        """Raise the shares of one kind after another as far as the others let them."""
        steps = dict(steps)
        for kind in order:
            number = self.kinds.index(kind)
            if self.meets[number, number]:
                continue  # two visits of one run count one another; what is known of them stays
            others = [
                (other, from_g, share)
                for other in sorted(steps)
                if other != kind
                for from_g, share in zip(*steps[other], strict=True)
            ]
            counts, left_g, window_left_g, joins = self._sets([(k, g) for k, g, _ in others])
            if len(counts) >= MOST_SETS:
                continue
            worth = counts @ np.array([share for *_, share in others])
            could = joins[:, number]
            room_g = np.minimum(left_g, window_left_g[:, self.windows.index(kind.window)])[could]
            steps[kind] = _rising(*_left_over(room_g, worth[could]))
        return {kind: (from_g, share) for kind, (from_g, share) in steps.items() if len(share)}

    def _sets(self, levels: Sequence[tuple[Kind, float]]) -> tuple[NDArray, ...]:
        numbers = {kind: number for number, kind in enumerate(self.kinds)}
        return level_sets(
            self.grid.spot_room_g[self.spot] + SLACK_G,
            self.grid.window_room_g[self.windows] + SLACK_G,
            np.array([nitrogen_g for _, nitrogen_g in levels], dtype=float),
            np.array([self.windows.index(kind.window) for kind, _ in levels], dtype=np.int64),
            np.array([numbers[kind] for kind, _ in levels], dtype=np.int64),
            self.meets,
            MOST_SETS,
        )


def _left_over(room_g: Floats, worth: Floats) -> Steps:
    """Return what a level may count, by its nitrogen, beside sets that leave so much room and are worth so
    much.
    """
    order = np.argsort(-room_g, kind="stable")
    best = np.maximum.accumulate(worth[order])
    # a level that no longer fits beside a set may count what the sets with more room leave
    share = 1.0 - np.concatenate([[0.0], best])
    from_g = np.concatenate([room_g[order], [0.0]])
    return np.nextafter(from_g[::-1], np.inf), np.maximum(share[::-1], 0.0)


def _rising(from_g: Floats, share: Floats) -> Steps:
    """Return only the steps that rise."""
    share = np.where(share < LEAST_SHARE, 0.0, share)
    last = np.concatenate([from_g[1:] > from_g[:-1], [True]])
    from_g, share = from_g[last], share[last]
    rises = np.diff(share, prepend=0.0) > LEAST_SHARE
    return from_g[rises], share[rises]


def _best_shares(
    levels: Sequence[tuple[Kind, float]], counts: NDArray[np.int8], used: Floats
) -> Floats | None:
    """Return the shares that make most of what is used while no set passes one, rising with the nitrogen."""
    solver = quiet_highs()
    for share in used:
        solver.addCol(-float(share), 0.0, 1.0, 0, [], [])
    for row in counts[counts.sum(axis=1) > 1]:
        index = np.flatnonzero(row).astype(np.int32)
        solver.addRow(-highspy.kHighsInf, 1.0, len(index), index, row[index].astype(float))
    for number, (lower, higher) in enumerate(pairwise(levels)):
        if lower[0] == higher[0]:
            solver.addRow(-highspy.kHighsInf, 0.0, 2, [number, number + 1], [1.0, -1.0])
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    shares = np.maximum(np.asarray(solver.getSolution().col_value), 0.0)
    # the solver keeps its rows only within a tolerance, a bound may not
    return shares / max(float((counts @ shares).max()), 1.0)
