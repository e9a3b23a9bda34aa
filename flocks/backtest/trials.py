"""Flocks of published trials: what they weighed and ate by age, and how their single birds were spread.

PURE. Reads the files of ``tests/data``; where each comes from stands in the README beside them.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

PEN_BIRDS = 40
"""Birds in each of the pens behind a row of ``broiler_pens.csv``, at the start. Derived: the losses that were
told for single pens come in steps of 2.5 %."""
TRIAL_BIRDS = 50
"""Birds behind a mean where a trial's table does not say. A choice."""


@dataclass(frozen=True)
class Singles:
    """Birds of a flock weighed one by one on a day."""

    age: int
    birds: int
    mean_g: float
    sd_g: float


@dataclass(frozen=True)
class Flock:
    """One flock of a trial."""

    trial: str
    name: str
    strain: str
    """Key of the built-in strain that a grower would have picked."""
    birds: int
    weights_g: tuple[tuple[int, float], ...]
    """Age [day] and mean live weight [g], rising."""
    feed_g: tuple[tuple[int, float], ...] = ()
    """Age [day] and feed eaten by a bird since hatch [g]."""
    singles: tuple[Singles, ...] = ()
    """Birds weighed once each, by rising age."""

    def scaled(self, share: float) -> Flock:
        """Return the flock as if it weighed a share of what it did, from the first week on."""
        weights = tuple((age, g if age == 0 else share * g) for age, g in self.weights_g)
        return replace(self, name=f"{self.name} x {share:g}", weights_g=weights, singles=())


def broilers(folder: Path) -> tuple[Flock, ...]:
    """Return the meat-bird flocks of the pens and of the trials' tables."""
    return (*_pens(folder), *_trials(folder))


def chicks(folder: Path) -> tuple[Flock, ...]:
    """Return the single layer-type chicks that lived to day 21, each a flock of one bird."""
    weights: dict[str, list[tuple[int, float]]] = {}
    for row in _rows(folder / "ChickWeight.csv"):
        weighed = int(row["age_days"]), float(row["mass_g"])
        weights.setdefault(row["chick"], []).append(weighed)
    return tuple(
        Flock("ChickWeight", name, "any", 1, tuple(sorted(weighed)))
        for name, weighed in weights.items()
        if any(age == 21 for age, _ in weighed)
    )


def _pens(folder: Path) -> Iterator[Flock]:
    singles: dict[tuple[str, str], list[Singles]] = {}
    for row in _rows(folder / "broiler_birds.csv"):
        on_a_day = Singles(
            int(row["age_days"]), int(row["birds"]), float(row["mean_g"]), float(row["sd_g"])
        )
        singles.setdefault((row["trial"], _kind(row)), []).append(on_a_day)
    for row in _rows(folder / "broiler_pens.csv"):
        eaten, feed = 0.0, []
        for start, end in ((0, 7), (7, 21), (21, 35)):
            eaten += (end - start) * float(row[f"daily_feed_{start}_{end}_g"])
            feed.append((end, eaten))
        yield Flock(
            trial=f"pens {row['trial']}",
            name=_kind(row),
            strain=f"fast-{row['sex']}",
            birds=PEN_BIRDS * int(row["pens"]),
            weights_g=tuple((day, float(row[f"day_{day}_g"])) for day in (0, 7, 21, 35)),
            feed_g=tuple(feed),
            singles=tuple(singles.get((row["trial"], _kind(row)), ())),
        )


def _kind(row: dict[str, str]) -> str:
    return f"{row['strain']} {row['sex']}"


def _trials(folder: Path) -> Iterator[Flock]:
    rows: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in _rows(folder / "broiler_trials.csv"):
        rows.setdefault((row["trial"], row["flock"]), []).append(row)
    for (trial, name), weighed in rows.items():
        first = weighed[0]
        if first["kind"] == "layer":
            strain = "any"
        else:
            strain = f"{first['kind']}-male" if first["sex"] == "male" else first["kind"]
        yield Flock(
            trial=trial,
            name=name,
            strain=strain,
            birds=int(first["birds"] or TRIAL_BIRDS),
            weights_g=tuple((int(row["age_days"]), float(row["mean_g"])) for row in weighed),
            feed_g=tuple(
                (int(row["age_days"]), float(row["cumulative_feed_g"]))
                for row in weighed
                if row["cumulative_feed_g"] and int(row["age_days"]) > 0
            ),
        )


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))
