"""What the weighings of a flock say about a growth curve.

PURE. A point is five logarithms relative to what is expected, the three Gompertz figures, the scale
of the weighing error and the scale of the disturbance, and by how many days the flock is late (`MATURE`
… `LATE` name the columns).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from flocks.curve import GrowthCurve
from flocks.disturbance import Disturbance
from flocks.strains import Strain, built_in_strains
from flocks.weighings import Weighing

Array = NDArray[np.float64]

MATURE, RATE, INFLECTION, ERROR_SCALE, DISTURBANCE_SCALE, LATE = range(6)

CHICK_LOG_SD = 0.25
"""How far the weight at which a Gompertz curve starts may be off what the strain's own curve starts at, as
log [1]. Derived: curves fitted to five published tables of weights start at 45 to 62 g."""
CHICK_SIZE_SHARE = 0.7
"""Share of a larger or smaller mature weight that a curve must make up by its shape alone, because chicks
hatch alike [1]; the rest may be there from the first days, in a flock that is better or worse off at all
ages. A choice."""

LEAST_SCALE = 0.2
"""However smooth the weighings so far, there is error in them, and weather to come [1]. A
choice."""

SOUND_SHARE = 0.985
"""Share of weighings that are right [1]. A choice."""
IMPOSSIBLE_SOUND_SHARE = 1e-5
"""The same for a weight that no meat chicken has at that age [1]. A choice."""
UNSOUND_LOG_SD = 1.2
"""How far wrong weighings are off, as a standard deviation of the logarithm [1]. A choice: a
kilogram read as a gram is many, another flock's figure is half of one."""
LEAST_SHARE_OF_CHICK = 0.6
GREATEST_SHARE_OF_FASTEST = 1.6
"""What is possible: from this share of a hatched chick up to this multiple of the fastest strain
[1]. A choice, well outside every table read."""


def curves_at(strain: Strain, points: Array) -> GrowthCurve:
    """Return the growth curves of points, as columns that broadcast with ages along the rows."""
    factors = np.exp(points)
    return GrowthCurve(
        strain.hatch_g,
        strain.mature_g.median * factors[:, [MATURE]],
        strain.rate_per_day.median * factors[:, [RATE]],
        strain.inflection_day.median * factors[:, [INFLECTION]] + points[:, [LATE]],
    )


def squared_scales(points: Array) -> tuple[Array, Array]:
    """Return the squared scales of weighing error and disturbance, as columns (points, 1)."""
    errors, strays = np.exp(2.0 * points[:, [ERROR_SCALE, DISTURBANCE_SCALE]]).T[:, :, None]
    return LEAST_SCALE**2 + errors, LEAST_SCALE**2 + strays


def chick_log_likelihood(strain: Strain, points: Array) -> Array:
    """Return how likely each curve is to start in a chick were it not late, (points,) up to a constant.

    The three figures of a strain are told one by one, but no curve takes any three of them: one that
    grows faster has its inflection earlier, or else it would start in a chick of 20 or 200 g.
    """
    exponent = strain.rate_per_day.median * strain.inflection_day.median
    shape = exponent * np.exp(points[:, RATE] + points[:, INFLECTION])
    log_start = CHICK_SIZE_SHARE * points[:, MATURE] - np.exp(shape) + np.exp(exponent)
    return -0.5 * np.square(log_start / CHICK_LOG_SD)


def is_possible(weighing: Weighing, strain: Strain) -> bool:
    """Tell whether any meat chicken could have that weight at that age."""
    fastest = built_in_strains()["fast-recent"]
    ceiling = GrowthCurve(
        max(strain.hatch_g, fastest.hatch_g),
        max(strain.mature_g.median, fastest.mature_g.median),
        fastest.rate_per_day.median,
        fastest.inflection_day.median,
    )
    greatest_g = GREATEST_SHARE_OF_FASTEST * float(ceiling.weight_g(weighing.age_days))
    return LEAST_SHARE_OF_CHICK * strain.hatch_g <= weighing.mean_g <= greatest_g


@dataclass(frozen=True)
class Evidence:
    """The weighings of one flock, in order of age, ready to judge many points at once.

    Notes
    -----
    The logarithms of the weighed means are normal about a curve with covariance ``a**2 R + b**2
    K``: R is diagonal with the sampling and scale errors, K the covariance of the disturbance, a
    and b the two scales of a point. `whitening` W diagonalises both, ``W.T R W = 1`` and ``W.T K W
    = diag(spell)``, so a point costs no matrix of its own.
    """

    strain: Strain
    days: Array
    log_mean_g: Array
    error_variance: Array
    sound_share: Array
    disturbance: Disturbance
    whitening: Array
    spell: Array

    @classmethod
    def of(cls, strain: Strain, weighings: Sequence[Weighing], bird_cv: float) -> Evidence:
        """Return the evidence of weighings, all believed alike."""
        days = np.array([w.age_days for w in weighings], dtype=float)
        possible = np.array([is_possible(w, strain) for w in weighings], dtype=bool)
        unread = cls(
            strain=strain,
            days=days,
            log_mean_g=np.log([w.mean_g for w in weighings]),
            error_variance=np.empty(0),
            sound_share=np.where(possible, SOUND_SHARE, IMPOSSIBLE_SOUND_SHARE),
            disturbance=Disturbance.of(weighings),
            whitening=np.empty(0),
            spell=np.empty(0),
        )
        return unread._with_errors(np.array([w.log_variance(bird_cv) for w in weighings]))

    def doubting(self, soundness: Array) -> Evidence:
        """Return the same with each weighing's say cut to the probability that it is right."""
        unsound = self.error_variance + UNSOUND_LOG_SD**2
        precision = soundness / self.error_variance + (1.0 - soundness) / unsound
        return self._with_errors(1.0 / precision)

    def _with_errors(self, error_variance: Array) -> Evidence:
        inverse_sd = 1.0 / np.sqrt(error_variance)
        strays = self.disturbance.covariance(self.days, self.days)
        spell, rotation = np.linalg.eigh(strays * np.outer(inverse_sd, inverse_sd))
        return replace(
            self,
            error_variance=error_variance,
            whitening=inverse_sd[:, None] * rotation,
            spell=np.clip(spell, 0.0, None),
        )

    def log_residuals(self, points: Array) -> Array:
        """Return the logarithm of weighed over curve (points, weighings) [1]."""
        return self.log_mean_g - np.log(curves_at(self.strain, points).weight_g(self.days))

    def log_likelihood(self, points: Array) -> Array:
        """Return the log likelihood of each point, the weighings taken together."""
        variance = self.white_variance(points)
        squared = np.square(self.log_residuals(points) @ self.whitening)
        weighed = -0.5 * (squared / variance + np.log(variance)).sum(axis=1)
        return weighed + chick_log_likelihood(self.strain, points)

    def white_variance(self, points: Array) -> Array:
        """Return the variance of each whitened residual (points, weighings) [1]."""
        errors, strays = squared_scales(points)
        return errors + strays * self.spell

    def robust_log_likelihood(self, points: Array) -> Array:
        """Return the log likelihood of each point, the weighings taken one by one and each doubted.

        Rougher than `log_likelihood`, but a wrong weighing cannot bend it.
        """
        weighed = np.logaddexp(*self._log_sound_unsound(points)).sum(axis=1)
        return weighed + chick_log_likelihood(self.strain, points)

    def soundness(self, points: Array) -> Array:
        """Return the probability that each weighing is right (points, weighings) [1]."""
        sound, unsound = self._log_sound_unsound(points)
        return expit(sound - unsound)

    def _log_sound_unsound(self, points: Array) -> tuple[Array, Array]:
        strays = self.disturbance.covariance(self.days, self.days)
        spread = np.sqrt(np.diag(strays)) + 1e-9
        # m weighings under one disturbance of variance v are together worth one of variance v:
        # each is given m * v, and their mean has v again.
        shared = np.diag(strays) * (strays / np.outer(spread, spread)).sum(axis=1)
        error_scale, stray_scale = squared_scales(points)
        sound = error_scale * self.error_variance + stray_scale * shared
        unsound = sound + UNSOUND_LOG_SD**2
        squared = np.square(self.log_residuals(points))
        return (
            np.log(self.sound_share) - 0.5 * (squared / sound + np.log(sound)),
            np.log1p(-self.sound_share) - 0.5 * (squared / unsound + np.log(unsound)),
        )
