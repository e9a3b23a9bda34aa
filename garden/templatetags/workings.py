"""The tag that puts “Why?” beside a computed figure."""

from collections.abc import Mapping

from django import template

from garden.workings import Told, told

register = template.Library()


@register.inclusion_tag("parts/why.html")
def why(key: str, of: str = "", **given: object) -> dict[str, Told | str]:
    """Write a figure's working to be opened: ``{% why "feed" of=pen.name birds=12 age=33 %}``.

    `of` tells a screen reader which of several is meant.
    """
    return {"working": told(key, given), "of": of}


@register.inclusion_tag("parts/why.html")
def why_of(key: str, given: Mapping[str, object], of: str = "") -> dict[str, Told | str]:
    """Write a working whose inputs come as one value: ``{% why_of "feed" chore.working chore.title %}``."""
    return {"working": told(key, given), "of": of}
