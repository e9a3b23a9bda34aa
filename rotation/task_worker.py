"""The worker: takes tasks off the queue, tries again later what failed, hands back what it must leave.

Claiming and waiting are `django_tasks_db`'s own. What it lacks is here: a task that fails is tried again after
a pause that doubles, one that must make room or whose worker is ended goes back untried, and each step is a
conditional UPDATE, so that a worker which was taken for dead changes nothing any more.
"""

import logging
import os
import secrets
import socket
import sys
from datetime import timedelta
from time import monotonic, sleep
from types import FrameType
from typing import Any

from django.core.exceptions import SuspiciousOperation
from django.db import DatabaseError, close_old_connections, connection
from django.db.models import QuerySet
from django_tasks import DEFAULT_TASK_BACKEND_ALIAS, TaskResultStatus
from django_tasks_db.management.commands.db_worker import Worker
from django_tasks_db.models import DBTaskResult, get_date_max
from django_tasks_db.utils import exclusive_transaction

from garden.clock import now
from rotation.task_tries import again
from rotation.working import HandedBack, Later, Working, working

logger = logging.getLogger(__name__)

UNKNOWN_SECONDS = 60.0
"""How long a task that this version does not know waits for another. Our choice."""
IDLE_SECONDS = 0.3
"""How long a worker that found nothing to do waits before it looks again. Our choice."""
AFTER_FAULT_SECONDS = 2.0
"""How long a worker waits for a database that did not answer. Our choice."""


class TaskWorker(Worker, Working):
    """One process that works tasks off, one at a time."""

    def __init__(self, *, until_idle: bool) -> None:
        Worker.__init__(
            self, queue_names=["*"], interval=IDLE_SECONDS, batch=until_idle,
            backend_name=DEFAULT_TASK_BACKEND_ALIAS, startup_delay=False, max_tasks=None,
            worker_id="", excluded_queue_names=[],
        )  # fmt: skip
        self._take_name()
        self.last_sign = monotonic()
        """When the present task last said that it goes on."""
        self._under_way: list[DBTaskResult] = []

    def _take_name(self) -> None:
        host = socket.gethostname()[:32]
        self.name = self.worker_id = f"{host}:{os.getpid()}:{secrets.token_hex(4)}"

    def shutdown(self, signum: int, frame: FrameType | None) -> None:
        """End at once where nothing is worked off, else as soon as the task says that it goes on."""
        if not self.running:
            self.reset_signals()
            sys.exit(1)
        self.running = False
        if not self._under_way:
            sys.exit(0)

    def work(self) -> None:
        """Take tasks until told to end; a database that does not answer is waited for."""
        with working(self):
            while self.running:
                try:
                    self.run()
                    return
                except DatabaseError:
                    if self.batch:
                        raise
                    logger.exception("the worker waits for the database")
                    connection.close()
                    sleep(AFTER_FAULT_SECONDS)
                    # A task may still stand under its old name, which falls silent: so it is found.
                    self._take_name()

    def beat(self) -> bool:
        """Say that the task goes on; True when the worker is to end."""
        self.last_sign = monotonic()
        return not self.running

    def others_wait(self, above: int) -> bool:
        """Whether a task waits, or rests under this one, that comes before a priority."""
        if any(row.priority > above for row in self._under_way[:-1]):
            return True
        return self._waiting().filter(priority__gt=above).exists()

    def between(self) -> bool:
        """Work off one task that comes before the present one; True when the worker is to end."""
        waiting = self._waiting().filter(priority__gt=self._under_way[-1].priority)
        if self.running and waiting.exists():
            with exclusive_transaction(waiting.db):
                row = waiting.get_locked()
                if row is not None:
                    row.claim(self.worker_id)
            if row is not None:
                self.run_task(row)
        return self.beat()

    def _waiting(self) -> QuerySet[DBTaskResult]:
        return DBTaskResult.objects.ready().filter(backend_name=self.backend_name)

    def run_task(self, row: DBTaskResult) -> None:
        """Work off a claimed task and say how it ended."""
        self._under_way.append(row)
        self.running_task = True
        self.last_sign = began = monotonic()
        try:
            ending = self._ending_of(row)
        except BaseException:
            _close(row, **_back(row))
            raise
        finally:
            self._under_way.pop()
            self.running_task = bool(self._under_way)
        _close(row, **ending)
        logger.info(
            "task ended",
            extra={
                "task": row.task_name,
                "status": str(ending["status"]).lower(),
                "ms": round(1000 * (monotonic() - began)),
            },
        )
        if not self._under_way:
            close_old_connections()

    def _ending_of(self, row: DBTaskResult) -> dict[str, Any]:
        """Call the task; return what is to be written of it."""
        try:
            task = row.task
        except (ImportError, SuspiciousOperation):
            # A newer version's, perhaps, which is being installed beside this one.
            logger.warning("no task here is called %s", row.task_path)
            return _back(row, Later(seconds=UNKNOWN_SECONDS))
        try:
            value = task.call(*row.args_kwargs["args"], **row.args_kwargs["kwargs"])
        except HandedBack:
            return _back(row)
        except Later as later:
            return _back(row, later)
        except Exception as fault:
            logger.exception("task %s failed", row.id)
            return again(row.worker_ids, f"{type(fault).__module__}.{type(fault).__qualname__}")
        done = {"status": TaskResultStatus.SUCCESSFUL, "finished_at": now()}
        return done | {"return_value": value}


def _close(row: DBTaskResult, **ending: Any) -> None:
    """Write how a task ended, unless another worker has been given it."""
    DBTaskResult.objects.running().filter(pk=row.pk, started_at=row.started_at).update(**ending)


def _back(row: DBTaskResult, later: Later | None = None) -> dict[str, Any]:
    """Return what makes a task wait again as if this worker had never had it."""
    rest = later.seconds if later else 0.0
    changed = {
        "status": TaskResultStatus.READY,
        "worker_ids": row.worker_ids[:-1],
        "run_after": now() + timedelta(seconds=rest) if rest else get_date_max(),
    }
    if later and later.priority is not None:
        changed["priority"] = later.priority
    return changed
