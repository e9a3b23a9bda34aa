"""A smooth curve through rising points that never falls between them.

PURE. Monotone piecewise cubic interpolation [1]_, as in ``scipy.interpolate.PchipInterpolator``, whose import
alone takes as long as a forecast's whole command may.

.. [1] Fritsch and Butland 1984, SIAM Journal on Scientific and Statistical Computing 5:300.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class RisingCurve:
    """A cubic for each stretch between neighbouring points, good from the first point to the last."""

    at: Array
    """Where the points lie, strictly rising."""
    terms: Array
    """Coefficients of each stretch by rising power of the way into it, (4, stretches)."""
    last_slope: float
    """Slope at the last point."""

    @classmethod
    def through(cls, at: Sequence[float], heights: Sequence[float]) -> RisingCurve:
        """Return the curve through two or more points, both figures strictly rising."""
        x, y = np.asarray(at, dtype=float), np.asarray(heights, dtype=float)
        wide = np.diff(x)
        steep = np.diff(y) / wide
        slopes = _slopes(wide, steep)
        square = (3.0 * steep - 2.0 * slopes[:-1] - slopes[1:]) / wide
        cube = (slopes[:-1] + slopes[1:] - 2.0 * steep) / wide**2
        return cls(x, np.array([y[:-1], slopes[:-1], square, cube]), float(slopes[-1]))

    def __call__(self, at: Array) -> Array:
        """Return the height at places between the first point and the last."""
        stretch = np.clip(np.searchsorted(self.at, at, side="right") - 1, 0, len(self.at) - 2)
        height, slope, square, cube = self.terms[:, stretch]
        into = at - self.at[stretch]
        return height + into * (slope + into * (square + into * cube))


def _slopes(wide: Array, steep: Array) -> Array:
    """Return the slope at each point: a weighted harmonic mean of its neighbours' inside."""
    if len(steep) == 1:
        return np.repeat(steep, 2)
    first, second = 2.0 * wide[1:] + wide[:-1], wide[1:] + 2.0 * wide[:-1]
    inside = (first + second) / (first / steep[:-1] + second / steep[1:])
    ends = [_end_slope(wide[:2], steep[:2]), _end_slope(wide[:-3:-1], steep[:-3:-1])]
    return np.concatenate([ends[:1], inside, ends[1:]])


def _end_slope(wide: Array, steep: Array) -> float:
    """Return the slope at an end from its two nearest stretches, never falling."""
    outer, inner = wide
    slope = ((2.0 * outer + inner) * steep[0] - outer * steep[1]) / (outer + inner)
    return max(0.0, float(slope))
