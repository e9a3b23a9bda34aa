"""Trying a batch before it is hatched: does this garden have the ground for it, and what would make it fit.

A draft is planned beside everything already told, by the same planner as the real thing; nothing is saved.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from flocks.feed import bags_needed
from flocks.forecasting import BatchForecast, draft_forecast
from flocks.models import Batch
from flocks.sharing import shared_out
from garden.models import Bed, Garden
from garden.words import gettext as _
from garden.words import mark
from pens.models import Pen
from rotation.changed_plan import days_off_in
from rotation.facts import GardenFacts, PenRun, facts_of
from rotation.ground import BedFacts, spot, stretches
from rotation.models import PlannedStay
from rotation.planning import Effort, current_plan, solved
from rotation.problems import horizon_of
from rotation.stretches import on_bed
from rotation.told import ground_told

TRIAL_EFFORT = Effort(seconds=1.5, rounds=40)
"""For the preview beside the form: in most gardens the work ends it, so that the same batch is told the
same again. Our choice."""


@dataclass(frozen=True)
class DraftBatch:
    """A batch that is only thought of; the birds move out to `pens` in proportion to their floor."""

    strain: str
    hatch_on: date
    chicks: int
    target_g: float
    pens: tuple[Pen, ...]
    leaves_brooder_on: date
    processing_on: date

    @cached_property
    def forecast(self) -> BatchForecast:
        """The expected growth, feed and droppings; one engine call."""
        return draft_forecast(self.strain, self.hatch_on, target_g=self.target_g)

    @property
    def birds(self) -> list[int]:
        """Birds in each of `pens`."""
        return shared_out(self.chicks, [pen.floor_m2 for pen in self.pens])

    def moved(self, days: int) -> "DraftBatch":
        """Return the same batch hatched some days later, or earlier where below 0."""
        shift = timedelta(days=days)
        return replace(
            self,
            hatch_on=self.hatch_on + shift,
            leaves_brooder_on=self.leaves_brooder_on + shift,
            processing_on=self.processing_on + shift,
        )


@dataclass(frozen=True)
class WeekDensity:
    """Bird weight on the floor of one pen at the end of a week of life [kg/m²]."""

    week: int
    day: date
    by_pen: tuple[tuple[Pen, float], ...]


@dataclass(frozen=True)
class Trial:
    """What the garden makes of a draft."""

    draft: DraftBatch
    feed_kg: float
    bags: int
    weeks: tuple[WeekDensity, ...]
    crowded_on: date | None
    dropped_g: float
    room_g: float
    """Nitrogen that the beds these pens fit still take while the birds are out [g]."""
    pen_days: int
    off_bed_days: int
    """Days without a bed that this batch brings, for its own pens or for others."""
    reasons: dict[str, int]
    """Off-bed days by the rule that shuts most places on them."""

    @property
    def fits(self) -> bool:
        """Whether every day of every pen has a bed."""
        return self.off_bed_days == 0


class TrialGround:
    """A garden as it is, read once, on which any number of drafts are tried."""

    def __init__(self, garden: Garden, on: date, *, instead_of: int | None = None) -> None:
        self.garden = garden
        self.facts = facts_of(garden, on, instead_of=instead_of)
        plan = current_plan(garden)
        told = list(plan.stays.all()) if plan else []
        self.told = [stay for stay in told if stay.batch_id != instead_of]
        self.told_off_days = days_off_in(self.told, on)

    def trial(self, draft: DraftBatch, effort: Effort = TRIAL_EFFORT) -> Trial:
        """Plan a draft beside what is told already, and, where that lacks beds, all together anew."""
        facts = self._with(draft)
        off = self._beside(draft, effort)
        brought = days_off_in(off, self.facts.on)
        if brought:
            together = self._together(facts, effort)
            if self._more_days_off(together) < brought:
                off, brought = together, self._more_days_off(together)
        forecast = draft.forecast
        feed_kg = forecast.feed_kg(draft.chicks, draft.hatch_on, draft.processing_on)
        runs = [run for run in facts.runs if run.batch.pk is None]
        return Trial(
            draft=draft,
            feed_kg=feed_kg,
            bags=bags_needed(1000 * feed_kg, self.garden.feed_bag_kg),
            weeks=tuple(_weeks(draft)),
            crowded_on=_crowded_on(draft, self.garden.density_limit_kg_m2),
            dropped_g=sum(sum(run.nitrogen_g) for run in runs),
            room_g=self._room_g(facts, runs),
            pen_days=sum(len(run.nitrogen_g) for run in runs),
            off_bed_days=brought,
            reasons=_main_reasons(off),
        )

    def off_bed_days(
        self, draft: DraftBatch, effort: Effort, *, more_beds: Iterable[Bed] = ()
    ) -> int:
        """Return the draft's days off the beds beside what is told, were `more_beds` there too."""
        off = self._beside(draft, effort, more_beds=more_beds)
        return days_off_in(off, self.facts.on)

    def _beside(
        self, draft: DraftBatch, effort: Effort, *, more_beds: Iterable[Bed] = ()
    ) -> list[PlannedStay]:
        """Return the draft's days off the beds when every told stay is kept: quick, and no worse later."""
        beds = self.facts.beds | {bed.pk: BedFacts(bed, ()) for bed in more_beds}
        facts = replace(self.facts, beds=beds, runs=tuple(_draft_runs(draft, self.facts)))
        stays = solved(facts, effort, decided=ground_told(self.told, self.facts)).stays
        return [stay for stay in stays if stay.bed_id is None]

    def _together(self, facts: GardenFacts, effort: Effort) -> list[PlannedStay]:
        """Return the days off the beds of all pens when everything is planned anew."""
        stays = solved(facts, effort, announced=self.told).stays
        return [stay for stay in stays if stay.bed_id is None]

    def _more_days_off(self, off: Iterable[PlannedStay]) -> int:
        """Return by how many days off the beds a plan exceeds what is told already.

        Days are counted for every pen: a draft that fits only by pushing another flock off its bed
        does not fit.
        """
        return max(0, days_off_in(off, self.facts.on) - self.told_off_days)

    def _with(self, draft: DraftBatch) -> GardenFacts:
        return replace(self.facts, runs=(*self.facts.runs, *_draft_runs(draft, self.facts)))

    def _room_g(self, facts: GardenFacts, runs: Sequence[PenRun]) -> float:
        """Return the room of every bed for the pen that finds most ground on it, told stays taken off."""
        if not runs:
            return 0.0
        first_day, end_day = min(r.first_day for r in runs), max(r.end_day for r in runs)
        told = ground_told(self.told, self.facts)
        horizon = horizon_of(facts)
        days = horizon.index(first_day), horizon.index(end_day)
        room_g = 0.0
        dropped, resting = on_bed([*facts.past, *told]), on_bed(facts.past)
        for known in facts.beds.values():
            places = max(
                (stretches(known.bed, run.pen, self.garden) for run in runs), key=_covered_mm
            )
            for place in places:
                ground = spot(
                    known, place, self.garden, horizon,
                    name=place.id, dropped=dropped[place.bed_id], resting=resting[place.bed_id],
                )  # fmt: skip
                in_time = sum(
                    window.nitrogen_room_g
                    for window in ground.windows
                    if window.first_day < days[1] and window.end_day > days[0]
                )
                room_g += min(in_time, ground.nitrogen_room_g)
        return room_g


def _covered_mm(places: Iterable) -> float:
    return sum(place.length_mm for place in places)


def _draft_runs(draft: DraftBatch, facts: GardenFacts) -> list[PenRun]:
    batch = Batch(
        name=_("this batch"),
        hatch_on=draft.hatch_on,
        leaves_brooder_on=draft.leaves_brooder_on,
        processing_on=draft.processing_on,
    )
    first_day = max(facts.on, draft.leaves_brooder_on)
    return [
        PenRun(
            batch=batch,
            pen=pen,
            birds=birds,
            first_day=first_day,
            nitrogen_g=tuple(
                draft.forecast.nitrogen_g_by_day(
                    birds,
                    first_day,
                    draft.processing_on,
                    quantile=facts.garden.nitrogen_quantile,
                )
            ),
            standing=None,
        )
        for pen, birds in zip(draft.pens, draft.birds, strict=True)
        if birds and first_day < draft.processing_on
    ]


def _weeks(draft: DraftBatch) -> Iterable[WeekDensity]:
    day, week = draft.hatch_on + timedelta(days=6), 1
    while day < draft.processing_on + timedelta(days=6):
        last = min(day, draft.processing_on - timedelta(days=1))
        if last >= draft.leaves_brooder_on:
            by_pen = tuple(
                (pen, draft.forecast.density_kg_m2(birds, pen.floor_m2, last))
                for pen, birds in zip(draft.pens, draft.birds, strict=True)
            )
            yield WeekDensity(week, last, by_pen)
        day, week = day + timedelta(days=7), week + 1


def _crowded_on(draft: DraftBatch, limit_kg_m2: float) -> date | None:
    days = [
        draft.forecast.crowded_on(
            birds, pen.floor_m2, limit_kg_m2, draft.leaves_brooder_on, draft.processing_on
        )
        for pen, birds in zip(draft.pens, draft.birds, strict=True)
    ]
    return min((day for day in days if day), default=None)


def _main_reasons(off: Iterable[PlannedStay]) -> dict[str, int]:
    reasons: dict[str, int] = {}
    for stay in (stay for stay in off if stay.batch.pk is None):
        main = max(stay.because, key=stay.because.get, default=mark("no bed fits this pen"))
        reasons[main] = reasons.get(main, 0) + (stay.end_day - stay.first_day).days
    return dict(sorted(reasons.items(), key=lambda item: -item[1]))
