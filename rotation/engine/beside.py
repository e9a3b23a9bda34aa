"""How plans are worked on while the bound is: on a thread of their own, or in turn.

PURE. Small changes and the linear programmes let go of the interpreter, so a second core carries them. What a
thread finds depends on the clock; in turn, the same work always finds the same.
"""

from concurrent.futures import Future, ThreadPoolExecutor
from threading import Event, Lock
from types import TracebackType
from typing import Self

from rotation.engine.duals import Duals
from rotation.engine.master import Master
from rotation.engine.plans import PlanWork

CHUNK = 100
"""Changes between two looks at what the linear programme says (a choice)."""


class Beside:
    """Work on plans on a thread of its own, which lives as long as the block it is used for."""

    def __init__(self, work: PlanWork) -> None:
        self._work = work
        self.best_cost, self.best = work.best_cost, work.best
        self._news: dict[str, tuple] = {}
        """By what is to be called, the last call that waits."""
        self._lock, self._over = Lock(), Event()
        self._pool = ThreadPoolExecutor(1)
        self._thread: Future[None] | None = None

    def __enter__(self) -> Self:
        self._thread = self._pool.submit(self._go_on)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, *_: BaseException | TracebackType | None
    ) -> None:
        self._over.set()
        self._pool.shutdown()
        if kind is None and self._thread is not None:
            self._thread.result()

    @property
    def wants_programme(self) -> bool:
        """Whether the next dive has no linear programme to begin with."""
        return self._work.wants_programme and "learn" not in self._news

    def guide(self, guide: Duals) -> None:
        """Leave new prices where the thread finds them."""
        self._tell("guide", guide)

    def learn(self, known: Master) -> None:
        """Leave a linear programme for the next dive where the thread finds it."""
        self._tell("learn", known)

    def rest(self, seconds: float) -> None:
        """Let the thread have the machine for a while."""
        self._over.wait(seconds)

    def _tell(self, what: str, *news: object) -> None:
        with self._lock:
            self._news[what] = news

    def _go_on(self) -> None:
        while not self._over.is_set():
            with self._lock:
                news, self._news = self._news, {}
            for what, told in news.items():
                getattr(self._work, what)(*told)
            self._work.turn(CHUNK)
            # the plan first: whoever sees the new cost must find a plan of that cost
            self.best = self._work.best
            self.best_cost = self._work.best_cost
