"""How many birds will be left, with an interval, from what a batch has lost so far.

PURE. ::

    survivors(alive, age_days, to_day, past=[Day(age, alive, lost), ...], level=0.8) -> Survivors
    usual_losses(alive, from_day, to_day) -> float     # what the schedule alone expects
    is_sudden(lost, alive, age_days) -> bool           # more on one day than chance explains

Losses follow a schedule by age. How much a flock loses beside the schedule is learnt from its own
records; what is told about the days to come is the chance of each number of losses.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import nbinom

WEEKLY_LOSS_SHARE = (0.012, 0.005, 0.004, 0.004, 0.005, 0.007, 0.008, 0.010)
"""Share of the birds lost in each week of age, the last for all weeks after [1]. From memory; it comes to
3.7 % by six weeks, beside 4.2 % at 41 days on a broiler farm and an average of 5 % in industry, both
published."""
OUTDOOR_LOSS_SHARE = 0.005
"""Share lost each week on top of it, to predators and weather [1]. From memory: 2-5 % in six weeks."""

FLOCKS_SHAPE = 1.0
"""Shape of the gamma distribution of a flock's losses over the schedule [1]. A choice: the standard
deviation between flocks is as large as the mean, growers tell of 1 to 20 %."""
SUDDEN_CHANCE = 0.005
"""A day whose losses chance brings less often than this, in an ordinary flock, is sudden [1]. A choice:
about one false alarm in four batches."""
LEAST_SUDDEN = 2
"""Fewest losses on a day that are called sudden. A choice: a single bird dies in every batch."""


@dataclass(frozen=True)
class Day:
    """What one day took."""

    age_days: int
    alive: int
    """Birds at its start."""
    lost: int


@dataclass(frozen=True)
class Survivors:
    """Birds expected to be left at an age."""

    low: int
    median: int
    high: int
    expected: float
    """Mean of the distribution [birds]."""
    losses_of_usual: float
    """The flock's losses over the schedule's, as far as its records tell: 1 is usual [1]."""


def survivors(
    alive: int, age_days: int, to_day: int, past: Iterable[Day] = (), level: float = 0.8
) -> Survivors:
    """Return how many birds of a flock will be left at a later age.

    Parameters
    ----------
    alive : int
        Birds alive now, at least 0.
    age_days, to_day : int
        Age now and the age asked [day].
    past : iterable of Day
        The days behind, those without a loss too: they tell most.
    level : float
        Probability of the interval, above 0 and below 1 [1].

    Raises
    ------
    ValueError
        When the age asked lies behind, or a figure is negative.

    Notes
    -----
    Losses of a flock are gamma times the schedule, ``shape = FLOCKS_SHAPE``; n losses where the schedule
    expected E leave a gamma of shape ``FLOCKS_SHAPE + n / c`` and rate ``FLOCKS_SHAPE + E / c``. Birds die
    in company: c is the size of the company a lost bird was lost in, on average, and one of the two
    at least. Losses to come are then negative binomial, in companies of c.
    """
    if alive < 0 or to_day < age_days or not 0.0 < level < 1.0:
        raise ValueError("survivors need birds, an age that is still to come and a level")
    past = tuple(past)
    lost = sum(day.lost for day in past)
    expected = sum(usual_losses(day.alive, day.age_days, day.age_days + 1) for day in past)
    company = max(1.0, sum(day.lost**2 for day in past) / lost) if lost else 1.0
    shape = FLOCKS_SHAPE + lost / company
    rate = FLOCKS_SHAPE + expected / company
    coming = usual_losses(alive, age_days, to_day) / company
    chances = _chances(alive, shape, rate, coming, company)
    reached = np.cumsum(chances)
    tail = (1.0 - level) / 2.0
    few, middle, many = (int(np.searchsorted(reached, s - 1e-12)) for s in (tail, 0.5, 1 - tail))
    return Survivors(
        low=max(0, alive - many),
        median=max(0, alive - middle),
        high=alive - few,
        expected=alive - float(np.arange(len(chances)) @ chances),
        losses_of_usual=shape / rate,
    )


def usual_losses(alive: int, from_day: int, to_day: int) -> float:
    """Return the birds that a flock usually loses on the days ``[from_day, to_day)``."""
    ages = np.clip(np.arange(from_day, to_day), 0, None)
    week = np.minimum(ages // 7, len(WEEKLY_LOSS_SHARE) - 1)
    outdoors = np.where(ages // 7 >= 3, OUTDOOR_LOSS_SHARE, 0.0)
    hazard = (np.asarray(WEEKLY_LOSS_SHARE)[week] + outdoors).sum() / 7
    return alive * float(-np.expm1(-hazard))


def is_sudden(lost: int, alive: int, age_days: int) -> bool:
    """Tell whether a day's losses are more than chance explains in an ordinary flock.

    Parameters
    ----------
    lost : int
        Birds lost on the day.
    alive : int
        Birds alive at its start.
    age_days : int
        Their age [day].
    """
    if lost < LEAST_SUDDEN:
        return False
    usual = usual_losses(alive, age_days, age_days + 1)
    # Negative binomial: the chance is taken over ordinary flocks, some of which lose more.
    chance = nbinom.sf(lost - 1, FLOCKS_SHAPE, FLOCKS_SHAPE / (FLOCKS_SHAPE + usual))
    return bool(chance < SUDDEN_CHANCE)


def _chances(
    alive: int, shape: float, rate: float, coming: float, company: float
) -> NDArray[np.float64]:
    """Return the chance of each number of losses from 0 to all."""
    if coming <= 0.0 or not alive:
        return np.ones(1)
    companies = nbinom.cdf(np.arange(alive + 1) / company, shape, rate / (rate + coming))
    chances = np.diff(companies, prepend=0.0)
    chances[-1] += 1.0 - companies[-1]
    return chances
