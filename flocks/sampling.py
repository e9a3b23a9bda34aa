"""Evenly spread points and importance weights, for integrals that must give the same answer twice.

PURE. A forecast is an average over all growth curves that the weighings allow. Random points would
give another interval at each reload of a page, and a grower would ask why; these points are fixed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

Array = NDArray[np.float64]
LogDensity = Callable[[Array], Array]
"""From points (n, d) to the logarithm of a density there (n,), up to a constant."""

HALTON_BASES = (2, 3, 5, 7, 11, 13)
TEMPERING_POINTS = 1024
LEAST_EFFECTIVE_SHARE = 0.2
"""Share of the points that must stay effective as more of the data is let in [1]."""
LEAST_STEP = 0.08
"""Share of the data let in at each round whatever happens, so that the rounds end [1]."""
PROPOSAL_SHARES = (0.8, 0.2)
PROPOSAL_WIDTHS = (1.15, 2.5)
"""A proposal is a little wider than what it was fitted to, and a fifth of it much wider: a target
with heavier tails than the proposal would hang on a few heavy points."""


@dataclass(frozen=True)
class NormalMixture:
    """A mixture of m normal distributions in d dimensions."""

    shares: Array
    """Summing to 1, (m,)."""
    means: Array
    """(m, d)."""
    factors: Array
    """Lower Cholesky factors of the covariances, (m, d, d)."""

    @classmethod
    def around(cls, points: Array, weights: Array) -> NormalMixture:
        """Return a proposal with the mean and covariance of weighted points."""
        mean = weights @ points
        off = points - mean
        covariance = (off * weights[:, None]).T @ off + 1e-10 * np.eye(points.shape[1])
        factor = np.linalg.cholesky(covariance)
        widths = np.array(PROPOSAL_WIDTHS)
        return cls(
            np.array(PROPOSAL_SHARES), np.array([mean, mean]), widths[:, None, None] * factor
        )

    def draw(self, count: int) -> Array:
        """Return fixed points (count, d), in proportion to the shares."""
        bounds = np.rint(np.cumsum(self.shares) * count).astype(int)
        parts = np.split(normal_points(count, self.means.shape[1]), bounds[:-1])
        moved = [
            mean + part @ factor.T
            for mean, factor, part in zip(self.means, self.factors, parts, strict=True)
        ]
        return np.concatenate(moved)

    def log_density(self, points: Array) -> Array:
        """Return the log density at each point."""
        parts = []
        for share, mean, factor in zip(self.shares, self.means, self.factors, strict=True):
            standard = np.linalg.inv(factor) @ (points - mean).T
            log_volume = np.log(np.diag(factor)).sum() + 0.5 * len(mean) * np.log(2.0 * np.pi)
            parts.append(np.log(share) - log_volume - 0.5 * np.square(standard).sum(axis=0))
        return np.logaddexp.reduce(parts)


@cache
def normal_points(count: int, dimensions: int) -> Array:
    """Return fixed points spread as a standard normal distribution, one row each.

    Notes
    -----
    The Halton sequence, number n in base b mirrored at the point, with a prime base for each
    dimension. In six dimensions and 2048 points it correlates by less than 0.01, where random
    points come to 0.03 and a golden-ratio lattice to 0.06.

    Raises
    ------
    ValueError
        For more dimensions than there are `HALTON_BASES`.
    """
    if dimensions > len(HALTON_BASES):
        raise ValueError(f"at most {len(HALTON_BASES)} dimensions")
    mirrored = [_mirrored(np.arange(1, count + 1), base) for base in HALTON_BASES[:dimensions]]
    points = ndtri(np.column_stack(mirrored))
    points.setflags(write=False)
    return points


def _mirrored(numbers: NDArray[np.intp], base: int) -> Array:
    """Return whole numbers with their digits mirrored at the point, each between 0 and 1."""
    mirrored, unit = np.zeros(len(numbers)), 1.0
    while numbers.any():
        unit /= base
        numbers, digits = np.divmod(numbers, base)
        mirrored += unit * digits
    return mirrored


def tempered_proposal(
    prior: NormalMixture, log_likelihood: LogDensity, start: NormalMixture
) -> NormalMixture:
    """Return a mixture near prior times likelihood, found by letting the data in over several
    rounds.

    Each round takes as large a power of the likelihood as keeps `LEAST_EFFECTIVE_SHARE` of its
    points effective, and moves the proposal to what that much of the data says.
    """
    proposal, taken = start, 0.0
    while taken < 1.0:
        points = proposal.draw(TEMPERING_POINTS)
        log_offset = prior.log_density(points) - proposal.log_density(points)
        log_data = log_likelihood(points)
        taken = _power_taken(log_offset, log_data, taken)
        proposal = NormalMixture.around(points, normalised(log_offset + taken * log_data))
    return proposal


def _power_taken(log_offset: Array, log_data: Array, taken: float) -> float:
    enough = LEAST_EFFECTIVE_SHARE * len(log_data)

    def keeps_enough(power: float) -> bool:
        return effective_count(normalised(log_offset + power * log_data)) >= enough

    if keeps_enough(1.0):
        return 1.0
    low, high = taken, 1.0
    for _ in range(8):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if keeps_enough(middle) else (low, middle)
    return min(1.0, max(low, taken + LEAST_STEP))


def weighed_points(
    prior: NormalMixture, log_likelihood: LogDensity, proposal: NormalMixture, count: int
) -> tuple[Array, Array]:
    """Return points of a proposal with their weights under prior times likelihood, summing to 1."""
    points = proposal.draw(count)
    log_target = prior.log_density(points) + log_likelihood(points)
    return points, normalised(log_target - proposal.log_density(points))


def normalised(log_weights: Array) -> Array:
    """Return weights that sum to 1 from their logarithms."""
    weights = np.exp(log_weights - np.max(log_weights))
    return weights / weights.sum()


def effective_count(weights: Array) -> float:
    """Return how many equal weights are worth as much as these, which sum to 1 (Kish)."""
    return float(1.0 / np.square(weights).sum())


def even_choice(weights: Array, count: int) -> NDArray[np.intp]:
    """Return `count` indices in which each index comes up in proportion to its weight.

    Systematic resampling with the offset fixed at one half: no index is more than one off its
    share.
    """
    ladder = (np.arange(count) + 0.5) / count
    return np.minimum(np.searchsorted(np.cumsum(weights), ladder), len(weights) - 1)
