"""How small changes are worked on while the linear programme is: on a thread of their own, or in turn.

PURE. The changes are compiled and let go of the interpreter, so a second core carries them. What a thread finds
depends on the clock; in turn, the same work always finds the same.
"""

from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Event, Lock
from types import TracebackType
from typing import Protocol, Self

from rotation.engine.annealing import Annealing
from rotation.engine.choices import Route
from rotation.engine.duals import Duals

CHUNK = 100
"""Changes between two looks at what the linear programme says (a choice)."""

CHANGES_A_TURN = 300
"""Changes in turn with each piece of other work (a choice)."""


class SmallChanges(Protocol):
    """Small changes as the search sees them."""

    best_cost: float
    best: Sequence[Route]

    def guide(self, guide: Duals) -> None:
        """Take new prices of what is scarce."""

    def polish(self, routes: Sequence[Route], cost: float) -> None:
        """Go on from another plan."""

    def turn(self) -> None:
        """Let changes be tried, if they are not anyway."""


class InTurn:
    """Small changes when they are asked for."""

    def __init__(self, annealing: Annealing) -> None:
        self._annealing = annealing
        self.guide = annealing.charge
        self.polish = annealing.polish

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    @property
    def best_cost(self) -> float:
        """Cost of the best plan."""
        return self._annealing.best_cost

    @property
    def best(self) -> Sequence[Route]:
        """The best plan."""
        return self._annealing.best

    def turn(self) -> None:
        """Try some changes."""
        self._annealing.go(CHANGES_A_TURN)


class Beside:
    """Small changes on a thread of their own, which lives as long as the block it is used for."""

    def __init__(self, annealing: Annealing) -> None:
        self._annealing = annealing
        self.best_cost, self.best = annealing.best_cost, annealing.best
        self._news: dict[str, tuple] = {}
        """By what is to be called, the last call that waits."""
        self._lock, self._over = Lock(), Event()
        self._pool = ThreadPoolExecutor(1)
        self._work: Future[None] | None = None

    def __enter__(self) -> Self:
        self._work = self._pool.submit(self._go_on)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, *_: BaseException | TracebackType | None
    ) -> None:
        self._over.set()
        self._pool.shutdown()
        if kind is None and self._work is not None:
            self._work.result()

    def guide(self, guide: Duals) -> None:
        """Leave new prices where the thread finds them."""
        self._tell("charge", guide)

    def polish(self, routes: Sequence[Route], cost: float) -> None:
        """Leave a plan to go on from where the thread finds it."""
        self._tell("polish", routes, cost)

    def turn(self) -> None:
        """Do nothing: the thread is at work all the time."""

    def _tell(self, what: str, *news: object) -> None:
        with self._lock:
            self._news[what] = news

    def _go_on(self) -> None:
        while not self._over.is_set():
            with self._lock:
                news, self._news = self._news, {}
            for what, told in news.items():
                getattr(self._annealing, what)(*told)
            self._annealing.go(CHUNK)
            # the plan first: whoever sees the new cost must find a plan of that cost
            self.best = self._annealing.best
            self.best_cost = self._annealing.best_cost
