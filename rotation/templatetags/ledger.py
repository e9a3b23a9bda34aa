"""Filters of the ledger: masses with a sign, per area, and where a line leads."""

from typing import Any

from django import template
from django.urls import reverse

from garden.ledger import LedgerEntry
from garden.models import Bed, Garden
from garden.units import AREA, NITROGEN
from garden.words import figure

register = template.Library()


@register.filter
def signed(grams: float, garden: Garden) -> str:
    """Write a change with its sign: ``+12 g``, ``−3 g``, and nothing as ``0 g``."""
    shown = NITROGEN.show(grams, garden.unit_system)
    return f"+{shown}" if grams > 0 and shown[0] in "123456789" else shown


@register.simple_tag
def per_area(grams: float, bed: Bed, garden: Garden) -> str:
    """Write a mass on a bed by the garden's unit of area: ``1.2 g/m²``, ``0.11 g/ft²``."""
    unit_m2 = AREA.read("1", garden.unit_system)
    load = figure(grams / bed.area_m2 * unit_m2, 1 if unit_m2 >= 1 else 2).replace("-", "−")
    return f"{load} g/{AREA.unit(garden.unit_system)}"


@register.simple_tag
def entry_address(entry: LedgerEntry, garden: Garden, may_log: bool) -> str:
    """Return where a line's own page is; empty where it has none or only a form that one may not use."""
    name, pk = (*entry.key, None, None)[:2]
    if name is None or (str(name).endswith("_edit") and not may_log):
        return ""
    return reverse(str(name), args=[garden.pk, pk])


@register.filter
def of_element(mass: Any, element: str) -> float:
    """Return the grams of one element."""
    return mass.of(element)
