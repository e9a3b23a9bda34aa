"""The time of a search, by the work done rather than by the clock on the wall, and how it is shared out.

PURE.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic, thread_time

PATIENCE, LEAST_PATIENCE_SECONDS = 3.0, 20.0
"""How many times its work a search may last on a busy machine [1], and how long it always may [s]. Our
choice."""
MOST_SECONDS = 48.0
"""How long a search lasts at most, however busy the machine [s]. Our choice: with the planner's last answers a
minute."""


class Stopwatch:
    """How much of a search's time is used, and whether the part that it is in has any left.

    A machine that others share does less in a second, so the processor's time is counted. Where it does
    too little even so, the clock ends the search.
    """

    def __init__(
        self,
        seconds: float,
        *,
        work: Callable[[], float] = thread_time,
        clock: Callable[[], float] = monotonic,
    ) -> None:
        self._seconds, self._work, self._clock = seconds, work, clock
        patience = max(PATIENCE * seconds, LEAST_PATIENCE_SECONDS)
        self._patience = max(seconds, min(patience, MOST_SECONDS))
        self._worked_at, self._began_at = work(), clock()
        self._until = 1.0

    @property
    def used(self) -> float:
        """Return the share of the time that is used [1]; above 1 once it is over."""
        worked, passed = self._work() - self._worked_at, self._clock() - self._began_at
        return max(worked / self._seconds, passed / self._patience)

    @property
    def has_time(self) -> bool:
        """Whether the part that was begun last has time left."""
        return self.used < self._until

    @contextmanager
    def part(self, share: float) -> Iterator[None]:
        """Give a part a share of what is left, so that one that took long starves none after it."""
        before, used = self._until, self.used
        self._until = used + share * max(0.0, before - used)
        try:
            yield
        finally:
            self._until = before

    @contextmanager
    def paused(self) -> Iterator[None]:
        """Leave out what is done meanwhile: it is no work of the search."""
        worked, passed = self._work(), self._clock()
        try:
            yield
        finally:
            self._worked_at += self._work() - worked
            self._began_at += self._clock() - passed
