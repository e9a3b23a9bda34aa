"""The garden's beds put on the map: what stands, rests and comes next on each."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta

from garden.day_words import weekday_words
from garden.models import Bed, Garden
from garden.words import gettext as _
from rotation.bed_map import BedMap, bed_map, bed_marks
from rotation.bed_records import BedRecord, GardenRecords
from rotation.bed_state import BedState
from rotation.ground_days import Use
from rotation.map_beds import MapBed, Part
from rotation.models import PlannedStay
from rotation.moves import Move

ROOM_M = 2.0
"""Ground shown beyond the last beds where beds are moved [m]. Our choice: a bed's width and a path."""


def garden_map(records: GardenRecords, moves: Iterable[Move]) -> BedMap | None:
    """Draw a garden; None where it has no beds."""
    going = next_places(moves)
    marks = bed_marks([record.bed.name for record in records.beds])
    beds = [
        _map_bed(record, mark, [stay for stay in going if stay.bed_id == record.bed.pk])
        for record, mark in zip(records.beds, marks, strict=True)
    ]
    return bed_map(beds, in_feet=records.garden.unit_system == Garden.UnitSystem.US)


def plain_map(garden: Garden, beds: Sequence[Bed]) -> BedMap | None:
    """Draw beds by their marks alone, from the map's corner on and with ground to move them to."""
    marks = bed_marks([bed.name for bed in beds])
    plain = BedState(Use.FREE, "")
    drawn = [_placed(bed, mark, plain, ()) for bed, mark in zip(beds, marks, strict=True)]
    return bed_map(drawn, in_feet=garden.unit_system == Garden.UnitSystem.US, room_m=ROOM_M)


def next_places(moves: Iterable[Move]) -> list[PlannedStay]:
    """Return where each pen goes next, the one place for each pen."""
    places: dict[int, PlannedStay] = {}
    for move in moves:
        if move.stay.bed_id and not move.goes_on:
            places.setdefault(move.stay.pen_id, move.stay)
    return list(places.values())


def _map_bed(record: BedRecord, mark: str, coming: list[PlannedStay]) -> MapBed:
    parts = (*_resting(record), *_coming(coming), *_standing(record))
    return _placed(record.bed, mark, record.state, parts)


def _placed(bed: Bed, mark: str, state: BedState, parts: tuple[Part, ...]) -> MapBed:
    return MapBed(
        id=bed.pk,
        name=bed.name,
        mark=mark,
        x_m=bed.x_m,
        y_m=bed.y_m,
        length_mm=bed.length_mm,
        width_mm=bed.width_mm,
        lies_across=bed.lies_across,
        is_turf=bed.kind == Bed.Kind.TURF,
        state=state,
        parts=parts,
        turned_deg=bed.turned_deg,
    )


def _standing(record: BedRecord) -> Iterator[Part]:
    for stay in record.stays:
        if stay.end_day is None:
            day = (record.on - stay.first_day).days + 1
            words = (stay.pen.name, _("day {n}").format(n=day))
            yield Part(Use.STOOD, stay.offset_mm, stay.stretch_mm, words, stay.pen.name)


def _coming(coming: Iterable[PlannedStay]) -> Iterator[Part]:
    for stay in coming:
        words = (stay.pen.name, f"{weekday_words(stay.first_day)} {stay.first_day.day}")
        yield Part(Use.STAY, stay.offset_mm, stay.stretch_mm, words, stay.pen.name)


def _resting(record: BedRecord) -> Iterator[Part]:
    if record.state.use is Use.PLANTED:
        return
    rest = timedelta(days=record.garden.rest_days)
    for stay in record.stays:
        if stay.end_day and stay.end_day <= record.on < stay.end_day + rest:
            yield Part(Use.RESTING, stay.offset_mm, stay.stretch_mm)
