"""Filters for pages that tell of plans."""

from django import template

from garden.words import gettext as _
from rotation.carrying import SHUT_BY

register = template.Library()


@register.filter
def shut_by(reason: str) -> str:
    """Write what shuts a bed, as a plain phrase."""
    return _(SHUT_BY.get(reason, reason))
