"""What the planner knows of a garden on a day, read from the rows once: beds, batches, stays, forecasts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import zip_longest

from django.db.models import Prefetch, QuerySet

from flocks.forecasting import BatchForecast
from flocks.headcount import birds_by_pen
from flocks.models import Batch
from garden.bed_soil_rows import soil_of, with_soil
from garden.models import Bed, Garden, Planting
from garden.nutrients import YEAR_DAYS
from pens.models import Pen
from rotation.batch_log import load_log
from rotation.dropped import careful_nitrogen_g
from rotation.earlier_years import earlier_release_g, with_old_stays
from rotation.ground import BedFacts, Occupied, Stretch
from rotation.kept_forecasts import forecasts_of
from rotation.models import PinnedStay, Stay

HISTORY_DAYS = YEAR_DAYS
"""How far back stays count: the annual limit looks at any 365 days."""
OVERDUE_DAYS = 7
"""Days planned ahead for birds whose processing day has passed without being logged. Our choice."""


@dataclass(frozen=True)
class PenRun:
    """One pen carrying a batch's birds from `first_day`; `nitrogen_g` is what it drops each day."""

    batch: Batch
    pen: Pen
    birds: int
    first_day: date
    nitrogen_g: tuple[float, ...]
    standing: Stay | None

    @property
    def id(self) -> str:
        """The engine's name of the run."""
        return f"batch-{self.batch.pk}/pen-{self.pen.pk}"

    @property
    def end_day(self) -> date:
        """The first day without birds."""
        return self.first_day + timedelta(days=len(self.nitrogen_g))


@dataclass(frozen=True)
class GardenFacts:
    """Rows of one garden as values for the planner."""

    garden: Garden
    on: date
    beds: dict[int, BedFacts]
    runs: tuple[PenRun, ...]
    past: tuple[Occupied, ...]
    """Stays on beds up to `on`, those still lasting included, with what has been dropped so far."""
    standing: tuple[Stay, ...]
    """Stays on beds that have not ended."""
    pins: tuple[PinnedStay, ...] = ()
    """Stays that the grower has fixed, to come or under way, in the order in which they were set."""
    spent_pins: tuple[PinnedStay, ...] = ()
    """Those that have happened, or whose bed is given up or birds are gone."""
    forecasts: dict[int, BatchForecast] = field(default_factory=dict)
    """By the batch's id."""


def facts_of(
    garden: Garden, on: date, *, instead_of: int | None = None, more_runs: Sequence[PenRun] = ()
) -> GardenFacts:
    """Read what the planner needs; eight queries whatever the garden's size.

    Parameters
    ----------
    on : date
        Today in the garden; nothing logged later is looked at.
    instead_of : int, optional
        A batch's id to leave out, for trying another version of it.
    more_runs : sequence of PenRun
        Runs of a batch that is only thought of.
    """
    stays = list(
        Stay.objects.of(garden)
        .touching(on - timedelta(days=HISTORY_DAYS))
        .begun(on)
        .select_related("pen", "bed")
    )
    batches = {
        batch.pk: batch
        for batch in garden.batches.concerning(garden, {stay.batch_id for stay in stays})
    }
    load_log(list(batches.values()))
    forecasts = forecasts_of(batches.values(), on)
    runs = [
        run
        for batch in batches.values()
        if batch.finished_on is None and batch.pk != instead_of
        for run in pen_runs(
            batch, forecasts[batch.pk], on, _standing(stays), quantile=garden.nitrogen_quantile
        )
    ]
    beds = _beds(garden, on)
    pins, spent_pins = _pins(garden, on, beds, runs, stays)
    return GardenFacts(
        garden=garden,
        on=on,
        beds=beds,
        runs=tuple(_in_turns([*runs, *more_runs], on)),
        past=tuple(
            occupied(
                stay,
                batches[stay.batch_id],
                forecasts[stay.batch_id],
                on,
                quantile=garden.nitrogen_quantile,
            )
            for stay in stays
            if stay.bed_id is not None and stay.first_day < on
        ),
        standing=tuple(stay for stay in stays if stay.end_day is None and stay.bed_id is not None),
        pins=pins,
        spent_pins=spent_pins,
        forecasts=forecasts,
    )


def pen_runs(
    batch: Batch,
    forecast: BatchForecast,
    on: date,
    standing: dict[int, Stay],
    *,
    quantile: float,
) -> list[PenRun]:
    """Return a run for each pen of a batch that still has, or will have, days in the garden."""
    first_day = max(on, batch.leaves_brooder_on)
    end_day = batch.processing_on
    if end_day <= on:
        end_day = on + timedelta(days=OVERDUE_DAYS)
    birds = birds_by_pen(batch, on)
    runs = []
    for share in batch.shares.all():
        stay = standing.get(share.pen_id)
        left = birds.get(share.pen_id, 0)
        if left:
            runs.append(
                PenRun(
                    batch=batch,
                    pen=share.pen,
                    birds=left,
                    first_day=first_day,
                    nitrogen_g=tuple(
                        forecast.nitrogen_g_by_day(left, first_day, end_day, quantile=quantile)
                    ),
                    standing=stay if stay and stay.batch_id == batch.pk else None,
                )
            )
    return runs


def _in_turns(runs: Sequence[PenRun], on: date) -> Iterator[PenRun]:
    """Yield the runs with each pen carrying one batch at a time.

    Batches are not given the same pen on the same day, but birds whose processing was put off, or not logged,
    still have theirs when the next ones are due to come out.
    """
    by_pen: dict[int, list[PenRun]] = {}
    for run in runs:
        by_pen.setdefault(run.pen.pk, []).append(run)
    turns = {turn.id: turn for sharing in by_pen.values() for turn in _turns(sharing, on)}
    return (turns[run.id] for run in runs if run.id in turns)


def _turns(runs: list[PenRun], on: date) -> Iterator[PenRun]:
    """Yield the runs of one pen one after the other: first who stands in it, then as they come out."""
    runs = sorted(runs, key=lambda run: (run.standing is None, run.batch.leaves_brooder_on))
    free_on = on
    for run, after in zip_longest(runs, runs[1:]):
        first_day, end_day = max(run.first_day, free_on), run.end_day
        if after and run.batch.processing_on <= on:
            end_day = max(on + timedelta(days=1), min(end_day, after.first_day))
        if first_day < end_day:
            skipped = (first_day - run.first_day).days
            kept = (end_day - run.first_day).days
            yield replace(run, first_day=first_day, nitrogen_g=run.nitrogen_g[skipped:kept])
            free_on = end_day


def _standing(stays: Sequence[Stay]) -> dict[int, Stay]:
    return {stay.pen_id: stay for stay in stays if stay.end_day is None}


def _beds(garden: Garden, on: date) -> dict[int, BedFacts]:
    return {known.bed.pk: known for known in beds_in_use(garden, on)}


def beds_in_use(garden: Garden, on: date) -> list[BedFacts]:
    """Return the beds in use as `bed_facts` does, without crops cleared more than a year ago.

    Nothing that is asked of a day looks further back, and a garden of many years has many of them.
    """
    lately = Planting.objects.filter(ends_on__gt=on - timedelta(days=YEAR_DAYS))
    return bed_facts(garden.beds.in_use(), garden, on, plantings=lately)


def bed_facts(
    beds: QuerySet[Bed], garden: Garden, on: date, *, plantings: QuerySet[Planting] | None = None
) -> list[BedFacts]:
    """Return beds with their crops, closures and soil: three queries, and three more once a day."""
    crops = Planting.objects.all() if plantings is None else plantings
    plantings = Prefetch("plantings", crops.select_related("crop"))
    rows = with_old_stays(with_soil(beds, on), garden, on)
    rows = list(rows.prefetch_related(plantings, "closures"))
    released_g = earlier_release_g(garden, on, rows[0].old_stays) if rows else {}
    return [
        BedFacts(
            bed,
            tuple(planting.dates() for planting in bed.plantings.all()),
            tuple(closure.dates for closure in bed.closures.all()),
            soil_of(bed, garden, on, earlier_g=released_g.get(bed.pk, 0.0)),
        )
        for bed in rows
    ]


def _pins(
    garden: Garden,
    on: date,
    beds: dict[int, BedFacts],
    runs: Sequence[PenRun],
    stays: Sequence[Stay],
) -> tuple[tuple[PinnedStay, ...], tuple[PinnedStay, ...]]:
    """Return the pins that still ask for something, and those that do not."""
    carrying = {(run.batch.pk, run.pen.pk) for run in runs}
    live, spent = [], []
    for pin in PinnedStay.objects.of(garden).select_related("pen", "batch").order_by("pk"):
        asks = pin.end_day > on and pin.bed_id in beds and (pin.batch_id, pin.pen_id) in carrying
        (live if asks and not _has_happened(pin, stays) else spent).append(pin)
    return tuple(live), tuple(spent)


def _has_happened(pin: PinnedStay, stays: Sequence[Stay]) -> bool:
    """Whether the pen has stood there within the days of a pin and has left, late or early."""
    here = stretch_of(pin)
    return any(
        stay.pen_id == pin.pen_id
        and stay.end_day is not None
        and stay.end_day > pin.first_day
        and stay.bed_id is not None
        and here.overlaps(stretch_of(stay))
        for stay in stays
    )


def occupied(
    stay: Stay, batch: Batch, forecast: BatchForecast, on: date, *, quantile: float = 0.5
) -> Occupied:
    """Return the ground of a stay on a bed up to `on`, with what its birds have dropped there.

    Birds are counted day by day; `quantile` is the share of flocks that have dropped no more.
    """
    end_day = min(stay.end_day or on, on)
    dropped_g = careful_nitrogen_g(batch, stay.pen_id, forecast, stay.first_day, end_day, quantile)
    return Occupied(stretch_of(stay), stay.first_day, end_day, dropped_g)


def stretch_of(stay: Stay) -> Stretch:
    """Return the ground of a stay, actual or planned, that is on a bed."""
    pen = stay.pen
    lies_along = abs(stay.stretch_mm - pen.length_mm) <= abs(stay.stretch_mm - pen.width_mm)
    across_mm = pen.width_mm if lies_along else pen.length_mm
    return Stretch(stay.bed_id, stay.offset_mm, stay.stretch_mm, across_mm)
