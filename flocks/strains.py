"""Strains: how a kind of meat chicken is expected to grow and eat, and how far flocks stray from
that.

PURE. A `Strain` is a prior, not a promise: the median of each figure with its coefficient of
variation between flocks. The built-in ones stand in ``reference/strains.csv`` and
``reference/feed_tables.csv``, with the source of each row beside it.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from flocks.curve import GrowthCurve
from garden.words import mark

REFERENCE = Path(__file__).parent / "reference"

DEFAULT_FEED_CV = 0.12
"""Between-flock coefficient of variation of the feed eaten to a weight, where a strain gives none.

Derived: seven published trials of fast birds ate 0.82 to 1.10 of what the Poultry CRC table says [1]_,
and growers outdoors report 10-15 % more (common practice, no source).

.. [1] Poultry Hub (Poultry CRC), nutrition requirements of meat chickens; against cumulative feed
   conversion of two recent strains, PMC7358716, Table 4.
"""


@dataclass(frozen=True)
class Spread:
    """A positive figure that differs between flocks: log-normal, with its median and variation."""

    median: float
    cv: float
    """Coefficient of variation between flocks [1]."""

    @property
    def log_sd(self) -> float:
        """Standard deviation of the logarithm [1]."""
        return math.sqrt(math.log1p(self.cv**2))


@dataclass(frozen=True)
class Strain:
    """The expected growth of a kind of bird, as a prior for one flock of it.

    The curve is Gompertz, ``W(t) = mature_g * exp(-exp(-rate_per_day * (t - inflection_day)))``.
    Good for ages up to about 70 days and weights up to about 70 % of the mature weight.
    """

    hatch_g: float
    """Weight of a chick on the day it hatches [g]."""
    mature_g: Spread
    """Weight the curve tends to [g]."""
    rate_per_day: Spread
    """Gompertz rate [1/day]."""
    inflection_day: Spread
    """Age of the greatest daily gain [day]."""
    bird_cv: float
    """Coefficient of variation of weight between birds of one flock and age [1]."""
    feed_at_weight: tuple[tuple[float, float], ...]
    """Weight [g] and the feed eaten from hatch to that weight [g], both rising."""
    feed_cv: float = DEFAULT_FEED_CV
    """Coefficient of variation between flocks of the feed eaten to a weight [1]."""
    name: str = "strain of one's own"
    source: str = "given by the grower"
    mark: str = "own"
    """What the source is worth: ``published``, ``derived``, ``from memory`` or ``own``."""

    @property
    def curve(self) -> GrowthCurve:
        """Return what such birds are expected to weigh."""
        return GrowthCurve(
            self.hatch_g,
            self.mature_g.median,
            self.rate_per_day.median,
            self.inflection_day.median,
        )


@cache
def built_in_strains() -> dict[str, Strain]:
    """Return the strains that ship with the product, by key.

    Returns
    -------
    dict of str to Strain
        ``fast``, ``fast-male``, ``fast-female``, ``fast-recent``, ``older-standard``, ``ranger``,
        ``label``, ``slow``, ``unknown`` and ``any``. Treat it as read only.
    """
    tables = _feed_tables()
    return {row["key"]: _strain(row, tables) for row in _rows("strains.csv")}


@cache
def strain_sources(key: str) -> tuple[tuple[str, tuple[str, ...], str], ...]:
    """Return what each expected figure of a built-in strain rests on: the figure, its sources, its mark.

    Parameters
    ----------
    key : str
        Of `built_in_strains`; for any other key there is nothing to tell.
    """
    feeds = {row["feed_table"]: row for row in _rows("feed_tables.csv")}
    for row in _rows("strains.csv"):
        if row["key"] == key:
            feed = feeds[row["feed_table"]]
            return (
                (mark("Weight by age"), (row["curve_source"],), row["curve_mark"]),
                (
                    mark("How far flocks and birds differ"),
                    (row["spread_source"],),
                    row["spread_mark"],
                ),
                _feed_source(row, feed),
            )
    return ()


def _feed_source(row: dict[str, str], feed: dict[str, str]) -> tuple[str, tuple[str, ...], str]:
    figure = mark("Feed eaten to a weight")
    if float(row["feed_share"]) == 1.0:
        return figure, (feed["source"],), feed["mark"]
    return figure, (feed["source"], row["feed_share_source"]), "derived"


def _strain(row: dict[str, str], tables: dict[str, list[tuple[float, float]]]) -> Strain:
    return Strain(
        hatch_g=float(row["hatch_g"]),
        mature_g=Spread(float(row["mature_g"]), float(row["mature_cv"])),
        rate_per_day=Spread(float(row["rate_per_day"]), float(row["rate_cv"])),
        inflection_day=Spread(float(row["inflection_day"]), float(row["inflection_cv"])),
        bird_cv=float(row["bird_cv"]),
        feed_at_weight=tuple(
            (weight_g, float(row["feed_share"]) * feed_g)
            for weight_g, feed_g in tables[row["feed_table"]]
        ),
        feed_cv=float(row["feed_cv"]),
        name=row["name"],
        source=row["curve_source"],
        mark=row["curve_mark"],
    )


def _feed_tables() -> dict[str, list[tuple[float, float]]]:
    tables: dict[str, list[tuple[float, float]]] = {}
    for row in _rows("feed_tables.csv"):
        point = (float(row["weight_g"]), float(row["cumulative_feed_g"]))
        tables.setdefault(row["feed_table"], []).append(point)
    return tables


def _rows(name: str) -> Iterator[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as lines:
        yield from csv.DictReader(lines)
