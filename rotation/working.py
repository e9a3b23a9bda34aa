"""What a task may ask of the process that works it off, and how it may end but well.

A task that runs anywhere else, in a test or in a plain `db_worker`, asks one that has nothing else to do.
"""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from enum import Enum


class HandedBack(Exception):  # noqa: N818 - nothing is wrong, somebody ends the process
    """The task goes back and is the next one's at once; that was no try."""


class Later(Exception):  # noqa: N818 - nothing is wrong, others are first
    """The task goes back for a while, or behind others; that was no try.

    Parameters
    ----------
    seconds : float
        How long nobody is to take it [s].
    priority : int, optional
        Its new place among what waits, from -100 to 100.
    """

    def __init__(self, *, seconds: float = 0.0, priority: int | None = None) -> None:
        super().__init__()
        self.seconds, self.priority = seconds, priority


class Ended(Enum):
    """How work on a row that people look at came to its end."""

    DONE = "done"
    LOST = "another has it"
    HANDED_BACK = "the process ends"
    MADE_ROOM = "others are first"
    FAILED = "failed"


class Working:
    """A process that works tasks off."""

    def __init__(self, name: str) -> None:
        self.name = name

    def beat(self) -> bool:
        """Say that the task goes on; True when the process is to end."""
        return False

    def others_wait(self, above: int) -> bool:
        """Whether something waits that comes before a priority."""
        return False

    def between(self) -> bool:
        """Work off what comes before the present task and waits; True when the process is to end."""
        return self.beat()


_here: list[Working] = []


def here() -> Working:
    """Return the process that works off the present task."""
    return _here[-1] if _here else Working(f"alone:{secrets.token_hex(4)}")


@contextmanager
def working(process: Working) -> Iterator[None]:
    """Let tasks find the process that works them off."""
    _here.append(process)
    try:
        yield
    finally:
        _here.pop()
