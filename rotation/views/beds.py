"""The beds: the garden's map with its list, and one bed with its year."""

from math import inf
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from garden.access import garden_for
from garden.models import Bed
from garden.words import gettext as _
from rotation.bed_map import bed_marks
from rotation.bed_records import BedRecord, bed_record, garden_records, history_days
from rotation.bed_remarks import bed_remarks
from rotation.bed_room import BedRoom
from rotation.bed_year import bed_year
from rotation.garden_map import garden_map
from rotation.harvest_answers import harvest_answers, safe_dates
from rotation.moves import bed_place, moves_of, next_move
from rotation.views.eat import standing_answers


@require_GET
def beds(request: HttpRequest, garden_id: int) -> HttpResponse:
    """Show the map and the same facts as a list, with the next move beside them."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    records = garden_records(garden, today)
    moves = moves_of(garden, records.planned, records.standing)
    marks = bed_marks([record.bed.name for record in records.beds])
    context = {
        "today": today,
        "listed": list(zip(marks, records.beds, strict=True)),
        "bed_count": len(marks),
        "map": garden_map(records, moves),
        "has_turf": any(record.bed.kind == Bed.Kind.TURF for record in records.beds),
        "move": next_move(moves, today),
        "on": today,
        "standing": standing_answers(records),
    }
    return render(request, "rotation/beds.html", context)


@require_GET
def bed(request: HttpRequest, garden_id: int, bed_id: int) -> HttpResponse:
    """Show one bed: may its crops be eaten, its year, its nitrogen, its history."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    record = bed_record(garden, bed_id, today)
    if record is None:
        raise Http404("No such bed")
    return render(request, "rotation/bed.html", {"today": today, **_bed_page(record)})


def _bed_page(record: BedRecord) -> dict[str, Any]:
    garden, bed, on = record.garden, record.bed, record.on
    plantings, remarks = bed.plantings.all(), bed_remarks(bed)
    answers = harvest_answers(plantings, record.fouled, garden, on)
    year = bed_year(
        record.ground,
        on,
        rule=garden.bird_day_rule(),
        rest_days=garden.rest_days,
        fouled=record.fouled,
    )
    return {
        "bed": bed,
        "record": record,
        "bar": _room_bar(record.room),
        "limits": _limits(record.room),
        "is_turf": bed.kind == Bed.Kind.TURF,
        "answers": answers,
        "unexplained": remarks.unexplained(answers),
        "safe_dates": safe_dates(record.fouled, garden, on),
        "past_plantings": [row for row in reversed(plantings) if row.ends_on <= on],
        "year": year,
        "has_early": any(mark.early_width for mark in year.marks),
        "stays": [(stay, bed_place(garden, bed, stay)) for stay in reversed(record.stays)],
        "planned": [(stay, bed_place(garden, bed, stay)) for stay in record.planned],
        "history_days": history_days(garden),
        "remarks": remarks,
    }


def _room_bar(room: BedRoom) -> dict[str, int] | None:
    """Return the lengths of a room's bar in thousandths; None where there is no room to draw."""
    whole_g = max(room.whole_g, room.used_g + room.planned_g)
    if whole_g < 1:
        return None
    used, planned = (round(1000 * mass_g / whole_g) for mass_g in (room.used_g, room.planned_g))
    return {"used": used, "planned": min(planned, 1000 - used)}


def _limits(room: BedRoom) -> list[dict[str, Any]]:
    """Return what each rule by itself would still allow, as bars in thousandths of the largest.

    None where one rule alone is known, which the room's own bar tells.
    """
    found = {
        _("A year’s limit"): room.by_year_g,
        _("The next crop’s need"): room.by_need_g,
        _("Phosphorus"): room.by_phosphorus_g,
    }
    known = {name: left for name, left in found.items() if left is not None and left != inf}
    largest = max(known.values(), default=0.0)
    if len(known) < 2 or largest < 1:
        return []
    return [
        {"name": name, "left_g": left, "width": round(1000 * left / largest)}
        for name, left in known.items()
    ]
