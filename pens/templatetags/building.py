"""Filters of the Build place: drills, sawn lengths in both systems, weights to carry."""

from fractions import Fraction
from math import isfinite

from django import template

from garden.models import Garden
from garden.unit_sizes import INCH_MM
from garden.unit_text import exactly, mixed_fraction, rounded
from garden.units import FEED_MASS, WIND_SPEED
from garden.words import gettext as _
from garden.words import local_mark, pgettext
from pens.steps import both_ways

register = template.Library()


@register.filter
def bit(drill_mm: float, garden: Garden) -> str:
    """Write a drill's size: ``2.5 mm``, or the nearest 1/32 in that a set of drills has."""
    if garden.unit_system == "metric":
        return local_mark(f"{drill_mm:g} mm")
    return f"{mixed_fraction(rounded(exactly(drill_mm) / INCH_MM, Fraction(1, 32)))} in"


@register.filter
def sawn(length_mm: float, garden: Garden) -> str:
    """Write a length to be sawn in the garden's units and in the other ones."""
    return both_ways(length_mm, garden.unit_system)


@register.filter
def carried(mass_kg: float | None, garden: Garden) -> str:
    """Write a weight to be lifted, in kg or lb."""
    return "–" if mass_kg is None else FEED_MASS.show(mass_kg, garden.unit_system)


@register.filter
def gust(speed_m_s: float, garden: Garden) -> str:
    """Write a wind speed; one that no wind reaches in words."""
    if not isfinite(speed_m_s):
        return pgettext("a gust", "none")
    return WIND_SPEED.show(speed_m_s, garden.unit_system)


@register.filter
def percent(share: float) -> str:
    """Write a share of 1 in percent."""
    return f"{100 * share:.0f} %"


@register.filter
def ends(cuts_deg: tuple[int, int]) -> str:
    """Write how the ends of a piece are cut."""
    first, last = cuts_deg
    if not first and not last:
        return pgettext("the ends of a piece", "square")
    told = _("both {first}°") if first == last else _("{first}° and {last}°")
    return told.format(first=first, last=last)
