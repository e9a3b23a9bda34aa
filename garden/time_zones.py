"""The time zones a garden may choose, by continent."""

from functools import cache
from zoneinfo import available_timezones

CONTINENTS = (
    "Africa",
    "America",
    "Antarctica",
    "Arctic",
    "Asia",
    "Atlantic",
    "Australia",
    "Europe",
    "Indian",
    "Pacific",
)
"""First parts of names that are places; the rest of the database is kept for old machines."""

Group = tuple[str, list[tuple[str, str]]]


@cache
def time_zone_choices() -> list[tuple[str, str] | Group]:
    """Return UTC and every place, grouped for a select: ``("Europe", [("Europe/Dublin", "Dublin")])``."""
    names = sorted(available_timezones())
    groups = [
        (continent, [(name, _place(name)) for name in names if name.startswith(f"{continent}/")])
        for continent in CONTINENTS
    ]
    return [("UTC", "UTC"), *groups]


def _place(name: str) -> str:
    return name.partition("/")[2].replace("_", " ").replace("/", ", ")
