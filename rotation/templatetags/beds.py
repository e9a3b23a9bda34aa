"""What only the pages about beds write: loads per area, spans of days."""

from datetime import date, timedelta

from django import template
from django.utils import dateformat

from garden.day_words import day_words, day_year_words
from garden.models import Garden
from garden.units import AREA
from garden.words import figure
from garden.words import gettext as _
from rotation.bed_records import BedRecord

register = template.Library()


@register.filter
def room_per_area(record: BedRecord, garden: Garden) -> str:
    """Write a bed's nitrogen room by the garden's unit of area: ``12 g/m²``, ``1.1 g/ft²``."""
    system = garden.unit_system
    one_m2 = AREA.read("1", system)
    per_unit = record.room.left_g / record.bed.area_m2 * one_m2
    return f"{figure(per_unit, 0 if one_m2 >= 1 else 1)} g/{AREA.unit(system)}"


@register.filter
def day_before(end_day: date | None) -> date | None:
    """Return the last day of a span by the day on which it has ended."""
    return end_day and end_day - timedelta(days=1)


@register.filter
def days_between(first_day: date, end_day: date) -> str:
    """Write a half-open span: ``Thu 12 June`` or ``Thu 12 June to Sat 14 June``."""
    last = end_day - timedelta(days=1)
    if last <= first_day:
        return day_words(first_day)
    return _("{first_day} to {last}").format(first_day=day_words(first_day), last=day_words(last))


@register.filter
def dates_between(first_day: date, end_day: date) -> str:
    """Write a half-open span that may cross a year: both ends with their year."""
    last = end_day - timedelta(days=1)
    return _("{first_day} to {last}").format(
        first_day=day_year_words(first_day), last=day_year_words(last)
    )


@register.filter
def short_dates_between(first_day: date, end_day: date) -> str:
    """Write a half-open span in few letters: ``7 Dec 2026 to 10 Dec 2026``, or its one day."""
    last = end_day - timedelta(days=1)
    first, end = (dateformat.format(day, "j M Y") for day in (first_day, last))
    return first if first == end else _("{first_day} to {last}").format(first_day=first, last=end)
