"""What a batch's pages say: how the birds do, what they need, when they are ready."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor

from flocks.feed import DietPhase, bags_needed, phase_on, water_in_words, water_litres
from flocks.feed_shopping import waste_of
from flocks.feed_waste import waste_learnt
from flocks.forecasting import BatchForecast, days, diet_of, forecast_of, strain_for, strain_of
from flocks.headcount import birds_alive, birds_by_pen
from flocks.models import Batch, Weighing
from garden.day_words import day_words
from garden.units import BIRD_MASS
from garden.words import figure
from garden.words import gettext as _
from pens.models import Pen

FAR_OFF_SHARE = 0.10
"""A weighing this far outside the forecast's interval is told [1]. A choice."""
MILD_DAY_C, HOT_DAY_C = 20.0, 32.0
"""Days that the water guide is given for [°C]. A choice."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The four facts of a batch."""

    weight_g: float
    off_expected_g: float | None
    """Weight above (below: negative) what its strain usually has at this age [g].

    None where no bird was weighed yet.
    """
    alive: int
    feed_per_gain: float | None
    """Feed eaten for each kilogram gained since hatch [kg/kg]; None in the first days."""


def standing(batch: Batch, forecast: BatchForecast, on: date) -> Standing:
    """Return the four facts on a day from hatch on."""
    strain = strain_for(batch)
    usual = strain.curve
    weight_g = forecast.weight_g(on).median
    is_weighed = any(row.on <= on for row in batch.weighing_set.all())
    off_g = weight_g - float(usual.weight_g(batch.age_days(on)))
    gained_g = weight_g - strain.hatch_g
    eaten_g = forecast.on(forecast.eaten_g, on).median
    return Standing(
        weight_g=weight_g,
        off_expected_g=off_g if is_weighed else None,
        alive=birds_alive(batch, on),
        feed_per_gain=eaten_g / gained_g if gained_g > strain.hatch_g else None,
    )


def readiness(batch: Batch, forecast: BatchForecast, on: date) -> str:
    """Return one sentence on when the flock's average reaches the weight wanted."""
    ready = forecast.ready_on
    wanted = BIRD_MASS.show(batch.target_g, batch.garden.unit_system)
    if ready.low is None:
        return _("They are not expected to reach {wanted} within 150 days.").format(wanted=wanted)
    if ready.median is not None and ready.high is not None:
        if ready.high <= on:
            return _("Their average should have reached {wanted} by now.").format(wanted=wanted)
        return _(
            "They should average {wanted} on {day}; 8 times in 10 between {low} and {high}."
        ).format(
            wanted=wanted,
            day=day_words(ready.median),
            low=day_words(ready.low),
            high=day_words(ready.high),
        )
    return _("They reach {wanted} on {day} at the earliest, perhaps never.").format(
        wanted=wanted, day=day_words(ready.low)
    )


@dataclass(frozen=True, slots=True)
class FeedOutlook:
    """What to feed and to buy."""

    phase: DietPhase
    next_phase_on: date | None
    today_kg: float
    to_come_kg: float
    """Feed eaten from today up to processing [kg]."""
    bags: int
    """Bags that hold it, with what is spilt."""
    waste_percent: float
    """What is bought above what is eaten; 0 where the batch's own feed records tell it already [%]."""
    water: str
    """Water drunk today when it is mild, in the garden's units."""
    hot_water: str
    """Water to carry when today is hot, likewise."""

    @property
    def protein_percent(self) -> float:
        """Return the crude protein of the feed of today [%]."""
        return 100 * self.phase.crude_protein


def feed_outlook(batch: Batch, forecast: BatchForecast, on: date) -> FeedOutlook:
    """Return what the birds alive need from a day on."""
    alive, diet = birds_alive(batch, on), diet_of(batch.strain)
    waste = waste_of(batch, waste_learnt(()))
    first_day = max(on, batch.hatch_on)
    age = batch.age_days(first_day)
    later = [phase.from_day for phase in diet if phase.from_day > age]
    today_kg = forecast.feed_kg(alive, first_day)
    today_g, system = 1000 * today_kg, batch.garden.unit_system
    to_come_kg = forecast.feed_kg(alive, first_day, max(first_day, batch.processing_on))
    return FeedOutlook(
        phase=phase_on(diet, age),
        next_phase_on=batch.hatch_on + timedelta(days=min(later)) if later else None,
        today_kg=today_kg,
        to_come_kg=to_come_kg,
        bags=bags_needed(1000 * to_come_kg, batch.garden.feed_bag_kg, waste.share),
        waste_percent=100 * waste.share,
        water=water_in_words(water_litres(today_g, MILD_DAY_C), system),
        hot_water=water_in_words(water_litres(today_g, HOT_DAY_C, for_drinkers=True), system),
    )


@dataclass(frozen=True, slots=True)
class PenOutlook:
    """How tight a pen gets. Densities are the birds' weight on the floor at a day's end [kg/m²]."""

    pen: Pen
    birds: int
    by_week: tuple[tuple[date, float], ...]
    """Density on the first day outdoors and each seventh day after, and on the last."""
    crowded_on: date | None
    """First day over the garden's limit."""
    birds_that_fit: int
    """Birds that stay under the limit to the last day."""

    @property
    def too_many(self) -> int:
        """Return how many birds would have to go by `crowded_on`."""
        return max(0, self.birds - self.birds_that_fit)


def pen_outlooks(batch: Batch, forecast: BatchForecast, on: date) -> list[PenOutlook]:
    """Return how tight each pen gets from a day, or from moving out, up to processing."""
    birds = birds_by_pen(batch, on)
    first_day = max(on, batch.leaves_brooder_on)
    end_day = max(batch.processing_on, first_day + timedelta(days=1))
    return [
        _pen_outlook(batch, forecast, share.pen, birds[share.pen_id], first_day, end_day)
        for share in batch.shares.all()
    ]


def _pen_outlook(
    batch: Batch, forecast: BatchForecast, pen: Pen, birds: int, first_day: date, end_day: date
) -> PenOutlook:
    limit = batch.garden.density_limit_kg_m2
    last_day = end_day - timedelta(days=1)
    shown = [*list(days(first_day, last_day))[::7], last_day]
    return PenOutlook(
        pen=pen,
        birds=birds,
        by_week=tuple((day, forecast.density_kg_m2(birds, pen.floor_m2, day)) for day in shown),
        crowded_on=forecast.crowded_on(birds, pen.floor_m2, limit, first_day, end_day),
        birds_that_fit=floor(limit / forecast.density_kg_m2(1, pen.floor_m2, last_day)),
    )


def first_crowded(outlooks: Iterable[PenOutlook]) -> PenOutlook | None:
    """Return the pen that gets too tight first, if any does."""
    crowded = [outlook for outlook in outlooks if outlook.crowded_on]
    return min(crowded, key=lambda outlook: outlook.crowded_on, default=None)


@dataclass(frozen=True, slots=True)
class Totals:
    """A finished batch in figures; None where the records do not tell."""

    processed: int
    lost: int
    lost_percent: float
    dressed_kg: float | None
    feed_kg: float | None
    feed_per_gain: float | None
    """Feed given for each kilogram of live weight processed, less the chicks' own [kg/kg]."""
    feed_per_dressed: float | None
    days: int
    """Age at the end [day]."""


def totals(batch: Batch) -> Totals:
    """Return what a finished batch came to. Weights count only where every processing has them."""
    processings = list(batch.processing_set.all())
    processed = sum(row.count for row in processings)
    lost = sum(row.count for row in batch.loss_set.all())
    feed_kg = sum(row.mass_kg for row in batch.feedrecord_set.all()) or None
    dressed_kg = live_kg = None
    if processings and all(row.dressed_kg for row in processings):
        dressed_kg = sum(row.dressed_kg for row in processings)
    if processings and all(row.live_mean_g for row in processings):
        live_kg = sum(row.count * row.live_mean_g for row in processings) / 1000
        live_kg -= processed * strain_of(batch.strain).hatch_g / 1000
    return Totals(
        processed=processed,
        lost=lost,
        lost_percent=100 * lost / batch.chicks,
        dressed_kg=dressed_kg,
        feed_kg=feed_kg,
        feed_per_gain=feed_kg / live_kg if feed_kg and live_kg else None,
        feed_per_dressed=feed_kg / dressed_kg if feed_kg and dressed_kg else None,
        days=batch.age_days(batch.finished_on),
    )


def far_off(batch: Batch, weighing: Weighing) -> str:
    """Return a sentence about a new weighing that is far off the forecast, or an empty one."""
    expected = forecast_of(batch, weighing.on).weight_g(weighing.on)
    too_low = weighing.mean_g < expected.low * (1 - FAR_OFF_SHARE)
    too_high = weighing.mean_g > expected.high * (1 + FAR_OFF_SHARE)
    if not (too_low or too_high):
        return ""
    system = batch.garden.unit_system
    told, usual = BIRD_MASS.show(weighing.mean_g, system), BIRD_MASS.show(expected.median, system)
    share = abs(weighing.mean_g / expected.median - 1)
    words = {"told": told, "share": figure(100 * share), "usual": usual}
    if too_low:
        return _(
            "Kept, but {told} is {share} % below what was expected, about {usual}. "
            "Change it if it was mistyped."
        ).format(**words)
    return _(
        "Kept, but {told} is {share} % above what was expected, about {usual}. "
        "Change it if it was mistyped."
    ).format(**words)
