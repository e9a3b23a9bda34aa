"""A garden's own strain, learnt from its own finished batches.

PURE. ::

    own_strain(base, [PastBatch(weighings, feed_records), ...]) -> OwnStrain | None
    OwnStrain.strain        # a Strain like any other, for `flocks.growth.forecast`
    OwnStrain.told          # "from your 4 batches"
    OwnStrain.formula       # how it was made, in words

A batch of the garden is given this strain by the key `own_key(base_key)`, "own-fast" for "fast";
`base_key` undoes it. `flocks.forecasting` looks the batches up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from flocks.curve import GrowthCurve
from flocks.growth import forecast
from flocks.strains import Spread, Strain
from flocks.weighings import FeedRecord, Weighing, bird_cv_learned
from garden.words import gettext as _
from garden.words import mark, ngettext

__all__ = ["OwnStrain", "PastBatch", "base_key", "own_key", "own_strain"]

Array = NDArray[np.float64]

OWN = "own-"
MOST_BATCHES = 12
"""Batches that are learnt from, the latest ones [1]. A choice: three years of four a year."""
TABLE_BATCHES = 1
"""Batches that the table counts for in every average [1]. A choice: one batch may have had a bad summer;
after four the garden's own records have four fifths of the say."""
SPREAD_BATCHES = 4
"""The same for the spread between flocks, which few batches tell less well [1]. A choice."""
SPREAD_SCALES = (0.5, 2.0)
"""How far the spread may leave the table's [1]. A choice."""
FIRST_WEEK, USUAL_LAST_WEEK = 1, 6
FIT_SD = 0.02
"""How near the fitted curve is held to the averages, beside the table's own figures, as log [1]. A choice."""


@dataclass(frozen=True)
class PastBatch:
    """What was measured in one finished batch."""

    weighings: tuple[Weighing, ...]
    feed_records: tuple[FeedRecord, ...] = ()


@dataclass(frozen=True)
class OwnStrain:
    """A strain with how it was learnt."""

    strain: Strain
    batches: int
    """Batches it was learnt from."""

    @property
    def told(self) -> str:
        """Return where it comes from: “from your 4 batches”."""
        return ngettext("from your {n} batch", "from your {n} batches", self.batches).format(
            n=self.batches
        )

    @property
    def said(self) -> str:
        """Return what such birds are called: “Your own birds, from your 4 batches”."""
        return ngettext(
            "Your own birds, from your {n} batch",
            "Your own birds, from your {n} batches",
            self.batches,
        ).format(n=self.batches)

    @property
    def formula(self) -> str:
        """Return in words how it was made."""
        counts = ngettext(
            "Your {n} batch counts for {n} parts in {all}, the table for {table}.",
            "Your {n} batches count for {n} parts in {all}, the table for {table}.",
            self.batches,
        ).format(n=self.batches, all=self.batches + TABLE_BATCHES, table=TABLE_BATCHES)
        return " ".join((_(OVER_TABLE), counts, _(FEED_AND_SPREAD)))


OWN_NAME = mark("Your own birds")
OVER_TABLE = mark(
    "At each week of age: the table's weight, times the average of how far your birds were above or below it."
)
FEED_AND_SPREAD = mark(
    "Feed eaten to a weight is averaged the same way over batches whose feed was logged. How far batches "
    "differ, and birds within one, is the table's figure corrected by yours."
)


def own_key(strain_key: str) -> str:
    """Return the key of the garden's own strain learnt from batches of a strain."""
    return OWN + base_key(strain_key)


def base_key(strain_key: str) -> str:
    """Return the key of the table that an own strain starts from; any other key as it is."""
    return strain_key.removeprefix(OWN)


def own_strain(base: Strain, batches: Sequence[PastBatch]) -> OwnStrain | None:
    """Learn a strain from finished batches.

    Parameters
    ----------
    base : Strain
        The table the batches were raised by.
    batches : sequence of PastBatch
        Oldest first; of many the latest `MOST_BATCHES` are read.

    Returns
    -------
    OwnStrain or None
        None where no batch was weighed after hatching. The same batches give the same strain.
    """
    weighed = [batch for batch in batches if any(w.age_days > 0 for w in batch.weighings)]
    weighed = weighed[-MOST_BATCHES:]
    if not weighed:
        return None
    oldest = max(w.age_days for batch in weighed for w in batch.weighings)
    weeks = np.arange(FIRST_WEEK, max(USUAL_LAST_WEEK, math.ceil(oldest / 7)) + 1)
    ages = 7.0 * weeks
    told = [
        forecast(base, weighings=batch.weighings, feed_records=batch.feed_records, ages=ages)
        for batch in weighed
    ]
    log_ratios = np.array([np.log(each.flock_mean_g.median) for each in told])
    log_ratios -= np.log(base.curve.weight_g(ages))
    of_all = len(weighed) + TABLE_BATCHES
    mean_log_ratio = log_ratios.sum(axis=0) / of_all
    strain = _fitted(base, ages, mean_log_ratio)
    strain = _with_spread(strain, base, ages, log_ratios)
    fed = [
        math.log(float(np.median(each.paths.feed_factor)))
        for each, batch in zip(told, weighed, strict=True)
        if batch.feed_records
    ]
    feed_factor = math.exp(sum(fed) / (len(fed) + TABLE_BATCHES))
    strain = replace(
        strain,
        bird_cv=bird_cv_learned(base.bird_cv, [w for batch in weighed for w in batch.weighings]),
        feed_at_weight=tuple((g, feed_g * feed_factor) for g, feed_g in base.feed_at_weight),
        name=OWN_NAME,
        source=OVER_TABLE,
        mark="own",
    )
    return OwnStrain(strain, len(weighed))


def _fitted(base: Strain, ages: Array, log_ratio: Array) -> Strain:
    """Return the strain whose curve is nearest to the table's times the averages.

    Gauss-Newton on the logarithms of the three figures, each held to the table's by its spread: the
    ages weighed say little about the mature weight.
    """
    spreads = (base.mature_g, base.rate_per_day, base.inflection_day)
    medians = np.array([spread.median for spread in spreads])
    hold = 1.0 / np.array([spread.log_sd for spread in spreads])
    wanted = np.log(base.curve.weight_g(ages)) + log_ratio

    def off(figures: Array) -> Array:
        curve = GrowthCurve(base.hatch_g, *(medians * np.exp(figures)))
        return np.concatenate([(np.log(curve.weight_g(ages)) - wanted) / FIT_SD, hold * figures])

    figures, step = np.zeros(3), 1e-5
    for _step in range(12):
        here = off(figures)
        slope = np.column_stack([(off(figures + step * e) - here) / step for e in np.eye(3)])
        figures = figures - np.linalg.lstsq(slope, here, rcond=None)[0]
    mature_g, rate_per_day, inflection_day = (float(f) for f in medians * np.exp(figures))
    return replace(
        base,
        mature_g=Spread(mature_g, base.mature_g.cv),
        rate_per_day=Spread(rate_per_day, base.rate_per_day.cv),
        inflection_day=Spread(inflection_day, base.inflection_day.cv),
    )


def _with_spread(strain: Strain, base: Strain, ages: Array, log_ratios: Array) -> Strain:
    """Return the strain with the table's spread between flocks, pooled with that of the batches."""
    band = forecast(base, ages=ages).flock_mean_g
    usual_variance = float(np.mean((np.log(band.high / band.low) / 2.563) ** 2))
    batches = len(log_ratios)
    within = np.square(log_ratios - log_ratios.mean(axis=0)).mean(axis=1).sum()
    variance = (SPREAD_BATCHES * usual_variance + within) / (SPREAD_BATCHES + batches - 1)
    least, greatest = SPREAD_SCALES
    scale = min(max(math.sqrt(variance / usual_variance), least), greatest)
    return replace(
        strain,
        mature_g=replace(strain.mature_g, cv=scale * strain.mature_g.cv),
        rate_per_day=replace(strain.rate_per_day, cv=scale * strain.rate_per_day.cv),
        inflection_day=replace(strain.inflection_day, cv=scale * strain.inflection_day.cv),
    )
