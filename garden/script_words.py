"""What the scripts say: each finds its words in a block of the page, in the page's language.

PURE. A text with a number in it has two forms, the first for one.
"""

from collections.abc import Callable, Mapping

from garden.words import gettext as _
from garden.words import ngettext

Words = Mapping[str, str | list[str]]


def _outbox() -> Words:
    return {
        "mend": _("Mend it"),
        "drop": _("Drop it"),
        "dropThis": _("Drop it: {words}"),
        "dropped": _("Dropped"),
        "wrong": _("{n} could not be logged."),
        "signIn": _("{n} kept on this phone. Sign in to send."),
        "waiting": _("{n} kept on this phone until there is signal."),
        "others": [
            ngettext(
                "{n} entry waits here for another person to sign in.",
                "{n} entries wait here for another person to sign in.",
                n,
            )
            for n in (1, 2)
        ],
        "kept": _("Kept"),
        "keptThis": _("Kept on this phone: {words}"),
        "sending": _("Sending…"),
        "logged": _("Logged: {words}"),
        "full": _(
            "This phone’s storage is full, so it could not be kept. Leave it here and send it when there "
            "is signal, or make room."
        ),
    }


def _board() -> Words:
    return {
        "day": _("{weekday} {day} {month}"),
        "days": _("{first_day} to {last_day}"),
        "off": _("off the beds"),
        "lock": _("Lock"),
        "unlock": _("Unlock"),
        "held": _("{pen}: {where}, {days}"),
        "locked": _("Locked. Nothing is changed."),
        "picked": _("Picked up. Nothing is changed."),
        "choose": _("Choose a bed for it."),
        "noAnswer": _("No answer. Look whether there is a signal, and try again."),
        "noPartner": _("No other pen is on a bed on these days."),
        "swap": _("Swap {pen} with {other}"),
    }


def _map() -> Words:
    return {"bed": _("{bed}: {x} east, {y} south, turned {turn}°")}


def worker_words() -> Words:
    """Return what the service worker says of a page that it kept."""
    return {
        "kept": _("No signal. This page is as it was at {clock}, {ago}."),
        "now": _("less than a minute ago"),
        "minutes": [ngettext("{n} minute ago", "{n} minutes ago", n) for n in (1, 2)],
        "hours": [ngettext("{n} hour ago", "{n} hours ago", n) for n in (1, 2)],
        "days": [ngettext("{n} day ago", "{n} days ago", n) for n in (1, 2)],
    }


SCRIPTS: Mapping[str, Callable[[], Words]] = {
    "outbox": _outbox,
    "board": _board,
    "map": _map,
}
"""The words of each script, by its name."""
