"""Words and figures in the reader's language, for modules that know nothing of the web framework.

PURE. English is what stands in the source. The web side puts a `Speaker` of the reader's language in
place when it starts (`garden.apps`); until then, and on the command line, everything is said in English.

A text is translated when it is said, never when a module is read: a constant is only marked with
`mark`, and `_` is called on it where it is shown.

>>> bed = "North"
>>> _("{bed} is free.").format(bed=bed)
'North is free.'
>>> ngettext("{n} bird", "{n} birds", 2).format(n=2)
'2 birds'
"""

from dataclasses import dataclass
from typing import Protocol


class Speaker(Protocol):
    """Whoever knows the reader's language."""

    def gettext(self, message: str) -> str:
        """Return a whole sentence or term in the reader's language."""

    def ngettext(self, one: str, many: str, number: int) -> str:
        """Return the form that goes with a number."""

    def pgettext(self, context: str, message: str) -> str:
        """Return a word that means different things in different places."""

    def decimal_mark(self) -> str:
        """Return what stands between a number's whole and its parts."""


class English:
    """Says what stands in the source."""

    def gettext(self, message: str) -> str:
        """Return the message itself."""
        return message

    def ngettext(self, one: str, many: str, number: int) -> str:
        """Return the form for one, or for any other number."""
        return one if number == 1 else many

    def pgettext(self, context: str, message: str) -> str:
        """Return the message itself."""
        return message

    def decimal_mark(self) -> str:
        """Return the point."""
        return "."


@dataclass
class _Place:
    speaker: Speaker


_HERE = _Place(English())


def speak_through(speaker: Speaker) -> None:
    """Put the one speaker of this process in place; it knows by itself whom it speaks to."""
    _HERE.speaker = speaker


def mark(message: str) -> str:
    """Return the message as it is, marked for the catalogues: a constant to be said later."""
    return message


def gettext(message: str) -> str:
    """Say a marked message in the reader's language. Values go in afterwards, by ``.format``."""
    # An empty message is the name under which a catalogue keeps its own header.
    return _HERE.speaker.gettext(message) if message else message


_ = gettext


def ngettext(one: str, many: str, number: int) -> str:
    """Say the form of a message that goes with a number of things."""
    return _HERE.speaker.ngettext(one, many, number)


def pgettext(context: str, message: str) -> str:
    """Say a word that English uses for several things: “free” of a bed, “free” of charge."""
    return _HERE.speaker.pgettext(context, message)


def figure(value: float, places: int = 0) -> str:
    """Write a number with a fixed count of decimals behind the reader's decimal mark.

    >>> figure(2.5, 2)
    '2.50'
    """
    return local_mark(f"{value:.{places}f}")


def decimal_mark() -> str:
    """Return what stands between the whole and the parts of a number: a point or a comma."""
    return _HERE.speaker.decimal_mark()


def local_mark(written: str) -> str:
    """Put the reader's decimal mark into a number that was written with a point."""
    return written.replace(".", decimal_mark())
