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

SCALE_SD_G = 4.0
"""Error of a kitchen or hanging scale read to 10 g with a bird in it [g]. Common practice, no
source."""

HANDLING_CV = 0.01
"""Error common to one weighing, as full or empty crops [1]. Common practice, no source."""

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

    def __post_init__(self) -> None:
        """Refuse what no scale can show."""
        if self.mean_g <= 0.0 or self.count < 1 or self.age_days < 0.0:
            raise ValueError("a weighing needs an age from 0, a weight above 0 and a bird")

    @classmethod
    def of_birds(cls, age_days: float, weights_g: Sequence[float]) -> Weighing:
        """Return the weighing of birds put on the scale one by one [g]."""
        mean_g = statistics.fmean(weights_g)
        spread = statistics.stdev(weights_g) / mean_g if len(weights_g) > 1 else None
        return cls(age_days, mean_g, len(weights_g), spread)

    def log_variance(self, bird_cv: float) -> float:
        """Return the variance of the logarithm of `mean_g` about the flock's true mean [1]."""
        sampling = bird_cv**2 / self.count
        scale = (SCALE_SD_G / self.mean_g) ** 2 / self.count
        return sampling + scale + HANDLING_CV**2


@dataclass(frozen=True)
class FeedRecord:
    """Feed eaten by one bird from the start of one day up to the start of another."""

    from_day: float
    to_day: float
    feed_per_bird_g: float


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
