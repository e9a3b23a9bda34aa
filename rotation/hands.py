"""Who does the chores of a day, and what they should know.

PURE.
"""

from dataclasses import dataclass
from typing import NamedTuple


class Note(NamedTuple):
    """A note for whoever comes, and who wrote it."""

    text: str
    by: str


@dataclass(frozen=True)
class Hands:
    """Who comes on a day, in words, and the notes for them."""

    turns: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()


NOBODY = Hands()
