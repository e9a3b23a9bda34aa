"""Will the plan hold? What is told, tried on many seasons of growth, room by room.

A flock's seasons are the equally likely flocks of its forecast; those of different batches are independent.
What birds drop is counted for the days ahead and for all of the stay under way. What earlier stays have
left, and how many birds there are, counts as it is known today.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from flocks.batch_forecast import days
from flocks.forecasting import SEASONS, forecast_of
from rotation.engine.problem import Spot
from rotation.engine.problem import Stay as EngineStay
from rotation.facts import GardenFacts, PenRun
from rotation.models import PlannedStay
from rotation.problems import NOW, SizeProblem
from rotation.seasons_tried import Room, SeasonsTried, try_seasons
from rotation.stretches import Stretch
from rotation.told import told_parts

Array = NDArray[np.float64]

SEED = 2026
"""Mixes the seasons of one batch with those of another; fixed, so that a plan is told the same again."""
LEAST_DROPPED_G = 1e-9


@dataclass(frozen=True)
class Drop:
    """What one stay drops, day by day and season by season."""

    stretch: Stretch
    days: tuple[date, ...]
    dropped_g: Array
    """(days, seasons) [g]."""
    more_g: Array
    """The same, less what the plan reckons with [g]."""


def plan_tried(facts: GardenFacts, told: Sequence[PlannedStay]) -> SeasonsTried:
    """Try what is told on `SEASONS` seasons; one forecast a batch, kept in memory, and no search."""
    seasons = _Seasons(facts)
    rooms: list[Room] = []
    decided: list[Drop] = []
    for part, stays, _ in told_parts(told, facts):
        drops = [(stay, seasons.drop(part, stay)) for stay in stays]
        for spot in part.problem.spots:
            here = [(stay, drop) for stay, drop in drops if stay.spot == spot.id]
            if here:
                rooms += _rooms(facts, part, spot, here, decided)
        decided += [drop for _, drop in drops]
    return try_seasons(rooms, SEASONS)


@dataclass
class _Seasons:
    """What the pens drop in each season, worked out once for each run."""

    facts: GardenFacts
    _by_run: dict[str, Array] = field(default_factory=dict)

    def drop(self, part: SizeProblem, stay: EngineStay) -> Drop:
        """Return what a stay drops, with the days before today where it is under way."""
        run = part.runs[stay.run]
        first_day = part.horizon.first_day + timedelta(days=stay.first_day)
        end_day = part.horizon.first_day + timedelta(days=stay.end_day)
        start, end = ((day - run.first_day).days for day in (first_day, end_day))
        dropped_g = self._of(run)[start:end].copy()
        more_g = dropped_g - np.array(run.nitrogen_g[start:end])[:, None]
        if stay.spot.endswith(NOW) and first_day == self.facts.on:
            more_before_g = self._more_before_g(run)
            dropped_g[0] += more_before_g
            more_g[0] += more_before_g
        whole = tuple(days(first_day, end_day))
        return Drop(part.stretches[stay.spot], whole, dropped_g, more_g)

    def _of(self, run: PenRun) -> Array:
        if run.id not in self._by_run:
            forecast = forecast_of(run.batch, self.facts.on)
            span = run.first_day, run.end_day
            quantile = self.facts.garden.nitrogen_quantile
            reckoned_g = forecast.nitrogen_g_by_day(1, *span, quantile=quantile)
            birds = np.array(run.nitrogen_g) / np.maximum(reckoned_g, LEAST_DROPPED_G)
            by_season = forecast.nitrogen_g_by_season(1, *span)[:, self._mixed(run)]
            self._by_run[run.id] = birds[:, None] * by_season
        return self._by_run[run.id]

    def _more_before_g(self, run: PenRun) -> Array:
        """Return what the birds have dropped on the stay under way beyond what is reckoned, by season."""
        forecast = forecast_of(run.batch, self.facts.on)
        span = run.standing.first_day, self.facts.on
        by_season = forecast.nitrogen_g_by_season(run.birds, *span)[:, self._mixed(run)]
        return by_season.sum(axis=0) - sum(forecast.nitrogen_g_by_day(run.birds, *span))

    def _mixed(self, run: PenRun) -> NDArray[np.intp]:
        # The forecasts of two batches number their flocks alike, light ones first, say; mixed, they are
        # independent, and the pens of one batch still share theirs.
        return np.random.default_rng([SEED, run.batch.pk]).permutation(SEASONS)


def _rooms(
    facts: GardenFacts,
    part: SizeProblem,
    spot: Spot,
    here: Sequence[tuple[EngineStay, Drop]],
    decided: Iterable[Drop],
) -> Iterator[Room]:
    """Yield the rooms of one spot: that of each window with a stay, and its own for all of them.

    What stays of larger pens drop on its ground is off its room already, as it was reckoned; what they
    drop beyond that is added.
    """
    stretch = part.stretches[spot.id]
    bed = facts.beds[stretch.bed_id].bed.name
    larger = [
        (drop.days, drop.more_g * stretch.share_of(drop.stretch))
        for drop in decided
        if stretch.overlaps(drop.stretch)
    ]
    for window in spot.windows:
        inside = [
            (drop.days, drop.dropped_g)
            for stay, drop in here
            if window.first_day <= stay.first_day < window.end_day
        ]
        if inside:
            end_day = part.horizon.first_day + timedelta(days=window.end_day)
            before = [(whole, more_g) for whole, more_g in larger if whole[0] < end_day]
            yield _room(bed, window.nitrogen_room_g, [*before, *inside])
    all_here = [(drop.days, drop.dropped_g) for _, drop in here]
    yield _room(bed, spot.nitrogen_room_g, [*larger, *all_here])


def _room(bed: str, room_g: float, dropped: Sequence[tuple[tuple[date, ...], Array]]) -> Room:
    whole = [day for span, _ in dropped for day in span]
    order = np.argsort([day.toordinal() for day in whole], kind="stable")
    dropped_g = np.concatenate([grams for _, grams in dropped])[order]
    return Room(bed, room_g, tuple(whole[index] for index in order), dropped_g)
