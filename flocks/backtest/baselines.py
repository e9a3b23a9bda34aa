"""Guesses at a weight to come that anybody could make, to be beaten.

PURE. Each takes the weighings so far, as (age, weight) with the hatched chick first where it was weighed,
and an age to come.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

Weighed = Sequence[tuple[float, float]]
Baseline = Callable[[Weighed, float], float]

GOMPERTZ_START = (math.log(5000.0), math.log(0.04), math.log(38.0))
"""Where the search for a flock's own curve starts: mature weight [g], rate [1/day], inflection [day]."""
GOMPERTZ_BOUNDS = (math.log(1e6), math.log(0.5), math.log(400.0))
"""How far it may go; without a prior it often wants to."""


def naive_proportion(weighed: Weighed, age_days: float) -> float:
    """Return the latest weight in proportion to age [g]."""
    last_age, last_g = weighed[-1]
    return last_g * age_days / last_age


def log_linear(weighed: Weighed, age_days: float) -> float:
    """Return the straight line through the two latest weighings, both scales logarithmic [g].

    A day is added to each age, so that the hatched chick has a logarithm too.
    """
    (first_age, first_g), (last_age, last_g) = weighed[-2:] if len(weighed) > 1 else weighed * 2
    if last_age == first_age:
        return last_g
    slope = math.log(last_g / first_g) / math.log((last_age + 1) / (first_age + 1))
    return last_g * ((age_days + 1) / (last_age + 1)) ** slope


def unpooled_gompertz(weighed: Weighed, age_days: float) -> float:
    """Return a Gompertz curve fitted to this flock alone, least squares on logarithms [g]."""
    ages = np.array([age for age, _ in weighed], dtype=float)
    log_g = np.log([g for _, g in weighed])

    def off(figures: NDArray[np.float64]) -> NDArray[np.float64]:
        return _log_gompertz(figures, ages) - log_g

    bounds = (-np.array(GOMPERTZ_BOUNDS) - 10.0, np.array(GOMPERTZ_BOUNDS))
    fitted = least_squares(off, GOMPERTZ_START, bounds=bounds, max_nfev=200)
    return float(np.exp(_log_gompertz(fitted.x, np.array([float(age_days)]))[0]))


def _log_gompertz(figures: NDArray[np.float64], ages: NDArray[np.float64]) -> NDArray[np.float64]:
    log_mature, log_rate, log_inflection = figures
    return log_mature - np.exp(-np.exp(log_rate) * (ages - np.exp(log_inflection)))


BASELINES: dict[str, Baseline] = {
    "naive proportion": naive_proportion,
    "log-linear": log_linear,
    "unpooled Gompertz": unpooled_gompertz,
}
