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
from garden.words import gettext as _
from garden.words import mark
from rotation.bird_counts import birds, chicks
from rotation.day_sheet import BatchDay, DueMove, MoveKind, PenDay

WEIGH_EVERY_DAYS = 7
"""Days from one weighing to the next [day]. Weekly, from memory."""
FIRST_WEIGHING_DAYS = 14
"""Age at which chicks are first worth weighing [day]. Our choice."""
WEIGH_BIRDS = 10
"""Birds in a weighing [1]. Ten a week, from memory."""


class Act(StrEnum):
    """How a chore is marked done: by a tick, by logging the feed told, or by a weighing."""

    TICK = "tick"
    FEED = "feed"
    WEIGH = "weigh"


class Part(StrEnum):
    """The part of the day a chore belongs to."""

    MORNING = mark("Morning")
    MIDDAY = mark("Midday")
    EVENING = mark("Evening")


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
            title=_("Feed {pen}").format(pen=pen.name),
            detail=_("{mass} of {feed} for {birds}").format(
                mass=_told(pen.feed_kg, system), feed=pen.batch.feed_name, birds=birds(pen.birds)
            ),
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
                title=_("Feed the chicks of {batch}").format(batch=batch.name),
                detail=_("{mass} of {feed} for {birds}").format(
                    mass=_told(batch.brooder_feed_kg, system),
                    feed=batch.feed_name,
                    birds=chicks(batch.birds),
                ),
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
    detail = (
        _("About {water} in all, for {air}")
        if is_warm
        else _("About {water} in all; half as much again in heat")
    )
    yield Chore(
        key="water",
        part=Part.MORNING,
        title=_("Rinse and fill the drinkers"),
        detail=detail.format(
            water=water_in_words(litres, system),
            air=TEMPERATURE.show(air_c, system) if is_warm else "",
        ),
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
            title=_("Mix the droppings in on {bed}").format(bed=bed.bed_name),
            detail=_("The wait before harvest counts from today"),
        )


def _brooders(on: date, batches: Sequence[BatchDay], system: System) -> Iterator[Chore]:
    for batch in batches:
        if batch.in_brooder(on):
            week = brooder_needs(batch.age_days)
            yield Chore(
                key=f"brooder:{batch.id}",
                part=Part.MORNING,
                title=_("Look at the chicks of {batch}").format(batch=batch.name),
                detail=_(
                    "{low} to {high} at their height. Huddled is too cold, far from the heat too hot"
                ).format(
                    low=TEMPERATURE.show(week.low_c, system),
                    high=TEMPERATURE.show(week.high_c, system),
                ),
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
                title=_("Weigh {birds} of {batch}").format(
                    birds=birds(min(WEIGH_BIRDS, batch.birds)), batch=batch.name
                ),
                detail=_("Before feeding, picked as they come")
                if batch.weighed_on
                else _("Before feeding, picked as they come. Not weighed yet"),
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
                title=_("Lift the droppings under {pen}").format(pen=pen.name),
                detail=_("For the compost heap: it stands off the beds"),
            )


def _outdoors(outside: Sequence[PenDay], sunset: str) -> Iterator[Chore]:
    if not outside:
        return
    names = ", ".join(pen.name for pen in outside)
    yield Chore(
        key="shade",
        part=Part.MIDDAY,
        title=_("Check shade and water"),
        detail=_("Panting, wings held out: shade and cool water now, no handling"),
    )
    detail = (
        _("{pens}. The sun sets at {time}").format(pens=names, time=sunset) if sunset else names
    )
    yield Chore(key="dusk", part=Part.EVENING, title=_("Shut up for the night"), detail=detail)


def _withdrawals(on: date, batches: Sequence[BatchDay]) -> Iterator[Chore]:
    for batch in batches:
        for due in batch.processings:
            if due.on != on + timedelta(days=1) or due.wait:
                continue
            title = (
                _("Take the feed from {birds} of {batch}")
                if due.birds < batch.birds
                else _("Take the feed from {batch}")
            )
            yield Chore(
                key=f"withdraw:{batch.id}",
                part=Part.EVENING,
                title=title.format(birds=due.birds, batch=batch.name),
                detail=due.feed_off,
            )
