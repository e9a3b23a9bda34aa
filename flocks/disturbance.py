"""How a flock strays from its own smooth curve: spells of faster and slower growth.

PURE. Weather, feed and illness put a flock off its curve for some weeks; part of that is made up
later. The disturbance of log weight is a Gaussian process in two parts. That of the whole flock is of
the Ornstein-Uhlenbeck kind: a lead or lag decays, and how it came about says nothing of where it goes,
because heat or a change of feed may end it any day. What a small sample of birds strays beside its flock
is smooth (Matérn, smoothness 3/2): a bird goes on for a while the way it went last. So the latest
weighings count for more than the early ones, and weighings close together, which share one spell,
count for less than as many spread out. A spell lasts longer in old birds than in young ones.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flocks.weighings import Weighing

Array = NDArray[np.float64]

FLOCK_LOG_SD = 0.08
"""Standard deviation of the disturbance of a whole flock, as log [1]. Derived: of 0.05 to 0.09, the trials of
``tests/data`` are told best under 0.08 and 0.09."""
BIRD_LOG_SD = 0.25
"""What a single bird strays beside its flock, as log [1]: a sample of few birds strays with them. A choice,
held against the same flocks and the single chicks of ChickWeight."""
YOUNG_DAYS = 8.0
"""Age up to which spells are as short as in a chick; from there on they grow with age [day]. A choice."""
SPELL = 0.55
"""Length scale of a spell, on the scale ``log(1 + age / YOUNG_DAYS)`` [1]: 8 days at one week of age, 16 at
three, 24 at five. Derived: of 0.4 to 1.0, the trials of ``tests/data`` are told best under 0.45 and 0.55, and
flocks far off their strain are followed better under the longer."""
FIRST_DAYS = 3.0
"""Days over which the disturbance sets in, from none in the hatched chick [day]. A choice."""


@dataclass(frozen=True)
class Disturbance:
    """The disturbance of log weight in one flock, for a scale of 1."""

    log_sd: float
    """Standard deviation once it has set in, of flock and sample together [1]."""

    @classmethod
    def of(cls, weighings: Sequence[Weighing]) -> Disturbance:
        """Return the disturbance of a flock known by some weighings, or by none."""
        if not weighings:
            return cls(FLOCK_LOG_SD)
        usual_count = len(weighings) / sum(1.0 / weighing.count for weighing in weighings)
        return cls(math.hypot(FLOCK_LOG_SD, BIRD_LOG_SD / math.sqrt(usual_count)))

    def variance(self, age_days: Array) -> Array:
        """Return the variance at each age [1]."""
        return np.square(self._sd(age_days))

    def covariance(self, first_days: Array, second_days: Array) -> Array:
        """Return the covariance between ages, (first, second) [1]."""
        first, second = np.log1p(first_days / YOUNG_DAYS), np.log1p(second_days / YOUNG_DAYS)
        apart = math.sqrt(3.0) * np.abs(first[:, None] - second[None, :]) / SPELL
        of_flock = FLOCK_LOG_SD**2 / self.log_sd**2
        forgetful = np.exp(-apart / math.sqrt(3.0))
        smooth = (1.0 + apart) * np.exp(-apart)
        likeness = of_flock * forgetful + (1.0 - of_flock) * smooth
        return likeness * self._sd(first_days)[:, None] * self._sd(second_days)[None, :]

    def _sd(self, age_days: Array) -> Array:
        return self.log_sd * (1.0 - np.exp(-age_days / FIRST_DAYS))
