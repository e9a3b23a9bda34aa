"""What a grower should be told about a forecast: weighings and feed records that do not fit.

PURE.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from flocks.paths import FlockPaths
from flocks.posterior import CONTRADICTED_SDS
from flocks.strains import Strain
from flocks.weighings import FeedRecord

OUTLYING_SOUNDNESS = 0.5
"""A weighing more likely wrong than right is told and hardly counts. A choice."""
UNLIKE_STRAIN_SHARE = 0.25
"""A flock this far off its strain at its last weighing is told [1]. A choice."""
FEED_FACTOR_TOLD = 0.20
"""Feed records this far off the strain's table are told [1]. A choice."""


def growth_warnings(
    strain: Strain, paths: FlockPaths, feed_records: Sequence[FeedRecord]
) -> tuple[str, ...]:
    """Return the sentences, outlying weighings first."""
    return (*_outlying(paths), *_unlike_strain(strain, paths), *_feed(paths, feed_records))


def _outlying(paths: FlockPaths) -> Iterator[str]:
    posterior = paths.posterior
    off, in_sds = posterior.off_the_others()
    alone = len(posterior.weighings) == 1
    reference = "the strain's curve" if alone else "the curve through the others"
    told = zip(posterior.weighings, posterior.soundness, off, np.abs(in_sds), strict=True)
    for weighing, soundness, log_off, sds in told:
        if soundness < OUTLYING_SOUNDNESS:
            consequence = "it hardly counts"
        elif sds > CONTRADICTED_SDS:
            consequence = "the next weighing will tell"
        else:
            continue
        share = 100.0 * np.expm1(log_off)
        side = "below" if share < 0 else "above"
        yield (
            f"weighing at {weighing.age_days:g} days: {abs(share):.0f} % {side} {reference}; "
            f"{consequence}"
        )


def _unlike_strain(strain: Strain, paths: FlockPaths) -> Iterator[str]:
    sound = [
        weighing
        for weighing, soundness in zip(
            paths.posterior.weighings, paths.posterior.soundness, strict=True
        )
        if soundness >= OUTLYING_SOUNDNESS
    ]
    if not sound:
        return
    curve = strain.curve
    ratio = sound[-1].mean_g / float(curve.weight_g(sound[-1].age_days))
    if abs(ratio - 1.0) > UNLIKE_STRAIN_SHARE:
        yield (
            f"the flock weighs {100 * ratio:.0f} % of what its strain should at "
            f"{sound[-1].age_days:g} days: is it the right strain?"
        )


def _feed(paths: FlockPaths, feed_records: Sequence[FeedRecord]) -> Iterator[str]:
    if not feed_records:
        return
    factor = float(np.median(paths.feed_factor))
    if abs(factor - 1.0) > FEED_FACTOR_TOLD:
        yield (
            f"the feed recorded makes {100 * factor:.0f} % of what the strain eats to this weight: "
            "check for spilt feed or a wrong count of birds"
        )
