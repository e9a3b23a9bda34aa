"""Weighings and feed records: what a grower measured, and how far each may be from the truth.

PURE. A weighing tells the flock's mean weight through a sample of birds and a scale; a feed record
tells what was fed between two days.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

SCALE_SD_G = 2.7
"""Error of a kitchen or hanging scale with a bird in it, before its reading is rounded [g]. Common practice,
no source."""
USUAL_STEP_G = 10.0
"""What a reading is rounded to where nothing is known [g]. Common practice, no source."""
SCALE_STEPS_G = (100.0, 50.0, 28.35, 25.0, 20.0)
"""Coarser steps that are recognised in the readings themselves, 28.35 g being an ounce [g]."""
LEAST_READINGS = 4
"""Readings that must all sit on a coarse step before it is believed [1]. A choice: four readings sit on
steps of 20 g by chance once in 16 times, on those of 50 g once in 600."""

LEAST_WEIGHT_G, GREATEST_WEIGHT_G = 5.0, 15_000.0
"""Weights that a scale with one chicken on it can show [g]. A choice: a chick at a seventh of its weight, and
twice the heaviest asymptote published."""

HANDLING_CV = 0.01
"""Error common to one weighing, as full or empty crops [1]. Common practice, no source."""

FRESH_SHARE = 0.2
"""Share of the variance between birds that a new sample draws afresh [1]; the birds that come to hand are
often the same, and what they have in common stays with the flock's curve (`flocks.disturbance`). A choice,
held against single chicks weighed again and again."""

BIRD_CV_PRIOR_COUNT = 20
"""Birds' worth of trust in a strain's bird-to-bird variation, against weighed birds. A choice."""


MOST_WEIGHINGS = 40
"""Weighings that a forecast takes one by one; its work grows with their square, and more with each mistake
among them. A choice: every pen each week, or the flock every second day, stays below it."""
LIKE_THE_OTHERS = 2.0
"""Weighings further than this factor off the middle one of their days are mistakes and are not pooled [1].
A choice: a kilogram read as a gram, or a pound as a kilogram, is further off."""


@dataclass(frozen=True)
class Weighing:
    """The mean of a sample of birds weighed on one day.

    Parameters
    ----------
    age_days : float
        Age of the birds [day].
    mean_g : float
        Mean live weight of the sample, above 0 [g].
    count : int
        Birds in the sample, at least 1.
    sample_cv : float or None
        Coefficient of variation within the sample, where the birds were weighed one by one [1].
    """

    age_days: float
    mean_g: float
    count: int = 1
    sample_cv: float | None = None
    step_g: float = USUAL_STEP_G
    """What the scale rounds to [g]."""

    def __post_init__(self) -> None:
        """Refuse what no scale can show."""
        if not self.mean_g > 0.0 or self.count < 1 or not self.age_days >= 0.0:
            raise ValueError("a weighing needs an age from 0, a weight above 0 and a bird")
        if not LEAST_WEIGHT_G <= self.mean_g <= GREATEST_WEIGHT_G:
            raise ValueError(
                f"a chicken weighs {LEAST_WEIGHT_G:g} to {GREATEST_WEIGHT_G:g} g, not {self.mean_g:g} g"
            )

    @classmethod
    def of_birds(cls, age_days: float, weights_g: Sequence[float]) -> Weighing:
        """Return the weighing of birds put on the scale one by one [g]."""
        mean_g = statistics.fmean(weights_g)
        spread = _sample_cv(weights_g, mean_g)
        return cls(age_days, mean_g, len(weights_g), spread, scale_step_g(weights_g))

    def log_variance(self, bird_cv: float) -> float:
        """Return the variance of the logarithm of `mean_g` about the flock's true mean [1]."""
        sampling = FRESH_SHARE * bird_cv**2 / self.count
        # A rounded reading is anywhere in its step: a variance of a twelfth of the step's square.
        scale = (SCALE_SD_G**2 + self.step_g**2 / 12.0) / self.mean_g**2 / self.count
        return sampling + scale + HANDLING_CV**2


def _sample_cv(weights_g: Sequence[float], mean_g: float) -> float | None:
    # Not `statistics.stdev`, whose exact fractions take a second for some thousand weighings.
    if len(weights_g) < 2:
        return None
    squares = math.fsum((weight_g - mean_g) ** 2 for weight_g in weights_g)
    return math.sqrt(squares / (len(weights_g) - 1)) / mean_g


@dataclass(frozen=True)
class FeedRecord:
    """Feed eaten by one bird from the start of one day up to the start of another."""

    from_day: float
    to_day: float
    feed_per_bird_g: float


def scale_step_g(weights_g: Sequence[float]) -> float:
    """Return what a scale rounds to, as far as single readings show it [g]."""
    if len(weights_g) < LEAST_READINGS:
        return USUAL_STEP_G
    for step_g in SCALE_STEPS_G:
        if all(abs(g - step_g * round(g / step_g)) < 0.01 * step_g for g in weights_g):
            return step_g
    return USUAL_STEP_G


def bird_cv_learned(strain_cv: float, weighings: Sequence[Weighing]) -> float:
    """Return the bird-to-bird variation of a flock from its strain's and its own weighed birds [1].

    The two are pooled by degrees of freedom, the strain's counting as `BIRD_CV_PRIOR_COUNT`.
    """
    pooled, freedom = BIRD_CV_PRIOR_COUNT * strain_cv**2, float(BIRD_CV_PRIOR_COUNT)
    for weighing in weighings:
        if weighing.sample_cv is not None:
            pooled += (weighing.count - 1) * weighing.sample_cv**2
            freedom += weighing.count - 1
    return math.sqrt(pooled / freedom)


def few_enough(weighings: Sequence[Weighing]) -> tuple[Weighing, ...]:
    """Return the weighings, those of near days pooled where there are more than `MOST_WEIGHINGS`.

    Parameters
    ----------
    weighings : sequence of Weighing
        In order of age.

    Returns
    -------
    tuple of Weighing
        In order of age, at most `MOST_WEIGHINGS`. The pooled ones carry no `sample_cv`.
    """
    few, days = tuple(weighings), 1
    while len(few) > MOST_WEIGHINGS:
        near = groupby(weighings, key=lambda weighing: weighing.age_days // days)
        few = tuple(_pooled(list(group)) for _, group in near)
        days += 1
    return few


def _pooled(near: Sequence[Weighing]) -> Weighing:
    """Return the weighing of all birds of some weighings, mistakes apart."""
    middle_g = statistics.median_low(weighing.mean_g for weighing in near)
    like = [w for w in near if middle_g / LIKE_THE_OTHERS <= w.mean_g <= middle_g * LIKE_THE_OTHERS]
    birds = sum(w.count for w in like)
    return Weighing(
        age_days=sum(w.count * w.age_days for w in like) / birds,
        mean_g=sum(w.count * w.mean_g for w in like) / birds,
        count=birds,
    )
