"""The chores of a day beside moving the pens, in the order of the day, each under a key that keeps for the day.

PURE. Masses are kg where the name says so and grams otherwise.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

from flocks.brooding import brooder_needs
from flocks.feed import WATER_MILD_C, water_in_words, water_litres
from garden.units import FEED_MASS, TEMPERATURE, System
from rotation.day_sheet import BatchDay, DueMove, MoveKind, PenDay

WEIGH_EVERY_DAYS = 7
"""Days from one weighing to the next [day]. Weekly, from memory."""
FIRST_WEIGHING_DAYS = 14
"""Age at which chicks are first worth weighing [day]. Our choice."""
WEIGH_HOW = "Before feeding, picked as they come"
WEIGH_BIRDS = 10
"""Birds in a weighing [1]. Ten a week, from memory."""


class Act(StrEnum):
    """How a chore is marked done: by a tick, by logging the feed told, or by a weighing."""

    TICK = "tick"
    FEED = "feed"
    WEIGH = "weigh"


class Part(StrEnum):
    """The part of the day a chore belongs to."""

    MORNING = "Morning"
    MIDDAY = "Midday"
    EVENING = "Evening"


@dataclass(frozen=True, kw_only=True)
class Chore:
    """One thing to do; `batch_id`, `pen_id` and `feed_kg` say what a tick on it logs.

    `why` names the working of its figure for `garden.workings`, with the inputs in `working`.
    """

    key: str
    part: Part
    title: str
    detail: str = ""
    act: Act = Act.TICK
    batch_id: int | None = None
    pen_id: int | None = None
    feed_kg: float | None = None
    due_on: date | None = None
    why: str = ""
    working: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Left:
    """A bed that a pen left on the day, where the droppings are to be mixed in."""

    bed_id: int
    bed_name: str


def chores_of(
    on: date,
    batches: Sequence[BatchDay],
    pens: Sequence[PenDay],
    *,
    moves: Sequence[DueMove] = (),
    left: Sequence[Left] = (),
    system: System = "metric",
    air_c: float | None = None,
    sunset: str = "",
) -> tuple[Chore, ...]:
    """Return the chores of a day, in the order of the day.

    Parameters
    ----------
    batches : sequence of BatchDay
        Unfinished batches that have hatched.
    pens : sequence of PenDay
        Pens with birds of those batches, or with birds to come out to them.
    moves : sequence of DueMove
        Moves still to make, done or put off; birds that come out today eat in their pen.
    left : sequence of Left
        Beds that pens left today, where the garden mixes the droppings in.
    system : {"metric", "us"}
        The units that masses are told in.
    air_c : float, optional
        The day's warmest air, for the drinkers. [°C]
    sunset : str, optional
        When the sun sets, as the page writes it.
    """
    outside = [pen for pen in pens if pen.standing or _comes_out(pen, moves)]
    return (
        *_feeding(on, batches, outside, system),
        *_water(on, batches, outside, system, air_c),
        *_mixing(left),
        *_brooders(on, batches, system),
        *_weighings(on, batches),
        *_off_beds(pens),
        *_outdoors(outside, sunset),
        *_withdrawals(on, batches),
    )


def _comes_out(pen: PenDay, moves: Sequence[DueMove]) -> bool:
    return any(move.kind is MoveKind.OUT and move.pen.id == pen.id for move in moves)


def _feeding(
    on: date, batches: Sequence[BatchDay], outside: Sequence[PenDay], system: System
) -> Iterator[Chore]:
    """Feed every pen and brooder that has not been fed, but nobody who is processed today."""
    for pen in outside:
        if pen.batch.goes_on(on) or pen.fed_today or not pen.birds:
            continue
        yield Chore(
            key=f"feed:{pen.batch.id}:{pen.id}",
            part=Part.MORNING,
            title=f"Feed {pen.name}",
            detail=f"{_told(pen.feed_kg, system)} of {pen.batch.feed_name} for {birds(pen.birds)}",
            act=Act.FEED,
            batch_id=pen.batch.id,
            pen_id=pen.id,
            feed_kg=pen.feed_kg,
            why="feed",
            working=_eaters(pen.batch, pen.birds),
        )
    for batch in batches:
        if batch.in_brooder(on) and not batch.fed_in_brooder and batch.birds:
            yield Chore(
                key=f"feed:{batch.id}:brooder",
                part=Part.MORNING,
                title=f"Feed the chicks of {batch.name}",
                detail=f"{_told(batch.brooder_feed_kg, system)} of {batch.feed_name} for "
                f"{birds(batch.birds, 'chick')}",
                act=Act.FEED,
                batch_id=batch.id,
                feed_kg=batch.brooder_feed_kg,
                why="feed",
                working=_eaters(batch, batch.birds),
            )


def _eaters(batch: BatchDay, count: int) -> dict[str, str]:
    return {
        "birds": str(count),
        "age": str(batch.age_days),
        "feed": batch.feed_name,
        "batch": batch.name,
    }


def _told(mass_kg: float, system: System) -> str:
    return FEED_MASS.show(mass_kg, system)


def birds(count: int, kind: str = "bird") -> str:
    """Write a count: ``1 bird``, ``12 birds``."""
    return f"{count} {kind}" if count == 1 else f"{count} {kind}s"


def _water(
    on: date,
    batches: Sequence[BatchDay],
    outside: Sequence[PenDay],
    system: System,
    air_c: float | None,
) -> Iterator[Chore]:
    feed_kg = sum(pen.feed_kg for pen in outside)
    feed_kg += sum(batch.brooder_feed_kg for batch in batches if batch.in_brooder(on))
    if feed_kg <= 0 or all(batch.watered for batch in batches if batch.birds):
        return
    is_warm = air_c is not None and air_c > WATER_MILD_C
    litres = water_litres(feed_kg * 1000, air_c if is_warm else WATER_MILD_C)
    heat = f"for {TEMPERATURE.show(air_c, system)}" if is_warm else "half as much again in heat"
    yield Chore(
        key="water",
        part=Part.MORNING,
        title="Rinse and fill the drinkers",
        detail=f"About {water_in_words(litres, system)} in all{',' if is_warm else ';'} {heat}",
        why="water",
        working={
            "feed": _told(feed_kg, system),
            "degrees": TEMPERATURE.show(air_c if is_warm else WATER_MILD_C, system),
        },
    )


def _mixing(left: Sequence[Left]) -> Iterator[Chore]:
    for bed in left:
        yield Chore(
            key=f"mix:{bed.bed_id}",
            part=Part.MORNING,
            title=f"Mix the droppings in on {bed.bed_name}",
            detail="The wait before harvest counts from today",
        )


def _brooders(on: date, batches: Sequence[BatchDay], system: System) -> Iterator[Chore]:
    for batch in batches:
        if batch.in_brooder(on):
            week = brooder_needs(batch.age_days)
            warmth = (
                f"{TEMPERATURE.show(week.low_c, system)} to {TEMPERATURE.show(week.high_c, system)}"
            )
            yield Chore(
                key=f"brooder:{batch.id}",
                part=Part.MORNING,
                title=f"Look at the chicks of {batch.name}",
                detail=f"{warmth} at their height. Huddled is too cold, far from the heat too hot",
            )


def weighing_due_on(batch: BatchDay) -> date:
    """Return the day on which a batch is next to be weighed."""
    if batch.weighed_on:
        return batch.weighed_on + timedelta(days=WEIGH_EVERY_DAYS)
    return batch.hatch_on + timedelta(days=FIRST_WEIGHING_DAYS)


def _weighings(on: date, batches: Sequence[BatchDay]) -> Iterator[Chore]:
    for batch in batches:
        due_on = weighing_due_on(batch)
        if due_on <= on < batch.processing_on and batch.birds:
            yield Chore(
                key=f"weigh:{batch.id}",
                part=Part.MORNING,
                title=f"Weigh {birds(min(WEIGH_BIRDS, batch.birds))} of {batch.name}",
                detail=WEIGH_HOW if batch.weighed_on else f"{WEIGH_HOW}. Not weighed yet",
                act=Act.WEIGH,
                batch_id=batch.id,
                due_on=due_on if batch.weighed_on else None,
            )


def _off_beds(pens: Sequence[PenDay]) -> Iterator[Chore]:
    for pen in pens:
        if pen.standing and pen.standing.place.bed_id is None:
            yield Chore(
                key=f"lift:{pen.id}",
                part=Part.MORNING,
                title=f"Lift the droppings under {pen.name}",
                detail="For the compost heap: it stands off the beds",
            )


def _outdoors(outside: Sequence[PenDay], sunset: str) -> Iterator[Chore]:
    if not outside:
        return
    names = ", ".join(pen.name for pen in outside)
    yield Chore(
        key="shade",
        part=Part.MIDDAY,
        title="Check shade and water",
        detail="Panting, wings held out: shade and cool water now, no handling",
    )
    dark = f". The sun sets at {sunset}" if sunset else ""
    yield Chore(
        key="dusk", part=Part.EVENING, title="Shut up for the night", detail=f"{names}{dark}"
    )


def _withdrawals(on: date, batches: Sequence[BatchDay]) -> Iterator[Chore]:
    for batch in batches:
        for due in batch.processings:
            if due.on != on + timedelta(days=1) or due.wait:
                continue
            some = f"{due.birds} of " if due.birds < batch.birds else ""
            yield Chore(
                key=f"withdraw:{batch.id}",
                part=Part.EVENING,
                title=f"Take the feed from {some}{batch.name}",
                detail=due.feed_off,
            )
