"""A garden's facts as rotation problems, one for each size of pen, and the way back from their stays.

Spots of one problem never share ground, but the places of a long pen and of a short one on the same bed do.
So pens of one outside size are planned together, the largest first because it has the fewest places, and
what is decided for it is ground taken when the next size is planned. Each part keeps every rule and carries
its own proof; together they are a valid plan whose bound holds for this order of sizes.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import groupby

from rotation.engine.problem import Costs, OffBed, Problem, Rules, Run, Spot, stay_of
from rotation.engine.problem import Stay as EngineStay
from rotation.facts import GardenFacts, PenRun, stretch_of
from rotation.ground import Horizon, spot, stretches
from rotation.models import PlannedStay
from rotation.spans import BrokenPin, Whereabouts, ground_pinned, pinned
from rotation.stretches import Occupied, Stretch, on_bed

COSTS = Costs(
    move=10.0,
    carry_per_metre=0.2,
    off_bed_day=200.0,
    wanted_nitrogen_per_gram=0.05,
    changed_day=8.0,
)
"""What one thing is worth against another, in moves of ten. Our choice: a day off the beds costs twenty
moves, a day told otherwise about as much as one."""
LONGEST_HORIZON_DAYS = 366
NOW = "/now"
"""Ends the name of the spot on which a pen goes on standing, as against coming back to it."""


@dataclass(frozen=True)
class SizeProblem:
    """The problem of all pens of one size, with what its names stand for."""

    problem: Problem
    runs: dict[str, PenRun]
    stretches: dict[str, Stretch]
    horizon: Horizon
    broken_pins: tuple[BrokenPin, ...] = ()
    """What the grower has fixed that breaks a rule; the problem goes without it."""
    whereabouts: tuple[Whereabouts, ...] = ()


def horizon_of(facts: GardenFacts) -> Horizon:
    """Return the days from today to the last bird's last day, at most a year."""
    days = max(((run.end_day - facts.on).days for run in facts.runs), default=0)
    return Horizon(facts.on, min(days, LONGEST_HORIZON_DAYS))


def sizes_of(facts: GardenFacts) -> list[list[PenRun]]:
    """Return the runs that begin within the horizon in groups of one pen size, the largest pens first."""

    def size(run: PenRun) -> tuple[float, float]:
        return run.pen.length_mm, run.pen.width_mm

    end_day = horizon_of(facts).end_day
    near = (run for run in facts.runs if run.first_day < end_day)
    runs = sorted(near, key=lambda run: (-size(run)[0] * size(run)[1], size(run)))
    return [list(group) for _, group in groupby(runs, key=size)]


def size_problem(
    facts: GardenFacts,
    runs: Sequence[PenRun],
    *,
    decided: Sequence[Occupied],
    announced: Sequence[PlannedStay],
) -> SizeProblem:
    """Return the problem of pens of one size.

    Parameters
    ----------
    runs : sequence of PenRun
        One group of `sizes_of`.
    decided : sequence of Occupied
        Future stays of larger pens.
    announced : sequence of PlannedStay
        What the grower was told.
    """
    garden, horizon = facts.garden, horizon_of(facts)
    places = {
        place.id: place
        for bed in facts.beds.values()
        for place in stretches(bed.bed, runs[0].pen, garden)
    }
    taken = [*facts.past, *decided, *_kept_for_smaller(facts, runs)]
    dropped, resting = on_bed(taken), on_bed([*taken, *_standing_on(facts)])
    spots = {
        name: spot(
            facts.beds[place.bed_id],
            place,
            garden,
            horizon,
            name=name,
            dropped=dropped[place.bed_id],
            resting=resting[place.bed_id],
        )
        for name, place in places.items()
    }
    common = tuple(places)
    whereabouts = []
    for run in runs:
        now = _spot_now(facts, run, horizon, taken)
        if now is not None:
            spots[now.id], places[now.id] = now, stretch_of(run.standing)
        names = (*common, now.id) if now else common
        whereabouts.append(Whereabouts(run, names, now and now.id, places, horizon))
    unpinned = Problem(
        days=horizon.days,
        rules=Rules(garden.min_stay_days, garden.max_stay_days, garden.rest_days),
        costs=COSTS,
        spots=tuple(spots.values()),
        runs=tuple(_engine_run(at, announced) for at in whereabouts),
    )
    problem, broken = pinned(unpinned, whereabouts, facts)
    return SizeProblem(
        problem, {run.id: run for run in runs}, places, horizon, broken, tuple(whereabouts)
    )


def _kept_for_smaller(facts: GardenFacts, runs: Sequence[PenRun]) -> Iterable[Occupied]:
    """Return the ground of what is fixed for pens that are planned after these."""
    sizes = sizes_of(facts)
    # A batch that is planned by itself beside the others is not among the garden's own sizes.
    turn = next((turn for turn, group in enumerate(sizes) if runs[0] in group), len(sizes))
    return (stay for group in sizes[turn + 1 :] for stay in ground_pinned(facts, group))


def _standing_on(facts: GardenFacts) -> Iterable[Occupied]:
    """Return the ground that pens hold now, for as long as they may at most stay on it."""
    carrying = {run.pen.pk: run for run in facts.runs}
    for stay in facts.standing:
        days = _days_left(facts, stay) if stay.pen_id in carrying else 0
        end_day = max(facts.on + timedelta(days=days), stay.first_day + timedelta(days=1))
        yield Occupied(stretch_of(stay), stay.first_day, end_day, 0.0)


def _days_left(facts: GardenFacts, stay: object) -> int:
    return max(0, facts.garden.max_stay_days - (facts.on - stay.first_day).days)


def _spot_now(
    facts: GardenFacts, run: PenRun, horizon: Horizon, taken: Sequence[Occupied]
) -> Spot | None:
    """Return the spot on which a pen may go on standing; only this pen may use it.

    It is a spot of its own, because a pen that leaves today and comes back owes the rest since today, which
    the engine cannot know of a stay that is not in its plan.
    """
    stay = run.standing
    if stay is None or stay.bed_id not in facts.beds or run.first_day > facts.on:
        return None
    days_left = _days_left(facts, stay)
    if not days_left:
        return None
    here = stretch_of(stay)
    short = Horizon(horizon.first_day, min(days_left, horizon.days))
    others = [
        Occupied(stretch_of(other), other.first_day, facts.on + timedelta(days=1), 0.0)
        for other in facts.standing
        if other.pk != stay.pk
    ]
    ground = spot(
        facts.beds[stay.bed_id],
        here,
        facts.garden,
        short,
        name=here.id + NOW,
        dropped=taken,
        resting=others,
    )
    # What opens later is no use: the pen would have left by then.
    return replace(ground, windows=tuple(w for w in ground.windows if w.first_day == 0))


def _engine_run(at: Whereabouts, announced: Sequence[PlannedStay]) -> Run:
    run, horizon = at.run, at.horizon
    told = [
        stay for stay in announced if stay.batch_id == run.batch.pk and stay.pen_id == run.pen.pk
    ]
    days = horizon.days - horizon.index(run.first_day)
    return Run(
        id=run.id,
        first_day=horizon.index(run.first_day),
        nitrogen_g=run.nitrogen_g[:days],
        spots=at.names,
        starts_on=at.now,
        stood_days=(horizon.first_day - run.standing.first_day).days if at.now else 0,
        announced=tuple(span for stay in told if (span := at.told(stay))),
    )


def occupied_by(part: SizeProblem, stays: Iterable[EngineStay]) -> list[Occupied]:
    """Return engine stays as ground taken, for the sizes planned after."""
    return [
        Occupied(
            part.stretches[stay.spot],
            part.horizon.first_day + timedelta(days=stay.first_day),
            part.horizon.first_day + timedelta(days=stay.end_day),
            stay.nitrogen_g,
        )
        for stay in stays
    ]


def rows_of(
    part: SizeProblem, stays: Iterable[EngineStay], off_bed: Iterable[OffBed]
) -> list[PlannedStay]:
    """Return stays and days off the beds as unsaved rows."""

    def row(run_id: str, first_day: int, end_day: int, **rest: object) -> PlannedStay:
        run = part.runs[run_id]
        return PlannedStay(
            pen=run.pen,
            batch=run.batch,
            first_day=_day(part, first_day),
            end_day=_day(part, end_day),
            **rest,
        )

    on_beds = [
        row(
            stay.run,
            stay.first_day,
            stay.end_day,
            bed_id=part.stretches[stay.spot].bed_id,
            offset_mm=part.stretches[stay.spot].offset_mm,
            stretch_mm=part.stretches[stay.spot].length_mm,
            nitrogen_g=stay.nitrogen_g,
        )
        for stay in stays
    ]
    off = [
        row(days.run, days.first_day, days.end_day, because=dict(days.because)) for days in off_bed
    ]
    return on_beds + off


def announced_stays(part: SizeProblem) -> list[EngineStay]:
    """Return the stays that the grower was told, so far as they still name a spot of the problem."""
    return [
        stay_of(run, span.spot, span.first_day, span.end_day)
        for run in part.problem.runs
        for span in run.announced
    ]


def stays_in(part: SizeProblem, rows: Iterable[PlannedStay]) -> list[EngineStay]:
    """Return other rows than were announced as stays of the problem, so far as they name a spot of it."""
    found = {(at.run.batch.pk, at.run.pen.pk): at for at in part.whereabouts}
    runs = {run.id: run for run in part.problem.runs}
    placed = ((found.get((row.batch_id, row.pen_id)), row) for row in rows)
    return [
        stay_of(runs[at.run.id], span.spot, span.first_day, span.end_day)
        for at, row in placed
        if at and (span := at.told(row))
    ]


def _day(part: SizeProblem, index: int) -> date:
    return part.horizon.first_day + timedelta(days=index)
