"""How much feed must be on hand, and when the store runs out: read off equally likely flocks.

PURE. Paths are cumulative kilograms at the end of each day from today on, (days, paths), one array for each
kind of feed; entry p of every kind is the same season.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flocks.feed_buying import ANY

Array = NDArray[np.float64]

RUN_OUT_CHANCE = 0.05
"""Chance of running out that a buying plan keeps below [1]. A choice."""
LEAST_SPREAD_KG = 0.5
"""Spread below which seasons do not differ [kg]. A choice: half a kilogram is no reason to buy a bag."""
SHOWN_LEVEL = 0.8
"""Probability of the interval in which the store runs out, told as “8 times in 10”. A choice."""


@dataclass(frozen=True)
class NeedCurves:
    """Cumulative feed to have on hand for each kind, by the end of each day [kg]."""

    curves: dict[str, tuple[float, ...]]
    covered: float
    """Share of the seasons that never need more, on any day and of any kind [1]."""


def need_curves(paths: Mapping[str, Array], chance: float = RUN_OUT_CHANCE) -> NeedCurves:
    """Return curves that enough seasons stay below on all days and for all kinds at once.

    Parameters
    ----------
    paths : mapping of str to array
        Cumulative need by kind, (days, paths) [kg].
    chance : float
        Share of seasons that may need more at some time, at least 0 and below 1 [1].

    Returns
    -------
    NeedCurves
        Never falling. The share of seasons that pass a curve anywhere is at most `chance`.

    Notes
    -----
    Seasons are ranked by how far they ever leave the median, measured by the spread of that day and kind;
    the hungriest are left aside, and the curves are the most that any other needs. A quantile taken day
    by day would be passed more often than it says, because another season may be the hungriest on another
    day.
    """
    kinds = [kind for kind, cumulative in paths.items() if cumulative.size]
    if not kinds:
        return NeedCurves({}, 1.0)
    together = np.concatenate([paths[kind] for kind in kinds])
    median, upper = np.quantile(together, [0.5, 0.9], axis=1)
    spread = np.maximum(upper - median, LEAST_SPREAD_KG)
    hunger = ((together - median[:, None]) / spread[:, None]).max(axis=0)
    kept = int(np.ceil((1.0 - chance) * together.shape[1] - 1e-9))
    level = together[:, np.argsort(hunger, kind="stable")[:kept]].max(axis=1)
    ends = np.cumsum([len(paths[kind]) for kind in kinds])[:-1]
    curves = {
        kind: tuple(curve.tolist())
        for kind, curve in zip(kinds, np.split(level, ends), strict=True)
    }
    return NeedCurves(curves, float((together <= level[:, None] + 1e-9).all(axis=0).mean()))


@dataclass(frozen=True)
class RunOut:
    """The days from today on which the store cannot give what is needed; None where it lasts."""

    low: int | None
    median: int | None
    high: int | None


def runs_out(paths: Mapping[str, Array], stock_kg: Mapping[str, float]) -> RunOut:
    """Return when the store runs out, 8 times in 10 between `low` and `high`.

    Parameters
    ----------
    paths : mapping of str to array
        As for `need_curves`.
    stock_kg : mapping of str to float
        What is in the store by kind; that of kind `ANY` steps in for all [kg].
    """
    kinds = [kind for kind, cumulative in paths.items() if cumulative.size]
    if not kinds:
        return RunOut(None, None, None)
    short = sum(
        np.clip(paths[kind] - (stock_kg.get(kind, 0.0) if kind != ANY else 0.0), 0.0, None)
        for kind in kinds
    )
    out = short > stock_kg.get(ANY, 0.0) + 1e-9
    days = np.sort(np.where(out.any(axis=0), out.argmax(axis=0), len(out)))
    tail = (1.0 - SHOWN_LEVEL) / 2.0

    def day(share: float) -> int | None:
        found = int(days[min(int(share * len(days)), len(days) - 1)])
        return found if found < len(out) else None

    return RunOut(day(tail), day(0.5), day(1.0 - tail))
