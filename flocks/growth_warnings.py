"""What a grower should be told about a forecast: weighings and feed records that do not fit.

PURE.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from flocks.paths import FlockPaths
from flocks.posterior import CONTRADICTED_SDS
from flocks.strains import Strain
from flocks.weighings import FeedRecord
from garden.words import gettext as _
from garden.words import local_mark, mark

OUTLYING_SOUNDNESS = 0.5
"""A weighing more likely wrong than right is told and hardly counts. A choice."""
UNLIKE_STRAIN_SHARE = 0.25
"""A flock this far off its strain at its last weighing is told [1]. A choice."""
FEED_FACTOR_TOLD = 0.20
"""Feed records this far off the strain's table are told [1]. A choice."""


@dataclass(frozen=True)
class GrowthWarning:
    """What does not fit, kept as messages and figures: a forecast outlives the page that first asked for it."""

    messages: tuple[str, ...]
    """Marked messages, said one after the other."""
    figures: tuple[tuple[str, str], ...]
    """The figures by their names in the messages, with a decimal point."""

    def __str__(self) -> str:
        """Say it in the reader's language."""
        figures = {name: local_mark(written) for name, written in self.figures}
        return "; ".join(_(message).format(**figures) for message in self.messages)


def growth_warnings(
    strain: Strain, paths: FlockPaths, feed_records: Sequence[FeedRecord]
) -> tuple[GrowthWarning, ...]:
    """Return the warnings, outlying weighings first."""
    return (*_outlying(paths), *_unlike_strain(strain, paths), *_feed(paths, feed_records))


OFF_THE_OTHERS = {
    (True, True): mark("weighing at {age} days: {share} % below the strain's curve"),
    (True, False): mark("weighing at {age} days: {share} % above the strain's curve"),
    (False, True): mark("weighing at {age} days: {share} % below the curve through the others"),
    (False, False): mark("weighing at {age} days: {share} % above the curve through the others"),
}
"""By whether it is the only weighing, and whether it is below."""


def _outlying(paths: FlockPaths) -> Iterator[GrowthWarning]:
    posterior = paths.posterior
    off, in_sds = posterior.off_the_others()
    alone = len(posterior.weighings) == 1
    told = zip(posterior.weighings, posterior.soundness, off, np.abs(in_sds), strict=True)
    for weighing, soundness, log_off, sds in told:
        if soundness < OUTLYING_SOUNDNESS:
            consequence = mark("it hardly counts")
        elif sds > CONTRADICTED_SDS:
            consequence = mark("the next weighing will tell")
        else:
            continue
        share = 100.0 * np.expm1(log_off)
        yield GrowthWarning(
            (OFF_THE_OTHERS[alone, bool(share < 0)], consequence),
            (("age", f"{weighing.age_days:g}"), ("share", f"{abs(share):.0f}")),
        )


def _unlike_strain(strain: Strain, paths: FlockPaths) -> Iterator[GrowthWarning]:
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
        message = mark(
            "the flock weighs {share} % of what its strain should at {age} days: is it the right strain?"
        )
        figures = (("share", f"{100 * ratio:.0f}"), ("age", f"{sound[-1].age_days:g}"))
        yield GrowthWarning((message,), figures)


def _feed(paths: FlockPaths, feed_records: Sequence[FeedRecord]) -> Iterator[GrowthWarning]:
    if not feed_records:
        return
    factor = float(np.median(paths.feed_factor))
    if abs(factor - 1.0) > FEED_FACTOR_TOLD:
        message = mark(
            "the feed recorded makes {share} % of what the strain eats to this weight: "
            "check for spilt feed or a wrong count of birds"
        )
        yield GrowthWarning((message,), (("share", f"{100 * factor:.0f}"),))
