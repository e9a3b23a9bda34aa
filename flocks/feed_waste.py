"""How much more feed is given than birds eat: learnt from a garden's own finished batches.

PURE.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from flocks.feed import PURCHASE_WASTE_SHARE

USUAL_BATCHES = 1.0
"""Batches that the usual share counts for, beside the garden's own. A choice."""
USUAL_SD = 0.04
"""Standard deviation between batches of the logarithm of given over eaten [1]. Derived: 10-15 % is told for
nearly all gardens, from memory; that is a standard deviation of 2 %, doubled for feed logged roughly."""
LIKELY_RATIO = (0.7, 1.8)
"""Given over eaten within which a batch's records are believed [1]. A choice: beyond it feed went unlogged."""
RECORDED_SD = 0.02
"""The same where the batch's own feed records bend its forecast: what is spilt is within it [1]. A choice."""


@dataclass(frozen=True)
class Waste:
    """Feed given above feed eaten."""

    share: float
    """Expected [1]."""
    log_sd: float
    """Standard deviation of the logarithm of given over eaten, for one batch to come [1]."""
    batches: int
    """The garden's own batches behind it."""
    own_share: float | None
    """What those alone say [1]."""

    @property
    def percent(self) -> float:
        """Return the share in per cent."""
        return 100 * self.share

    @property
    def own_percent(self) -> float | None:
        """Return the garden's own share in per cent."""
        return None if self.own_share is None else 100 * self.own_share


def waste_learnt(ratios: Sequence[float]) -> Waste:
    """Return the waste to reckon with.

    Parameters
    ----------
    ratios : sequence of float
        Feed given over feed eaten, for each finished batch with whole records [1]. Those
        outside `LIKELY_RATIO` are left aside.

    Notes
    -----
    The mean of the logarithms, in which the usual share counts for `USUAL_BATCHES`.
    """
    low, high = LIKELY_RATIO
    own = [math.log(ratio) for ratio in ratios if low <= ratio <= high]
    usual = math.log1p(PURCHASE_WASTE_SHARE)
    weight = USUAL_BATCHES + len(own)
    mean = (USUAL_BATCHES * usual + sum(own)) / weight
    return Waste(
        share=math.expm1(mean),
        log_sd=USUAL_SD * math.sqrt(1 + 1 / weight),
        batches=len(own),
        own_share=math.expm1(sum(own) / len(own)) if own else None,
    )


NOTHING_MORE = Waste(share=0.0, log_sd=RECORDED_SD, batches=0, own_share=None)
"""For a batch whose own feed records already say what is spilt."""
