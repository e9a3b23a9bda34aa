"""When a growing flock first reaches a weight, with the interval over equally likely flocks.

PURE.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class TargetAge:
    """Age at which a target is first reached [day]; None where not by the last age forecast."""

    low: float | None
    median: float | None
    high: float | None


def target_age(age_days: Array, weight_g: Array, target_g: float, level: float) -> TargetAge:
    """Return when paths of weight (ages, paths) first reach a target.

    Parameters
    ----------
    age_days : array
        Rising ages [day].
    weight_g : array
        Weight, never falling along the ages, (ages, paths) [g].
    target_g : float
        Weight wanted [g].
    level : float
        Probability of the interval, above 0 and below 1 [1].
    """
    reached = np.sort(first_passage_days(age_days, weight_g, target_g))
    tail = (1.0 - level) / 2.0

    def quantile(share: float) -> float | None:
        day = reached[min(int(share * len(reached)), len(reached) - 1)]
        return float(day) if np.isfinite(day) else None

    return TargetAge(quantile(tail), quantile(0.5), quantile(1.0 - tail))


def first_passage_days(age_days: Array, weight_g: Array, target_g: float) -> Array:
    """Return the age at which each path first reaches the target, infinite where it does not."""
    above = weight_g >= target_g
    after = np.clip(above.argmax(axis=0), 1, None)
    path = np.arange(weight_g.shape[1])
    low_g, high_g = weight_g[after - 1, path], weight_g[after, path]
    share = np.clip((target_g - low_g) / np.maximum(high_g - low_g, 1e-9), 0.0, 1.0)
    days = age_days[after - 1] + share * (age_days[after] - age_days[after - 1])
    return np.where(above.any(axis=0), days, np.inf)
