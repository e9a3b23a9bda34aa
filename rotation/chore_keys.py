"""The keys of a day's tasks: a kind, and the ids of whom it is for.

PURE.
"""

import re

from garden.words import gettext as _
from garden.words import mark

DONE_IN_WORDS = {
    "feed": mark("Feed"),
    "water": mark("Drinkers filled"),
    "mix": mark("Droppings mixed in"),
    "brooder": mark("Chicks looked at"),
    "weigh": mark("Weighing"),
    "lift": mark("Droppings lifted"),
    "shade": mark("Shade and water checked"),
    "dusk": mark("Shut for the night"),
    "withdraw": mark("Feed taken away"),
    "move": mark("Move"),
    "processing": mark("Processing"),
}
"""What is said of a task that was ticked or put off, by the first part of its key."""

_KEY = re.compile(r"(?P<kind>[a-z]+)(:\d{1,18}){0,2}(:brooder)?")

FED = re.compile(r"feed:(?P<batch>\d{1,18}):(?P<pen>\d{1,18}|brooder)")
"""The key of a feeding: whose birds, and in which pen."""


def done_in_words(key: str) -> str | None:
    """Return what is said of a task by its key; None for a text that is no such key."""
    found = _KEY.fullmatch(key)
    said = DONE_IN_WORDS.get(found["kind"]) if found else None
    return said and _(said)
