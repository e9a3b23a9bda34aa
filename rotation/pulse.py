"""Says every two seconds that a worker lives, and does what the workers do by the clock.

It has a thread and a database connection of its own, so that a task of minutes neither makes its worker look
dead nor keeps letters waiting. A task that has said nothing for long has hung: then its worker is silent, too.
"""

import logging
import os
import signal
from threading import Event, Thread
from time import monotonic

from django.db import DatabaseError, close_old_connections, connection

from rotation.plan_runs import worker_alive, worker_end
from rotation.rhythms import rhythms_keep
from rotation.task_worker import TaskWorker

logger = logging.getLogger(__name__)

BEAT_SECONDS = 2.0
"""How often a worker says that it lives. Our choice."""
HUNG_SECONDS = 300.0
"""A task that has said nothing for so long has hung. Our choice."""


class Pulse:
    """The life of one worker, as others see it."""

    def __init__(self, worker: TaskWorker, parent: int | None) -> None:
        self._worker, self._parent = worker, parent
        self._ended = Event()
        self._thread = Thread(target=self._go_on, name="pulse", daemon=True)

    def start(self) -> None:
        """Begin, with a first sign."""
        worker_alive(name=self._worker.name)
        self._thread.start()

    def end(self) -> None:
        """Say that the worker ends."""
        self._ended.set()
        if self._thread.is_alive():
            self._thread.join()
        worker_end(name=self._worker.name)

    def once(self) -> None:
        """Give one sign and do what is due."""
        if not self._has_hung():
            worker_alive(name=self._worker.name)
        rhythms_keep()

    def _go_on(self) -> None:
        while not self._ended.wait(BEAT_SECONDS if self._parent_lives() else 0.0):
            if not self._parent_lives():
                os.kill(os.getpid(), signal.SIGTERM)
                break
            try:
                close_old_connections()
                self.once()
            except DatabaseError:
                logger.exception("the pulse waits for the database")
                connection.close()
        connection.close()

    def _parent_lives(self) -> bool:
        return self._parent is None or os.getppid() == self._parent

    def _has_hung(self) -> bool:
        silent_for = monotonic() - self._worker.last_sign
        return self._worker.running_task and silent_for > HUNG_SECONDS
