"""A planned processing day as its page tells it: the plan from rows, and the tape of its hours."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from flocks.carcass import CutMass, MassBand, cut_masses
from flocks.forecasting import forecast_of, paths_of
from flocks.headcount import birds_alive
from flocks.models import Batch, HouseRules, ProcessingDay
from flocks.processing_day import DayInputs, DayPlan, Step, plan_day
from flocks.ready import take_heaviest
from garden.day_words import day_words
from garden.words import gettext as _

TAPE_WIDTH, LANE = 1000.0, 62.0
TAPE_HEIGHT, BAR = 40.0, 22.0
"""Units of the drawing. A choice."""


@dataclass(frozen=True)
class TapeBar:
    """One step on the tape, in units of the drawing."""

    x: float
    width: float
    y: float
    text_x: float
    text_y: float
    anchor: str
    step: Step
    told: str


@dataclass(frozen=True)
class Tape:
    """The hours of a day as a drawing."""

    bars: tuple[TapeBar, ...]
    ticks: tuple[tuple[float, str], ...]
    height: float


def usual_day(batch: Batch, on: date) -> ProcessingDay:
    """Return what a day starts from before anybody has planned one; not saved."""
    alive = max(1, birds_alive(batch, on))
    return ProcessingDay(
        batch=batch, garden=batch.garden, on=max(on, batch.processing_on), birds=alive
    )


def plan_of(day: ProcessingDay, rules: HouseRules, on: date) -> DayPlan:
    """Return the plan of a day; where only part is processed, of the heaviest birds."""
    batch = day.batch
    weight = forecast_of(batch, min(on, day.on)).weight_g(day.on)
    live = MassBand(weight.low, weight.median, weight.high)
    alive = max(day.birds, birds_alive(batch, min(on, day.on)))
    return plan_day(
        DayInputs(
            birds=day.birds,
            live_g=_of_the_heaviest(batch, live, alive, day.birds, on),
            people=day.people,
            pace=day.pace,
            start_min=minutes_of(day.starts_at),
            water_c=day.water_c,
            water_l_per_kg=day.water_l_per_kg,
            crate_m2=day.crate_m2,
            freezer_l=rules.freezer_l,
        )
    )


def _of_the_heaviest(batch: Batch, live: MassBand, alive: int, taken: int, on: date) -> MassBand:
    """Return the mean of the heaviest birds where others stay; later days take what is left as it comes."""
    is_first = not any(row.on < on for row in batch.processing_set.all())
    if taken >= alive or not is_first:
        return live
    cv = paths_of(batch, on).posterior.bird_cv
    return live.times(take_heaviest(alive, taken, cv).taken_mean)


def minutes_of(clock: time) -> int:
    """Return the minutes after midnight."""
    return 60 * clock.hour + clock.minute


def clock_on(day: date, minutes: int) -> str:
    """Write a time, with its day where that is another."""
    at = datetime.combine(day, time()) + timedelta(minutes=minutes)
    told = f"{at:%H:%M}"
    return (
        told
        if at.date() == day
        else _("{time} on {day}").format(time=told, day=day_words(at.date()))
    )


def cuts_of(plan: DayPlan) -> list[CutMass]:
    """Return what all the cuts weigh if every bird is cut up [kg]."""
    return cut_masses(plan.dressed_kg)


def tape_of(plan: DayPlan, on: date) -> Tape:
    """Return the day's steps on a tape."""
    first = min(step.from_min for step in plan.steps) // 60 * 60
    last = -(-max(step.to_min for step in plan.steps) // 60) * 60
    scale = TAPE_WIDTH / (last - first)
    bars = []
    for number, step in enumerate(plan.steps):
        x, width = (step.from_min - first) * scale, (step.to_min - step.from_min) * scale
        top, ends_late = TAPE_HEIGHT + number * LANE, x > TAPE_WIDTH / 2
        bars.append(
            TapeBar(
                x=round(x, 1),
                width=round(max(6.0, width), 1),
                y=top + LANE - BAR - 6,
                text_x=round(min(TAPE_WIDTH, x + width) if ends_late else x, 1),
                text_y=top + LANE - BAR - 12,
                anchor="end" if ends_late else "start",
                step=step,
                told=_("{start} to {end}").format(
                    start=clock_on(on, step.from_min), end=clock_on(on, step.to_min)
                ),
            )
        )
    hours = range(first, last + 1, 60 if last - first <= 780 else 120)
    ticks = tuple((round((at - first) * scale, 1), f"{at // 60 % 24}") for at in hours)
    return Tape(tuple(bars), ticks, TAPE_HEIGHT + len(plan.steps) * LANE + 6)
