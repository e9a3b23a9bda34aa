"""Filters for pages about crops and beds."""

from django import template

from garden.crop_text import load_words
from garden.models import Garden

register = template.Library()


@register.filter
def load(kg_ha: float, garden: Garden) -> str:
    """Write a load in the garden's units: kg/ha, or pounds on 1,000 sq ft."""
    return load_words(kg_ha, garden.unit_system)
