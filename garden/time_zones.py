"""The time zones a garden may choose, by continent."""

from functools import cache
from zoneinfo import available_timezones

from garden.words import gettext as _
from garden.words import mark

CONTINENTS = (
    mark("Africa"),
    mark("America"),
    mark("Antarctica"),
    mark("Arctic"),
    mark("Asia"),
    mark("Atlantic"),
    mark("Australia"),
    mark("Europe"),
    mark("Indian"),
    mark("Pacific"),
)
"""First parts of names that are places; the rest of the database is kept for old machines."""

Group = tuple[str, list[tuple[str, str]]]


def time_zone_choices() -> list[tuple[str, str] | Group]:
    """Return UTC and every place, grouped for a select: ``("Europe", [("Europe/Dublin", "Dublin")])``."""
    return [("UTC", "UTC"), *((_(continent), places) for continent, places in _zones())]


@cache
def _zones() -> list[Group]:
    names = sorted(available_timezones())
    return [
        (continent, [(name, _place(name)) for name in names if name.startswith(f"{continent}/")])
        for continent in CONTINENTS
    ]


def _place(name: str) -> str:
    return name.partition("/")[2].replace("_", " ").replace("/", ", ")
