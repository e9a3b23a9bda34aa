"""Feed and water: what a bird eats to a weight, which feed when, how many bags, how much to drink.

PURE. Masses in grams unless the name says kilograms; ages in days from hatch.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from flocks.rising import RisingCurve
from flocks.strains import REFERENCE
from garden.units import System
from garden.volumes import US_GALLON_L
from garden.words import local_mark, ngettext

Array = NDArray[np.float64]

PURCHASE_WASTE_SHARE = 0.12
"""Feed bought above feed eaten: waste, cold and uneven birds [1]. Middle of 10-15 %, from
memory."""

WATER_PER_FEED = 1.9
"""Litres drunk for each kilogram eaten in mild weather [L/kg].

Derived from 1.5-2.0 by weight (Mississippi State, water-related factors) and a lifetime 1.8,
leaning high because flocks of 2010 drank more than those of 1991.
"""
US_QUART_L = float(US_GALLON_L / 4)
WATER_MILD_C = 21.0
"""Temperature up to which drinking follows feed alone [°C]. Mississippi State, water-related
factors."""
WATER_RISE_PER_C = 0.04
"""Share more drunk for each degree above `WATER_MILD_C` [1/°C]. Derived: 30-50 % more above 32
°C."""
WATER_DESIGN_RISE_PER_C = 0.07
"""The same for sizing drinkers on a hot day [1/°C]. Fairchild and Ritz 2012, 7 % per degree."""


@dataclass(frozen=True)
class FeedCurve:
    """Feed eaten from hatch to a weight, by monotone cubic interpolation of a strain's table.

    Parameters
    ----------
    feed_at_weight : sequence of (float, float)
        Weight [g] and cumulative feed [g], both strictly rising, at least two rows.
    hatch_g : float
        Weight at which nothing is eaten yet [g].

    Notes
    -----
    Above the table's last weight feed goes on at the last slope. Birds near their mature weight
    gain little and still eat, so the curve is too low there: use it to about 70 % of the mature
    weight.
    """

    feed_at_weight: tuple[tuple[float, float], ...]
    hatch_g: float

    def cumulative_g(self, weight_g: Array | float) -> Array:
        """Return the feed eaten from hatch to a weight, never negative [g]."""
        weight_g = np.asarray(weight_g, dtype=float)
        curve, last_g, last_slope = _interpolator(self.feed_at_weight, self.hatch_g)
        inside = curve(np.clip(weight_g, self.hatch_g, last_g))
        return inside + last_slope * np.clip(weight_g - last_g, 0.0, None)


@cache
def _interpolator(
    feed_at_weight: tuple[tuple[float, float], ...], hatch_g: float
) -> tuple[RisingCurve, float, float]:
    later = [(weight, feed) for weight, feed in feed_at_weight if weight > hatch_g and feed > 0.0]
    weights, feeds = zip((hatch_g, 0.0), *later, strict=True)
    curve = RisingCurve.through(weights, feeds)
    return curve, weights[-1], curve.last_slope


@dataclass(frozen=True)
class DietPhase:
    """One feed of a programme, given from a day until the next phase."""

    from_day: float
    """First age at which it is fed [day]."""
    crude_protein: float
    """Crude protein as a share of the feed [1]."""
    phosphorus: float = 0.006
    """Total phosphorus as a share of the feed [1]. Usual broiler grower, from memory."""
    name: str = ""


@cache
def diet_programmes() -> dict[str, tuple[DietPhase, ...]]:
    """Return the diets that ship with the product: ``standard``, ``retail`` and ``slow``.

    The source of every figure stands on its row of ``reference/diet_phases.csv``.
    """
    programmes: dict[str, tuple[DietPhase, ...]] = {}
    with (REFERENCE / "diet_phases.csv").open(encoding="utf-8", newline="") as lines:
        for row in csv.DictReader(lines):
            phase = DietPhase(
                from_day=float(row["from_day"]),
                crude_protein=float(row["crude_protein"]),
                phosphorus=float(row["phosphorus"]),
                name=row["phase"],
            )
            programmes[row["programme"]] = (*programmes.get(row["programme"], ()), phase)
    return programmes


def phase_on(diet: Sequence[DietPhase], age_days: float) -> DietPhase:
    """Return the phase fed at an age; before the first phase, the first.

    Raises
    ------
    ValueError
        When the diet has no phase.
    """
    if not diet:
        raise ValueError("a diet needs at least one phase")
    return max(
        (phase for phase in diet if phase.from_day <= age_days),
        key=lambda phase: phase.from_day,
        default=min(diet, key=lambda phase: phase.from_day),
    )


def bags_needed(feed_g: float, bag_kg: float, waste_share: float = PURCHASE_WASTE_SHARE) -> int:
    """Return the whole bags to buy so that a mass of feed can be eaten.

    Parameters
    ----------
    feed_g : float
        Feed the birds will eat, at least 0 [g].
    bag_kg : float
        Content of a bag, above 0 [kg].
    waste_share : float
        Bought above eaten, at least 0 [1].

    Raises
    ------
    ValueError
        When a figure is out of its range.
    """
    if feed_g < 0.0 or bag_kg <= 0.0 or waste_share < 0.0:
        raise ValueError("feed and waste must be at least 0 and a bag must hold more than 0 kg")
    bags = feed_g / 1000.0 * (1.0 + waste_share) / bag_kg
    # A mass that fills its bags exactly must not buy one more for the last bit of a float.
    return math.ceil(bags - 1e-9)


def water_litres(feed_g: float, temperature_c: float, *, for_drinkers: bool = False) -> float:
    """Return the water drunk while a mass of feed is eaten.

    Parameters
    ----------
    feed_g : float
        Feed eaten in the same time, at least 0 [g].
    temperature_c : float
        Air temperature of the warm part of the day, up to about 40 [°C].
    for_drinkers : bool
        True for sizing drinkers and carrying water on hot days, false for the likely amount.

    Returns
    -------
    float
        Water [L]. A guide: spilling and salt feed add to it.

    Notes
    -----
    ``L = kg of feed * 1.9 * (1 + rise * max(0, T - 21))``; see the constants for their sources.
    """
    rise = WATER_DESIGN_RISE_PER_C if for_drinkers else WATER_RISE_PER_C
    warmth = 1.0 + rise * max(0.0, temperature_c - WATER_MILD_C)
    return max(0.0, feed_g) / 1000.0 * WATER_PER_FEED * warmth


def water_in_words(litres: float, system: System) -> str:
    """Write a volume of water to the nearest half litre, or quart, and never as nothing."""
    halves = max(1, round((litres if system == "metric" else litres / US_QUART_L) * 2))
    amount, number = local_mark(f"{halves / 2:g}"), math.ceil(halves / 2)
    if system == "metric":
        return ngettext("{n} litre", "{n} litres", number).format(n=amount)
    return ngettext("{n} quart", "{n} quarts", number).format(n=amount)
