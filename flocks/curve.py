"""The Gompertz growth curve, joined smoothly to the weight of the hatched chick.

PURE. Everything works on many curves at once: the parameters may be arrays that broadcast with the
ages.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

JOIN_DAYS = 10.0
"""Age at which the curve has forgotten the hatch weight [day].

Derived: the fitted curves start at 45-62 g where chicks hatch at 38-45 g, and agree with their
tables from the second week on.
"""

Array = NDArray[np.float64]


@dataclass(frozen=True)
class GrowthCurve:
    """One growth curve, or many where the figures are arrays.

    Notes
    -----
    ``W(t) = max(hatch_g, G(t) + (hatch_g - G(0)) * s(t))`` with the Gompertz curve
    ``G(t) = mature_g * exp(-exp(-rate_per_day * (t - inflection_day)))`` and
    ``s(t) = max(0, 1 - t / JOIN_DAYS) ** 2``. The weight is the hatch weight at age 0, follows the
    Gompertz curve from `JOIN_DAYS` on, and never falls as long as the inflection comes later than
    that.
    """

    hatch_g: float
    mature_g: Array | float
    rate_per_day: Array | float
    inflection_day: Array | float

    def weight_g(self, age_days: Array | float) -> Array:
        """Return the weight at an age.

        Parameters
        ----------
        age_days : array or float
            Age, at least 0 [day].

        Returns
        -------
        array
            Live weight [g].
        """
        age_days = np.asarray(age_days, dtype=float)
        hatch_excess_g = self.hatch_g - self._gompertz_g(0.0)
        fading = np.clip(1.0 - age_days / JOIN_DAYS, 0.0, None) ** 2
        return np.maximum(self.hatch_g, self._gompertz_g(age_days) + hatch_excess_g * fading)

    def _gompertz_g(self, age_days: Array | float) -> Array:
        return self.mature_g * np.exp(
            -np.exp(-self.rate_per_day * (age_days - self.inflection_day))
        )
