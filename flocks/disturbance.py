"""How a flock strays from its own smooth curve: spells of faster and slower growth.

PURE. Weather, feed and illness put a flock off its curve for some weeks; part of that is made up
later. The disturbance of log weight is a Gaussian process of the Matérn kind with smoothness 3/2: a
flock strays smoothly, goes on for a while the way it went last, and comes back. So the latest
weighings count for more than the early ones, and weighings close together, which share one spell,
count for less than as many spread out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flocks.strains import Strain

Array = NDArray[np.float64]

SHARE_OF_SPREAD = 0.6
"""Standard deviation of the disturbance over the strain's own spread between flocks [1]: a strain
whose flocks differ much is one whose flocks also change much. A choice, checked on the flocks of
PMC7597689, Table 11, and on the single chicks of ChickWeight: 0.5 to 0.7 hold the truth about 8
times in 10."""
SPELL_DAYS = 16.0
"""Length scale of a spell [day]. A choice between 14 and 20, by the same two checks."""
FIRST_DAYS = 5.0
"""Days over which the disturbance sets in, from none in the hatched chick [day]. A choice."""


@dataclass(frozen=True)
class Disturbance:
    """The disturbance of log weight in flocks of one strain, for a scale of 1."""

    log_sd: float
    """Standard deviation once it has set in [1]."""

    @classmethod
    def of(cls, strain: Strain) -> Disturbance:
        """Return the disturbance of flocks of a strain."""
        spread = math.hypot(strain.mature_g.cv, strain.rate_per_day.cv, strain.inflection_day.cv)
        return cls(SHARE_OF_SPREAD * spread)

    def variance(self, age_days: Array) -> Array:
        """Return the variance at each age [1]."""
        return np.square(self._sd(age_days))

    def covariance(self, first_days: Array, second_days: Array) -> Array:
        """Return the covariance between ages, (first, second) [1]."""
        apart = math.sqrt(3.0) * np.abs(first_days[:, None] - second_days[None, :]) / SPELL_DAYS
        likeness = (1.0 + apart) * np.exp(-apart)
        return likeness * self._sd(first_days)[:, None] * self._sd(second_days)[None, :]

    def _sd(self, age_days: Array) -> Array:
        return self.log_sd * (1.0 - np.exp(-age_days / FIRST_DAYS))
