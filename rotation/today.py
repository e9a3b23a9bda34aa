"""What to do today: a garden's rows made into the values that the page shows."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, time, timedelta

from flocks.brooding import safe_night_low_c
from flocks.engine_rows import names_a_sex
from flocks.feed import WATER_MILD_C, phase_on, water_litres
from flocks.forecasting import BatchForecast, diet_of, forecast_of
from flocks.headcount import birds_alive, birds_by_pen
from flocks.models import Batch
from garden.harvest_interval import first_safe_harvest
from garden.models import Bed, Garden, Planting
from garden.sun import sun_day
from garden.units import FEED_MASS, TEMPERATURE
from garden.words import gettext as _
from pens.models import Pen
from rotation.batch_day import BatchDay
from rotation.batch_log import Line
from rotation.carrying import place_in_words
from rotation.chores import Chore, Left, chores_of
from rotation.day_books import DayBooks, day_books
from rotation.day_notes import Mark
from rotation.day_parts import part_at
from rotation.day_rows import DayRows, rows_of
from rotation.day_sheet import DueMove, PenDay, Place, Planned, Standing, settled, tomorrow_of
from rotation.day_weather import day_weather
from rotation.done_things import done_things
from rotation.ground import Stretch, centre_m, stretches
from rotation.models import ChoreMark, Ground, PlannedStay, Stay
from rotation.tasks import DaySheet, NotPossible, UnsafeHarvest, due_moves, tasks_of

EARLY = time(8)


def day_sheet(garden: Garden, on: date, clock: time = EARLY) -> DaySheet:
    """Return all that a garden asks of its people; eight queries, two without birds.

    Parameters
    ----------
    garden : Garden
    on : date
    clock : time, default early in the morning
        By the garden's own clock: it says what comes first.
    """
    rows, tomorrow = rows_of(garden, on), on + timedelta(days=1)
    books = day_books(garden, on, tomorrow) if rows.batches else DayBooks()
    pens, batches = _pens_and_batches(garden, rows, books, on)
    sun = sun_day(*garden.place, on, garden.time_zone) if garden.place else None
    part = part_at(clock, sun)
    sky = day_weather(garden, batches, pens, rows, on) if batches else None
    moves = due_moves(on, pens)
    hatched = [batch for batch in batches if batch.hatch_on <= on]
    chores = chores_of(
        on,
        hatched,
        pens,
        moves=moves,
        left=_left_today(garden, rows, on),
        system=garden.unit_system,
        air_c=sky and sky.weather.high_c,
        sunset=sun.dusk if sun else "",
    )
    ticked = {mark.chore: mark for mark in rows.marks if mark.mark == ChoreMark.Mark.DONE}
    cannot = {mark.chore: mark for mark in rows.marks if mark.mark == ChoreMark.Mark.CANNOT}
    put_off = {mark.chore: _name(mark) for mark in rows.marks if mark.mark == ChoreMark.Mark.LATER}
    open_chores = [chore for chore in chores if chore.key not in ticked]
    return DaySheet(
        on=on,
        batches=tuple(batches),
        tasks=tasks_of(on, hatched, moves, open_chores, put_off, cannot=cannot, part=part),
        settled=tuple(pen for each in pens if (pen := settled(each, on))),
        tomorrow=tuple(tomorrow_of(pen, on) for pen in pens if _is_out_after(pen, on)),
        unplanned=tuple(pen for pen in pens if pen.is_unplanned(on)),
        crowded=tuple(pen for pen in pens if pen.crowded_on),
        unsafe=tuple(_unsafe(garden, rows.plantings, on)),
        done=tuple(done_things(garden, rows, chores, ticked, on)),
        planned_on=next((stay.plan.from_day for stay in rows.planned), None),
        not_possible=tuple(_not_possible(cannot, [*moves, *chores], hatched)),
        part=part,
        sun=sun,
        weather=sky and sky.weather,
        cautions=sky.cautions if sky else (),
        cautions_tomorrow=sky.tomorrow if sky else (),
        hands=books.hands(on),
        hands_tomorrow=books.hands(tomorrow),
        feeds=books.feeds,
    )


def _not_possible(
    cannot: Mapping[str, Mark], titled: Iterable[DueMove | Chore], batches: Iterable[BatchDay]
) -> Iterable[NotPossible]:
    titles = {one.key: one.title for one in titled}
    titles |= {
        f"processing:{batch.id}": _("Process {batch}").format(batch=batch.name) for batch in batches
    }
    for key, mark in cannot.items():
        if key in titles:
            yield NotPossible(key=key, words=titles[key], reason=_(mark.reason), by=_name(mark))


def _is_out_after(pen: PenDay, on: date) -> bool:
    """Say whether its birds are outdoors, and not processed, on the day after."""
    tomorrow = on + timedelta(days=1)
    return pen.batch.leaves_brooder_on <= tomorrow != pen.batch.processing_on


def _name(mark: Mark) -> str:
    return str(mark.marked_by or _("somebody"))


def _pens_and_batches(
    garden: Garden, rows: DayRows, books: DayBooks, on: date
) -> tuple[list[PenDay], list[BatchDay]]:
    pens, batches = [], []
    for batch in rows.batches:
        forecast = forecast_of(batch, on)
        told = _batch_day(garden, batch, forecast, rows.log, books, on)
        batches.append(told)
        alive = birds_by_pen(batch, on)
        pens += [
            _pen_day(garden, share.pen, alive[share.pen_id], told, forecast, rows, on)
            for share in batch.shares.all()
            if alive[share.pen_id]
        ]
    return pens, batches


def as_weighed(mass_kg: float, garden: Garden) -> float:
    """Round a mass of feed as it is shown, so that what is logged is what was read [kg]."""
    return FEED_MASS.read(FEED_MASS.show(mass_kg, garden.unit_system), garden.unit_system)


def _batch_day(
    garden: Garden,
    batch: Batch,
    forecast: BatchForecast,
    log: Iterable[Line],
    books: DayBooks,
    on: date,
) -> BatchDay:
    mine = [line for line in log if line.batch_id == batch.pk and line.on <= on]
    weighed = [line.on for line in mine if line.kind == "weighing"]
    diet, age, alive = diet_of(batch.strain), batch.age_days(on), birds_alive(batch, on)
    night_c = safe_night_low_c(age)
    eaten_kg = forecast.feed_kg(alive, on)
    return BatchDay(
        id=batch.pk,
        name=batch.name,
        age_days=age,
        birds=alive,
        hatch_on=batch.hatch_on,
        leaves_brooder_on=batch.leaves_brooder_on,
        processing_on=batch.processing_on,
        weight_g=forecast.weight_g(on).median,
        feed_name=_(phase_on(diet, age).name),
        feed_name_tomorrow=_(phase_on(diet, age + 1).name),
        weighed_on=max(weighed, default=None),
        brooder_feed_kg=as_weighed(eaten_kg, garden),
        coldest_night="" if night_c is None else TEMPERATURE.show(night_c, garden.unit_system),
        fed_in_brooder=any(line.kind == "feedrecord" and line.on == on for line in mine),
        due=books.processings(batch, alive),
        water_l=water_litres(1000 * eaten_kg, WATER_MILD_C),
        watered=any(line.kind == "waterrecord" and line.on == on for line in mine),
        pens=tuple((share.pen_id, share.pen.name) for share in batch.shares.all()),
        both_sexes=not names_a_sex(batch.strain),
    )


def _pen_day(
    garden: Garden,
    pen: Pen,
    alive: int,
    batch: BatchDay,
    forecast: BatchForecast,
    rows: DayRows,
    on: date,
) -> PenDay:
    tomorrow = on + timedelta(days=1)
    planned = [stay for stay in rows.planned if (stay.pen_id, stay.batch_id) == (pen.pk, batch.id)]
    first_outdoors = max(on, batch.leaves_brooder_on)
    return PenDay(
        id=pen.pk,
        name=pen.name,
        batch=batch,
        birds=alive,
        feed_kg=as_weighed(forecast.feed_kg(alive, on), garden),
        feed_tomorrow_kg=forecast.feed_kg(alive, tomorrow),
        nitrogen_g=forecast.nitrogen_g_by_day(alive, on, tomorrow)[0],
        standing=_standing(garden, pen, batch.id, rows.stays),
        now=_planned_on(on, garden, planned, rows),
        after=_planned_on(tomorrow, garden, planned, rows),
        fed_today=any(_feeds(line, pen, batch, on) for line in rows.log),
        crowded_on=forecast.crowded_on(
            alive, pen.floor_m2, garden.density_limit_kg_m2, first_outdoors, batch.processing_on
        ),
    )


def _feeds(line: Line, pen: Pen, batch: BatchDay, on: date) -> bool:
    """Say whether a line is feed given today to a pen, or to all of its batch."""
    fed = line.kind == "feedrecord" and line.batch_id == batch.id and line.on == on
    return fed and line.pen_id in (None, pen.pk)


def _standing(garden: Garden, pen: Pen, batch_id: int, stays: Iterable[Stay]) -> Standing | None:
    for stay in stays:
        if stay.pen_id == pen.pk and stay.batch_id == batch_id and stay.end_day is None:
            return Standing(id=stay.pk, place=place_of(garden, stay), first_day=stay.first_day)
    return None


def place_of(garden: Garden, ground: Ground) -> Place:
    """Return where a stay is, in words and on the map; reads its bed and pen."""
    if ground.bed is None:
        return Place()
    offsets_mm = [place.offset_mm for place in stretches(ground.bed, ground.pen, garden)]
    here = Stretch(ground.bed_id, ground.offset_mm, ground.stretch_mm)
    return Place(
        bed_id=ground.bed_id,
        bed_name=ground.bed.name,
        offset_mm=ground.offset_mm,
        words=place_in_words(ground.offset_mm, offsets_mm, lies_across=ground.bed.lies_across),
        centre_m=centre_m(ground.bed, here),
        is_walled=ground.bed.kind == Bed.Kind.RAISED,
    )


def _planned_on(
    day: date, garden: Garden, planned: Sequence[PlannedStay], rows: DayRows
) -> Planned | None:
    stay = next((stay for stay in planned if stay.first_day <= day < stay.end_day), None)
    if stay is None:
        return None
    crops = (
        crop for crop in rows.plantings if crop.bed_id == stay.bed_id and crop.starts_on >= day
    )
    crop = min(crops, key=lambda crop: crop.starts_on, default=None)
    return Planned(
        place=place_of(garden, stay),
        first_day=stay.first_day,
        told_since=_told_since(stay, rows.told),
        end_day=stay.end_day,
        nitrogen_g=stay.nitrogen_g,
        because=stay.because,
        next_crop=crop.crop.name if crop else "",
        next_crop_on=crop.starts_on if crop else None,
        birds_left_on=stay.birds_left_on,
    )


def _told_since(stay: PlannedStay, told: Iterable[PlannedStay]) -> date:
    """Return the day from which the grower has been told, without a break, that the pen stands there."""
    since = stay.first_day
    same = [
        before
        for before in told
        if (before.pen_id, before.batch_id, before.place)
        == (stay.pen_id, stay.batch_id, stay.place)
    ]
    for before in sorted(same, key=lambda before: before.first_day, reverse=True):
        if before.first_day < since <= before.end_day:
            since = before.first_day
    return since


def _left_today(garden: Garden, rows: DayRows, on: date) -> list[Left]:
    if not garden.mixed_in:
        return []
    left = {stay.bed for stay in rows.stays if stay.end_day == on and stay.bed}
    return [
        Left(bed_id=bed.pk, bed_name=bed.name)
        for bed in sorted(left, key=lambda bed: bed.pk)
        if bed.grows_crops
    ]


def _unsafe(garden: Garden, plantings: Iterable[Planting], on: date) -> Iterable[UnsafeHarvest]:
    """Return the crops picked before their bed is safe, the soonest first."""
    rule = garden.harvest_rule()
    for planting in sorted(plantings, key=lambda planting: planting.first_harvest_on):
        birds_left = planting.birds_left_on
        starts = [birds_left and garden.interval_starts_on(birds_left), planting.raw_on]
        counted_from = max(filter(None, starts), default=None)
        if counted_from is None:
            continue
        safe_on = first_safe_harvest(counted_from, planting.crop.contact, rule)
        if planting.first_harvest_on < safe_on and safe_on > on:
            yield UnsafeHarvest(
                crop=planting.crop.name,
                bed=planting.bed.name,
                bed_id=planting.bed_id,
                first_harvest_on=planting.first_harvest_on,
                safe_on=safe_on,
                over_before=planting.ends_on <= safe_on,
            )
