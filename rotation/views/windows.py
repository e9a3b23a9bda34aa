"""When birds may come to a bed, day by day, with the room for nitrogen in every open time."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

from django import forms
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET

from garden.access import garden_for
from garden.day_words import day_year_words
from garden.forms import DayField, GardenForm
from garden.nutrients import YEAR_DAYS, Dropping
from garden.words import gettext as _
from garden.words import mark
from rotation.bed_records import BedRecord, bed_record
from rotation.bed_windows import DaySpan, PlaceDays, Shut, Waits, bed_days

DAYS_AHEAD = 366
"""How far ahead days are told, today included: what a plan reaches."""


BRIEFLY = {
    Shut.TAKEN: mark("a pen"),
    Shut.PLANTED: mark("a crop"),
    Shut.CLOSED: mark("not to be had"),
    Shut.RESTING: mark("rest"),
    Shut.KEPT: mark("kept for a pen"),
    Shut.HELD: mark("held for a harvest"),
}


class DayForm(GardenForm, forms.Form):
    """The one day asked about."""

    on = DayField(label=gettext_lazy("May birds stand here on this day?"))

    def clean_on(self) -> date:
        """Refuse a day that is not told."""
        day, today = self.cleaned_data["on"], self.garden.today()
        if not 0 <= (day - today).days < DAYS_AHEAD:
            last = today + timedelta(days=DAYS_AHEAD - 1)
            raise ValidationError(
                _("Give a day from {day} to {last}.").format(
                    day=day_year_words(today), last=day_year_words(last)
                )
            )
        return day


@dataclass(frozen=True)
class ToldSpan:
    """Days that are open or shut, and what birds may drop on them. [g]"""

    span: DaySpan
    room_g: float | None
    """None for days that are shut."""
    is_held_by_phosphorus: bool = False
    """Whether a high soil test, and not nitrogen, makes the room."""

    @property
    def is_open(self) -> bool:
        """Whether birds may come, with something to drop."""
        return self.span.is_open and not self.lacks_room

    @property
    def brief(self) -> str:
        """Say in a few words what shuts it, one for each kind."""
        kinds = dict.fromkeys(_(BRIEFLY[blocker.kind]) for blocker in self.span.blockers)
        lacks = _("too much phosphorus") if self.is_held_by_phosphorus else _("no nitrogen room")
        return _(" and ").join(kinds) if kinds else lacks

    @property
    def lacks_room(self) -> bool:
        """Whether only what birds drop keeps them away."""
        return self.room_g is not None and self.room_g < 0.5


@require_GET
def windows(request: HttpRequest, garden_id: int, bed_id: int) -> HttpResponse:
    """Show a year of days with what shuts each and what would open it; answer for one day."""
    garden = garden_for(request, garden_id)
    today = garden.today()
    record = bed_record(garden, bed_id, today)
    if record is None:
        raise Http404("No such bed")
    form = DayForm(request.GET if "on" in request.GET else None, garden=garden)
    asked = form.cleaned_data["on"] if form.is_valid() else None
    places = window_days(record)
    context = {
        "today": today,
        "bed": record.bed,
        "form": form,
        "asked": asked,
        "places": [
            (days.place, [told for span in days.spans for told in _told(record, span)])
            for days in places
        ],
        "answers": _answers(record, places, asked) if asked else [],
    }
    return render(request, "rotation/bed_windows.html", context)


def window_days(record: BedRecord) -> tuple[PlaceDays, ...]:
    """Return the coming year of a bed, place by place."""
    garden, today = record.garden, record.on
    return bed_days(
        record.ground,
        today=today,
        first_day=today,
        end_day=today + timedelta(days=DAYS_AHEAD),
        waits=Waits(garden.bird_day_rule(), garden.harvest_rule(), garden.rest_days),
    )


def _told(record: BedRecord, span: DaySpan) -> list[ToldSpan]:
    """Return a span in parts: what was dropped a year before stops counting while it lasts."""
    if not span.is_open:
        return [ToldSpan(span, None)]
    planned = (
        Dropping(stay.end_day - timedelta(days=1), stay.nitrogen_ahead_g(record.on))
        for stay in record.planned
        if stay.end_day <= span.first_day
    )
    then = replace(record, droppings=(*record.droppings, *planned))
    eases = {dropping.day + timedelta(days=YEAR_DAYS) for dropping in then.droppings}
    starts = sorted({span.first_day, *(d for d in eases if span.first_day < d < span.end_day)})
    parts: list[ToldSpan] = []
    for first_day, end_day in pairwise([*starts, span.end_day]):
        room = replace(then, on=first_day).room
        part_days = replace(span, first_day=first_day, end_day=end_day)
        part = ToldSpan(part_days, room.left_g, room.is_held_by_phosphorus)
        if parts and parts[-1].lacks_room == part.lacks_room:
            longer = replace(parts[-1].span, end_day=end_day)
            parts[-1] = replace(parts[-1], span=longer)
        else:
            parts.append(part)
    return parts


def _answers(
    record: BedRecord, places: Iterable[PlaceDays], on: date
) -> list[tuple[str, ToldSpan]]:
    """Return what holds on a day, places alike in one answer."""
    alike: dict[ToldSpan, list[str]] = {}
    for days in places:
        alike.setdefault(_told_on(record, days, on), []).append(days.place)
    return [(" and ".join(names), told) for told, names in alike.items()]


def _told_on(record: BedRecord, days: PlaceDays, on: date) -> ToldSpan:
    one_day = replace(days.on(on), first_day=on, end_day=on + timedelta(days=1))
    (told,) = _told(record, one_day)
    return told
