"""Tags and filters that every page uses: where we are, quantities in the garden's units, dates in words."""

from collections.abc import Callable
from datetime import date
from urllib.parse import urlencode

from django import template
from django.utils.html import format_html, json_script
from django.utils.safestring import SafeString
from django.utils.translation import to_locale

from garden import units
from garden.day_words import day_words, day_year_words
from garden.models import Garden
from garden.script_words import SCRIPTS
from garden.volumes import VOLUME

register = template.Library()


@register.simple_tag(takes_context=True)
def here(context: template.Context, place: str) -> SafeString:
    """Write ``aria-current`` on the place that the page in view belongs to."""
    match = context["request"].resolver_match
    within = match.route.partition("<int:garden_id>/")[2].partition("/")[0] if match else ""
    is_here = (within or "today") == place
    return format_html(' aria-current="{}"', "page") if is_here else format_html("{}", "")


QUANTITIES = {
    "area": units.AREA,
    "bed_length": units.BED_LENGTH,
    "degrees": units.TEMPERATURE,
    "density": units.DENSITY,
    "distance": units.DISTANCE,
    "feed": units.FEED_MASS,
    "nitrogen": units.NITROGEN,
    "pen_length": units.PEN_LENGTH,
    "water": VOLUME,
    "weight": units.BIRD_MASS,
    "wind": units.WIND_SPEED,
}
"""Filters that write an SI value in the garden's units, as in ``{{ bed.length_mm|bed_length:garden }}``."""


def _writer(measure: units.Measure) -> Callable[[float | None, Garden], str]:
    def shown(value: float | None, garden: Garden) -> str:
        return "–" if value is None else measure.show(value, garden.unit_system)

    return shown


for name, measure in QUANTITIES.items():
    register.filter(name, _writer(measure))


@register.filter
def unit_of(garden: Garden, quantity: str) -> str:
    """Write the unit in which a plain number of a quantity is taken, as in ``{{ garden|unit_of:"feed" }}``."""
    return QUANTITIES[quantity].unit(garden.unit_system)


@register.filter
def day(value: date | None) -> str:
    """Write a day as a reader says it: Thu 12 June."""
    return day_words(value) if value else "–"


@register.filter
def day_year(value: date | None) -> str:
    """Write a day with its year: Thu 12 June 2026."""
    return day_year_words(value) if value else "–"


@register.filter
def as_query(fields: dict[str, str]) -> str:
    """Write form fields as one query text, for a button's value."""
    return urlencode(fields)


@register.filter
def share_of(value: float, other: float) -> float:
    """Return the width of a bar, of 998 for the larger of the two values."""
    larger = max(value, other)
    return round(998 * value / larger, 1) if larger > 0 else 0


@register.simple_tag
def script_words(script: str) -> SafeString:
    """Write the words of a script as a block of the page, which is no script."""
    return json_script(SCRIPTS[script](), f"words-{script}")


@register.filter
def page_language(code: str) -> str:
    """Write a language as a page's ``lang`` has it: ``en-GB``."""
    return to_locale(code).replace("_", "-")
