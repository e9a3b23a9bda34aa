"""Which growth curves a flock may be on, given its strain and its weighings.

PURE. The posterior has an awkward shape (curves trade rate against inflection) and sometimes two
humps, so it is integrated by importance sampling on fixed points: the same flock gets the same
forecast at each reload, and no shape is assumed.

What the model believes
-----------------------
* Flocks of a strain differ first in being early or late, by some days: a setback in the first weeks is a
  lag, whose share of the weight shrinks as birds grow, so that flocks a quarter apart at two weeks are a
  tenth apart at six.
* Beside that they scatter about the strain as its variations say, except that every curve must start in a
  chick (`flocks.evidence.chick_log_likelihood`). One in six is another kind of flock: fed or kept
  differently, another strain, sick. Those differ mostly by a common level or a common pace, by as much
  as a factor of two. A mixture of three normal distributions says so; its heavy tail is
  what lets the curve follow a flock far off its strain once it was weighed, and what keeps one table from
  being trusted where tables disagree.
* A flock strays from its own smooth curve, see `flocks.disturbance`.
* A weighing may be wrong altogether, see `flocks.evidence`. That is judged first, one weighing at
  a time; then what is left is taken together, and a weighing that both earlier and later ones
  contradict is left aside. The latest one is kept: it may be news.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from flocks.curve import GrowthCurve
from flocks.evidence import Evidence, curves_at, squared_scales
from flocks.sampling import (
    NormalMixture,
    effective_count,
    even_choice,
    tempered_proposal,
    weighed_points,
)
from flocks.strains import Strain
from flocks.weighings import Weighing, bird_cv_learned, few_enough

Array = NDArray[np.float64]

OTHER_KIND_SHARES = (0.84, 0.11, 0.05)
"""Shares of flocks like the strain, a little unlike it, and quite unlike it [1]. A choice: tables of one kind
of bird lie 10 to 15 % apart, and a flock of another kind is not rare in a garden."""
OTHER_KIND_LOG_SD = (0.0, 0.12, 0.4)
"""Extra spread of level and of pace for each of these, as a standard deviation of the logarithm
[1]. A choice: a flock at half the expected weight is about two standard deviations of the last."""

LATE_SD_DAYS = 2.0
"""How early or late flocks of a strain are, as a standard deviation [day]. Derived: the trials of
``tests/data`` are told better under each of 1 to 3.5 days than under none, and about alike from 2 on."""

ERROR_SCALE_LOG_SD = 0.45
"""How far the weighing error of a flock may be off what its sample sizes imply, as log [1]. A
choice: the same few birds weighed each week scatter a third as much as fresh samples, a hurried weighing
twice as much."""
DISTURBANCE_SCALE_LOG_SD = 0.4
"""How far one flock may be steadier or more troubled than another, as log [1]. A choice."""

CONTRADICTED_SDS = 2.5
"""Standard deviations off what the others say from which a weighing is contradicted. Derived: among
flocks simulated with sampling error alone, one in a hundred has a weighing beyond 2.3."""

HATCH_WEIGHT_G = (20.0, 80.0)
"""Weights at age 0 that are taken for a chick's [g]; any other is a mistake. From memory,
widened."""

FINAL_POINTS = 2048
PATHS = 1024
"""Equally likely flocks kept. Derived: as many random ones would fix each end of an 80 % interval to
2 % of its width; evenly spread ones do better."""


@dataclass(frozen=True)
class FlockPosterior:
    """Equally likely growth curves of one flock, and the disturbance that each leaves open."""

    points: Array
    """(paths, 6), see `flocks.evidence`."""
    evidence: Evidence
    weighings: tuple[Weighing, ...]
    """In order of age, without one of hatched chicks: that sets where the curves start."""
    soundness: Array
    """Probability that each weighing is right [1]."""
    bird_cv: float
    effective_points: float
    """Kish effective number of the points the integral rests on."""

    @property
    def strain(self) -> Strain:
        """The strain, with the hatch weight of this flock."""
        return self.evidence.strain

    @property
    def curves(self) -> GrowthCurve:
        """The curves as columns (paths, 1), to broadcast with ages along the rows."""
        return curves_at(self.strain, self.points)

    def log_disturbance(self, age_days: Array) -> tuple[Array, Array]:
        """Return mean and standard deviation (paths, ages) of log weight about the curves [1]."""
        evidence = self.evidence
        across = evidence.disturbance.covariance(age_days, evidence.days) @ evidence.whitening
        _, scale = squared_scales(self.points)
        variance = evidence.white_variance(self.points)
        residuals = evidence.log_residuals(self.points) @ evidence.whitening
        mean = scale * (residuals / variance) @ across.T
        known = scale**2 * (1.0 / variance) @ np.square(across).T
        open_variance = scale * evidence.disturbance.variance(age_days) - known
        np.clip(open_variance, 0.0, None, out=open_variance)
        return mean, np.sqrt(open_variance, out=open_variance)

    def off_the_others(self) -> tuple[Array, Array]:
        """Return each weighing over what the others say, as log, and that in standard deviations.

        Leave-one-out residuals, averaged over the curves.
        """
        evidence = self.evidence
        precision = 1.0 / evidence.white_variance(self.points)
        whitened = evidence.log_residuals(self.points) @ evidence.whitening
        own_precision = precision @ np.square(evidence.whitening).T
        off = ((precision * whitened) @ evidence.whitening.T) / own_precision
        return off.mean(axis=0), (off * np.sqrt(own_precision)).mean(axis=0)


def flock_posterior(strain: Strain, weighings: Sequence[Weighing]) -> FlockPosterior:
    """Return the growth curves that a strain and the weighings of one flock allow.

    Parameters
    ----------
    strain : Strain
        The prior.
    weighings : sequence of Weighing
        In any order; may be empty. Of very many, those of near days are pooled.

    Returns
    -------
    FlockPosterior
        `PATHS` equally likely curves. The same arguments give the same curves.
    """
    strain, ordered = _started_at_hatch(strain, weighings)
    bird_cv = bird_cv_learned(strain.bird_cv, ordered)
    ordered = few_enough(ordered)
    evidence = Evidence.of(strain, ordered, bird_cv)
    prior = _prior(strain)
    if not ordered:
        return _drawn(prior, evidence, ordered, np.ones(0), bird_cv, proposal=prior)
    proposal = tempered_proposal(prior, evidence.robust_log_likelihood, start=prior)
    soundness = _soundness(prior, evidence, proposal)
    while True:
        doubting = evidence.doubting(soundness)
        proposal = tempered_proposal(prior, doubting.log_likelihood, start=proposal)
        posterior = _drawn(prior, doubting, ordered, soundness, bird_cv, proposal)
        contradicted = _most_contradicted(posterior)
        if contradicted is None:
            return posterior
        soundness = soundness.copy()
        soundness[contradicted] = 0.0


def _most_contradicted(posterior: FlockPosterior) -> int | None:
    """Return which weighing the others contradict most, the latest and those left aside apart."""
    _, in_sds = posterior.off_the_others()
    judged = np.where(posterior.soundness > 0.0, np.abs(in_sds), 0.0)[:-1]
    if not judged.size or judged.max() <= CONTRADICTED_SDS:
        return None
    return int(judged.argmax())


def _drawn(
    prior: NormalMixture,
    evidence: Evidence,
    weighings: tuple[Weighing, ...],
    soundness: Array,
    bird_cv: float,
    proposal: NormalMixture,
) -> FlockPosterior:
    """Return the posterior of some evidence, drawn by way of a proposal near to it."""
    points, weights = weighed_points(prior, evidence.log_likelihood, proposal, FINAL_POINTS)
    # In order of weight, so that leaving out every second point leaves out no part of the flocks.
    inflection_day = evidence.strain.inflection_day.median
    by_weight = curves_at(evidence.strain, points).weight_g(inflection_day)[:, 0].argsort()
    points, weights = points[by_weight], weights[by_weight]
    return FlockPosterior(
        points=points[even_choice(weights, PATHS)],
        evidence=evidence,
        weighings=weighings,
        soundness=soundness,
        bird_cv=bird_cv,
        effective_points=effective_count(weights),
    )


def _started_at_hatch(
    strain: Strain, weighings: Sequence[Weighing]
) -> tuple[Strain, tuple[Weighing, ...]]:
    """Return the strain with the flock's own hatch weight, and the later weighings in order."""
    least_g, greatest_g = HATCH_WEIGHT_G
    ordered = sorted(weighings, key=lambda w: (w.age_days, w.mean_g, w.count))
    hatched = [w for w in ordered if w.age_days == 0.0 and least_g <= w.mean_g <= greatest_g]
    if not hatched:
        return strain, tuple(ordered)
    birds = sum(w.count for w in hatched)
    hatch_g = sum(w.count * w.mean_g for w in hatched) / birds
    later = tuple(w for w in ordered if w not in hatched)
    return replace(strain, hatch_g=hatch_g), later


def _soundness(prior: NormalMixture, evidence: Evidence, proposal: NormalMixture) -> Array:
    points, weights = weighed_points(prior, evidence.robust_log_likelihood, proposal, FINAL_POINTS)
    return weights @ evidence.soundness(points)


def _prior(strain: Strain) -> NormalMixture:
    spreads = (strain.mature_g, strain.rate_per_day, strain.inflection_day)
    others = (ERROR_SCALE_LOG_SD, DISTURBANCE_SCALE_LOG_SD, LATE_SD_DAYS)
    own = np.diag(np.square([*(spread.log_sd for spread in spreads), *others]))
    level = np.diag([1.0, 0.0, 0.0, 0.0, 0.0, 0.0])
    # A slower pace stretches time: the inflection comes later as the rate falls.
    pace_direction = np.array([0.0, -1.0, 1.0, 0.0, 0.0, 0.0])
    pace = np.outer(pace_direction, pace_direction)
    covariances = [own + sd**2 * (level + pace) for sd in OTHER_KIND_LOG_SD]
    return NormalMixture(
        shares=np.array(OTHER_KIND_SHARES),
        means=np.zeros((len(covariances), len(own))),
        factors=np.linalg.cholesky(covariances),
    )
