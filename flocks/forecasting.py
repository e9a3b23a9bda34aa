"""Where rows meet the growth engine: a batch's records go in, its days to come go out.

Pages and the planner ask here and nowhere else. One forecast is one engine call (tens of
milliseconds) and costs no query when the batch was loaded by `Batch.objects.with_records()`,
otherwise one for each kind of record.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from functools import lru_cache
from math import ceil
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from flocks import growth
from flocks import weighings as measured
from flocks.batch_forecast import PLANNING_QUANTILES, BatchForecast, Estimate, ReadyDates, days
from flocks.engine_rows import (
    engine_feed_records,
    engine_weighing,
    of_its_sexes,
    rest_of_flock,
)
from flocks.feed import DietPhase, diet_programmes
from flocks.headcount import birds_alive, birds_by_pen, departures
from flocks.models import Batch, FeedRecord, Loss, Weighing
from flocks.own_strain import OwnStrain, PastBatch, base_key, own_key, own_strain
from flocks.parted import forecast_of_rest, paths_of_rest
from flocks.paths import FlockPaths, path_quantiles
from flocks.posterior import PATHS
from flocks.strains import Strain, built_in_strains

__all__ = [
    "BatchForecast",
    "Estimate",
    "ReadyDates",
    "birds_alive",
    "birds_by_pen",
    "days",
    "diet_of",
    "draft_forecast",
    "engine_feed_records",
    "forecast_of",
    "own_strain_of",
    "paths_of",
    "strain_for",
    "strain_of",
]

Row = TypeVar("Row", Weighing, FeedRecord)

LEVEL = 0.8
"""Probability of every interval that is shown, told as “8 times in 10”. A choice."""
SEASONS = 200
"""Flocks whose nitrogen is kept day by day, to try a plan on each. A choice: half of them is known to 7 %."""
SEASONS_SEED = 2026
DAYS_BEYOND = 14
"""Days a forecast runs past the processing day, in case it is put off. A choice."""
LEAST_LAST_AGE = 56
"""Age that every forecast covers [day]: the eight weeks of a fast bird. A choice."""
SLOW_STRAINS = {"slow", "ranger", "label"}
"""Strains taken to be fed the ``slow`` programme of lower protein. A choice."""


def strain_of(key: str) -> Strain:
    """Return the built-in strain of a key, or the wide ``unknown`` one for a key that is gone.

    For a garden's own strain it is the table that one starts from.
    """
    strains = built_in_strains()
    return strains.get(base_key(key), strains["unknown"])


def strain_for(batch: Batch) -> Strain:
    """Return what is expected of a batch's birds: a built-in strain, or the garden's own."""
    own = own_strain_of(batch) if batch.strain == own_key(batch.strain) else None
    return of_its_sexes(batch, strain_of(batch.strain) if own is None else own.strain)


def own_strain_of(batch: Batch) -> OwnStrain | None:
    """Return the strain that the garden's finished batches of a batch's kind teach; None without any.

    Batches hatched later are left out, so that a finished batch keeps its forecasts. Six queries, once
    for each garden loaded.
    """
    garden, table = batch.garden, base_key(batch.strain)
    finished = garden.__dict__.get("finished_batches")
    if finished is None:
        rows = garden.batches.with_records().exclude(finished_on=None).order_by("hatch_on", "pk")
        finished = garden.__dict__["finished_batches"] = list(rows)
    past = tuple(
        _measured(row)
        for row in finished
        if base_key(row.strain) == table and row.hatch_on < batch.hatch_on
    )
    return _own_strain(table, past)


@lru_cache(maxsize=64)
def _own_strain(table: str, past: tuple[PastBatch, ...]) -> OwnStrain | None:
    return own_strain(strain_of(table), past)


def _measured(batch: Batch) -> PastBatch:
    last_day = batch.hatch_on + timedelta(days=growth.LAST_DAY)
    weighed = _known(batch, list(batch.weighing_set.all()), last_day)
    fed = _known(batch, list(batch.feedrecord_set.all()), last_day)
    rest = rest_of_flock(batch, last_day, strain_of(batch.strain).bird_cv)
    return PastBatch(
        tuple(engine_weighing(batch, row, rest) for row in weighed),
        tuple(engine_feed_records(batch, fed, departures(batch))),
    )


def diet_of(key: str) -> tuple[DietPhase, ...]:
    """Return the feeds by age that a strain is taken to get."""
    return diet_programmes()["slow" if base_key(key) in SLOW_STRAINS else "standard"]


def forecast_of(
    batch: Batch,
    on: date,
    *,
    weighings: Sequence[Weighing] | None = None,
    feed_records: Sequence[FeedRecord] | None = None,
    losses: Sequence[Loss] | None = None,
    last_age: int | None = None,
    is_over: bool = False,
) -> BatchForecast:
    """Forecast a batch from what was logged up to a day.

    Parameters
    ----------
    batch : Batch
        Saved, unless all records are given.
    on : date
        Records of later days are left out.
    weighings, feed_records, losses : sequence of rows, optional
        Instead of the batch's own, for trying what a record changes.
    last_age : int, optional
        Age the forecast covers [day]; 14 days past processing, or past `on`, unless given. At
        least 56 and at most 150.
    is_over : bool, default False
        Whether the birds are gone by then. No days to come are looked at, nor the target's, which spares a
        third of the work.
    """
    weighed = list(batch.weighing_set.all()) if weighings is None else weighings
    fed = list(batch.feedrecord_set.all()) if feed_records is None else feed_records
    gone = departures(batch, losses)
    reach = max(batch.age_days(batch.processing_on), batch.age_days(on)) + DAYS_BEYOND
    reach = batch.age_days(on) if is_over else reach
    strain = strain_for(batch)
    rest = rest_of_flock(batch, on, strain.bird_cv)
    whole = _forecast(
        strain,
        diet_of(batch.strain),
        batch.hatch_on,
        target_g=None if is_over else batch.target_g / rest.share,
        weighings=tuple(engine_weighing(batch, row, rest) for row in _known(batch, weighed, on)),
        feed_records=tuple(engine_feed_records(batch, _known(batch, fed, on), gone)),
        last_age=last_age or reach,
    )
    return forecast_of_rest(whole, rest)


def draft_forecast(
    strain: str, hatch_on: date, *, target_g: float, last_age: int = growth.LAST_DAY
) -> BatchForecast:
    """Forecast birds that are only thought of, from the key of their strain and their hatch day."""
    return _forecast(
        strain_of(strain), diet_of(strain), hatch_on, target_g=target_g, last_age=last_age
    )


def paths_of(batch: Batch, on: date) -> FlockPaths:
    """Return the equally likely flocks behind `forecast_of`, at every age to 150 days.

    Some 5 MB, of which only the newest few are kept: for pages that ask more than a band tells.
    """
    weighed = _known(batch, list(batch.weighing_set.all()), on)
    fed = _known(batch, list(batch.feedrecord_set.all()), on)
    strain = strain_for(batch)
    rest = rest_of_flock(batch, on, strain.bird_cv)
    whole = _paths(
        strain,
        diet_of(batch.strain),
        tuple(engine_weighing(batch, row, rest) for row in weighed),
        tuple(engine_feed_records(batch, fed, departures(batch))),
    )
    return paths_of_rest(whole, rest) if rest.steps else whole


@lru_cache(maxsize=8)
def _paths(
    strain: Strain,
    diet: tuple[DietPhase, ...],
    weighings: tuple[measured.Weighing, ...],
    feed_records: tuple[measured.FeedRecord, ...],
) -> FlockPaths:
    return growth.forecast(
        strain,
        diet=diet,
        weighings=weighings,
        feed_records=feed_records,
        ages=range(growth.LAST_DAY + 1),
        level=LEVEL,
    ).paths


@lru_cache(maxsize=512)
def _forecast(
    strain: Strain,
    diet: tuple[DietPhase, ...],
    hatch_on: date,
    *,
    target_g: float | None,
    last_age: int,
    weighings: tuple[measured.Weighing, ...] = (),
    feed_records: tuple[measured.FeedRecord, ...] = (),
) -> BatchForecast:
    # Kept in memory: the same records always give the same forecast, and five pages ask for it.
    last_age = min(max(last_age, LEAST_LAST_AGE), growth.LAST_DAY)
    seen = growth.forecast(
        strain,
        diet=diet,
        weighings=weighings,
        feed_records=feed_records,
        ages=range(last_age + 1),
        target_g=target_g,
        level=LEVEL,
    )
    by_path_g = seen.nitrogen_g_by_path
    return BatchForecast(
        hatch_on=hatch_on,
        flock_g=seen.flock_mean_g,
        bird_g=seen.bird_g,
        eaten_g=seen.feed_per_bird_g,
        feed_g=seen.by_day.feed_g,
        nitrogen_g=seen.by_day.nitrogen_g,
        nitrogen_quantiles_g=dict(
            zip(
                PLANNING_QUANTILES,
                path_quantiles(by_path_g, PLANNING_QUANTILES),
                strict=True,
            )
        ),
        nitrogen_seasons_g=by_path_g[:, _season_paths()].astype(np.float32),
        ready_on=_ready_dates(hatch_on, seen.target_age_days),
        warnings=seen.warnings,
    )


@lru_cache(maxsize=1)
def _season_paths() -> NDArray[np.intp]:
    # Not every fifth: the paths lie on evenly spread points, whose order repeats itself.
    return np.random.default_rng(SEASONS_SEED).choice(PATHS, SEASONS, replace=False)


def _ready_dates(hatch_on: date, age: growth.TargetAge | None) -> ReadyDates:
    if age is None:
        return ReadyDates(None, None, None)

    def day(age_days: float | None) -> date | None:
        return None if age_days is None else hatch_on + timedelta(days=ceil(age_days))

    return ReadyDates(day(age.low), day(age.median), day(age.high))


def _known(batch: Batch, rows: Sequence[Row], on: date) -> list[Row]:
    """Keep what is logged up to a day, and within the ages that the engine knows."""
    last_day = min(on, batch.hatch_on + timedelta(days=growth.LAST_DAY))
    return [row for row in rows if batch.hatch_on <= row.on <= last_day]
