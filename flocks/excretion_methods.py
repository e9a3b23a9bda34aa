"""What a bird leaves in a day by mass balance, and the handbook's totals held against it.

PURE. The mass balance is what the product reckons with: what was in the feed less what stays in the growing
body. The handbook gives one total for a finished bird; `compared` says how far they are apart and why.
Phosphorus, potassium, dry matter and volume follow the same feed and the same gain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flocks.batch_forecast import BatchForecast
from flocks.excretion import (
    NITROGEN_PER_PROTEIN,
    handbook_nitrogen_g,
    nitrogen_excreted_g,
    phosphorus_excreted_g,
)
from flocks.feed import DietPhase, phase_on
from garden.npk import Npk
from garden.provenance import Figure, Mark

Array = NDArray[np.float64]

_DIET_K = (
    "basal diets of a trial of dietary potassium in Ross broilers, North Carolina State University, "
    "abstract: 0.86, 0.77 and 0.68 % in starter, grower and finisher"
)
POTASSIUM_IN_FEED = tuple(
    Figure(value=share, unit="g K per g feed", source=_DIET_K, mark=Mark.PUBLISHED)
    for share in (0.0086, 0.0077, 0.0068)
)
"""By phase, starter first; a diet of more phases goes on with the last."""
POTASSIUM_RETAINED_PER_GAIN = Figure(
    value=0.0024,
    unit="g K per g gain",
    source="recalled: whole bodies of broilers hold 2 to 3 g of potassium a kilogram",
    mark=Mark.FROM_MEMORY,
)
HANDBOOK = {
    "nitrogen_g": 53.0,
    "phosphorus_g": 16.0,
    "potassium_g": 31.0,
    "dry_matter_g": 1300.0,
    "volume_l": 4.9,
}
"""Totals per finished broiler. Recalled: ASABE D384.2 (2005), the same in the NRCS Agricultural Waste
Management Field Handbook, chapter 4."""
HANDBOOK_WEIGHT_G = 2430.0
"""Middle of the 2.36 to 2.5 kg that such a bird weighs. Recalled, as above. [g]"""
SOLIDS_PER_FEED = Figure(
    value=0.28,
    unit="g dry matter dropped per g feed",
    source="1.3 kg of solids a finished broiler (ASABE D384.2, recalled) over the 4.6 kg of feed it takes",
    mark=Mark.DERIVED,
)
LITRES_PER_SOLIDS_KG = Figure(
    value=4.9 / 1.3,
    unit="L as dropped per kg dry matter",
    source="ASABE D384.2, 4.9 L and 1.3 kg of solids a finished broiler (recalled)",
    mark=Mark.FROM_MEMORY,
)
CARBON_IN_DROPPINGS = Figure(
    value=0.42,
    unit="g carbon per g dry matter",
    source="Ontario Ministry of Agriculture, Calculating organic nitrogen from manure: manure dry matter "
    "is on average 42 % carbon",
    mark=Mark.PUBLISHED,
)
DIET_DOUBT = 0.15
"""How far phosphorus and potassium may lie off for the feed alone, beyond the doubt about nitrogen [1].
Diets with phytase give 20 to 30 % less phosphorus (from memory); the figure is our choice."""


@dataclass(frozen=True)
class DailyExcretion:
    """What one bird leaves on the day at which it is so many days old: entry d of every array."""

    nitrogen_g: Array
    phosphorus_g: Array
    potassium_g: Array
    dry_matter_g: Array
    volume_l: Array

    def on(self, age_days: int) -> Npk:
        """Return nitrogen, phosphorus and potassium on a day; nothing before hatch [g]."""
        if age_days < 0:
            return Npk()
        at = min(age_days, len(self.nitrogen_g) - 1)
        return Npk(
            float(self.nitrogen_g[at]), float(self.phosphorus_g[at]), float(self.potassium_g[at])
        )

    def dry_matter_on(self, age_days: int) -> float:
        """Return the dry matter on a day; nothing before hatch [g]."""
        return float(self.dry_matter_g[min(age_days, len(self.dry_matter_g) - 1)]) * (age_days >= 0)


def daily_excretion(
    feed_g: Array, weight_g: Array, diet: Sequence[DietPhase], nitrogen_g: Array | None = None
) -> DailyExcretion:
    """Work out a bird's days by mass balance.

    Parameters
    ----------
    feed_g : array
        Feed eaten on each day from hatch. [g]
    weight_g : array
        Live weight at the start of each of these days and at the end of the last. [g]
    diet : sequence of DietPhase
        What is fed, with its protein and phosphorus.
    nitrogen_g : array, optional
        Nitrogen by day where it is known already, as from a forecast; by the same balance otherwise. [g]

    Returns
    -------
    DailyExcretion
        Never negative. What a bird keeps is ``retained per gain x gain``.
    """
    gain_g = np.diff(weight_g)
    phases = [phase_on(diet, age) for age in range(len(feed_g))]
    if nitrogen_g is None:
        protein = np.array([phase.crude_protein for phase in phases])
        nitrogen_g = nitrogen_excreted_g(feed_g, gain_g, protein)
    dry_matter_g = feed_g * SOLIDS_PER_FEED.value
    potassium = _potassium_in(diet, phases)
    kept_g = POTASSIUM_RETAINED_PER_GAIN.value * gain_g
    return DailyExcretion(
        nitrogen_g=nitrogen_g,
        phosphorus_g=phosphorus_excreted_g(
            feed_g, gain_g, np.array([phase.phosphorus for phase in phases])
        ),
        potassium_g=np.maximum(0.0, feed_g * potassium - kept_g),
        dry_matter_g=dry_matter_g,
        volume_l=dry_matter_g / 1000.0 * LITRES_PER_SOLIDS_KG.value,
    )


def _potassium_in(diet: Sequence[DietPhase], phases: Sequence[DietPhase]) -> Array:
    in_order = sorted(diet, key=lambda phase: phase.from_day)
    last = len(POTASSIUM_IN_FEED) - 1
    return np.array([POTASSIUM_IN_FEED[min(in_order.index(each), last)].value for each in phases])


def excretion_of(forecast: BatchForecast, diet: Sequence[DietPhase]) -> DailyExcretion:
    """Return what a batch's bird leaves by day, its nitrogen as forecast."""
    return daily_excretion(
        forecast.feed_g.median, forecast.flock_g.median, diet, forecast.nitrogen_g.median
    )


@dataclass(frozen=True)
class Compared:
    """A bird's totals to one weight by both methods, and what makes nitrogen differ [g].

    ``balance - handbook = by_keeping + by_feeding``: what our birds keep less of, and what they eat more of,
    than the handbook's equation and its bird.
    """

    age_days: int
    weight_g: float
    feed_g: float
    balance: dict[str, float]
    kept_share: float
    """Share of feed nitrogen that stays in the bird by mass balance [1]."""
    nitrogen_by_equation_g: float
    """The handbook's equation on the same feed."""

    @property
    def difference_g(self) -> float:
        """Nitrogen by mass balance beyond the handbook's total [g]."""
        return self.balance["nitrogen_g"] - HANDBOOK["nitrogen_g"]

    @property
    def by_keeping_g(self) -> float:
        """The part of it that comes from keeping another share of the feed [g]."""
        return self.balance["nitrogen_g"] - self.nitrogen_by_equation_g

    @property
    def by_feeding_g(self) -> float:
        """The part that comes from eating another amount, or another protein [g]."""
        return self.nitrogen_by_equation_g - HANDBOOK["nitrogen_g"]


def compared(
    feed_g: Array, weight_g: Array, diet: Sequence[DietPhase], nitrogen_g: Array | None = None
) -> Compared:
    """Hold the mass balance against the handbook at the weight of the handbook's bird.

    The parameters are those of `daily_excretion`. A bird that never gets so heavy is compared at the end.
    """
    daily = daily_excretion(feed_g, weight_g, diet, nitrogen_g)
    reached = np.flatnonzero(weight_g >= HANDBOOK_WEIGHT_G)
    end = int(reached[0]) if reached.size else len(weight_g) - 1
    protein = np.array([phase_on(diet, age).crude_protein for age in range(end)])
    intake_g = float(np.sum(feed_g[:end] * protein)) * NITROGEN_PER_PROTEIN
    totals = {name: float(np.sum(getattr(daily, name)[:end])) for name in HANDBOOK}
    return Compared(
        age_days=end,
        weight_g=float(weight_g[end]),
        feed_g=float(np.sum(feed_g[:end])),
        balance=totals,
        kept_share=1.0 - totals["nitrogen_g"] / intake_g if intake_g else 0.0,
        nitrogen_by_equation_g=float(np.sum(handbook_nitrogen_g(feed_g[:end], protein))),
    )
