"""Tags and filters that every page uses: where we are, quantities in the garden's units, dates in words."""

from datetime import date
from urllib.parse import urlencode

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from garden import units
from garden.models import Garden

register = template.Library()


@register.simple_tag(takes_context=True)
def here(context: template.Context, place: str) -> SafeString:
    """Write ``aria-current`` on the place that the page in view belongs to."""
    match = context["request"].resolver_match
    within = match.route.partition("<int:garden_id>/")[2].partition("/")[0] if match else ""
    is_here = (within or "today") == place
    return format_html(' aria-current="{}"', "page") if is_here else format_html("{}", "")


def _shown(measure: units.Measure, value: float | None, garden: Garden) -> str:
    return "–" if value is None else measure.show(value, garden.unit_system)


@register.filter
def length(value_mm: float | None, garden: Garden) -> str:
    """Write a bed's or a pen's length [mm]."""
    return _shown(units.BED_LENGTH, value_mm, garden)


@register.filter
def pen_length(value_mm: float | None, garden: Garden) -> str:
    """Write a length that is sawn or must fit [mm]."""
    return _shown(units.PEN_LENGTH, value_mm, garden)


@register.filter
def distance(value_m: float | None, garden: Garden) -> str:
    """Write a distance to carry [m]."""
    return _shown(units.DISTANCE, value_m, garden)


@register.filter
def weight(value_g: float | None, garden: Garden) -> str:
    """Write a bird's weight [g]."""
    return _shown(units.BIRD_MASS, value_g, garden)


@register.filter
def feed(value_kg: float | None, garden: Garden) -> str:
    """Write a mass of feed [kg]."""
    return _shown(units.FEED_MASS, value_kg, garden)


@register.filter
def area(value_m2: float | None, garden: Garden) -> str:
    """Write an area [m²]."""
    return _shown(units.AREA, value_m2, garden)


@register.filter
def density(value_kg_m2: float | None, garden: Garden) -> str:
    """Write bird weight on a floor [kg/m²]."""
    return _shown(units.DENSITY, value_kg_m2, garden)


@register.filter
def nitrogen(value_g: float | None, garden: Garden) -> str:
    """Write a mass of nitrogen [g]."""
    return _shown(units.NITROGEN, value_g, garden)


@register.filter
def day(value: date | None) -> str:
    """Write a day as a reader says it: Thu 12 June."""
    return f"{value:%a} {value.day} {value:%B}" if value else "–"


@register.filter
def day_year(value: date | None) -> str:
    """Write a day with its year: Thu 12 June 2026."""
    return f"{day(value)} {value.year}" if value else "–"


@register.filter
def as_query(fields: dict[str, str]) -> str:
    """Write form fields as one query text, for a button's value."""
    return urlencode(fields)


@register.filter
def share_of(value: float, other: float) -> float:
    """Return the width of a bar, of 998 for the larger of the two values."""
    larger = max(value, other)
    return round(998 * value / larger, 1) if larger > 0 else 0
