"""Work out plans behind the pages, one garden after the other."""

import logging
import os
import secrets
import signal
import socket
from datetime import date
from time import monotonic, sleep
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import DatabaseError, close_old_connections, connection

from flocks.models import Batch
from garden.models import Garden
from rotation.digest import digests_send_due
from rotation.engine.search import ready
from rotation.plan_runs import plan_run_ask, plan_run_claim, worker_alive, worker_end
from rotation.plan_work import plan_run_work
from rotation.planning import plan_is_due
from rotation.sizing_runs import sizing_claim
from rotation.sizing_work import sizing_work

logger = logging.getLogger(__name__)

IDLE_SECONDS = 0.3
"""How long a worker that found nothing to do waits before it looks again. Our choice."""
BEAT_SECONDS = 2.0
"""How often a worker says that it lives. Our choice."""
MORNING_SECONDS = 5.0
"""How often a worker looks whether a new day has begun in some garden. Our choice."""
LETTER_SECONDS = 60.0
"""How often a worker looks whether letters are due. Our choice."""
LETTERS_AT_ONCE = 3
"""Letters sent before the worker looks again whether a plan waits. Our choice."""
AFTER_FAULT_SECONDS = 2.0
"""How long a worker waits for a database that did not answer. Our choice."""


class Command(BaseCommand):
    """Claim the runs that wait and work them off, until SIGTERM or Ctrl-C."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Add when to end."""
        parser.add_argument("--once", action="store_true", help="end when nothing waits any more")
        parser.add_argument("--parent", type=int, help="end when this parent process has ended")

    def handle(self, *_: Any, once: bool, parent: int | None, **__: Any) -> None:
        """Work until told to end."""
        # before the first claim, which must not fall silent while a new machine compiles
        ready()
        worker = _Worker(parent)
        if not once:
            signal.signal(signal.SIGTERM, worker.end)
            signal.signal(signal.SIGINT, worker.end)
        worker.work(until_idle=once)


class _Worker:
    """A process that works runs off."""

    def __init__(self, parent: int | None) -> None:
        self.name = f"{socket.gethostname()[:32]}:{os.getpid()}:{secrets.token_hex(4)}"
        self._parent = parent
        self._ended = False
        self._next_beat = 0.0
        self._mornings = _Mornings()
        self._letters = _Letters()

    def end(self, *_: object) -> None:
        """End as soon as the search says that it lives."""
        self._ended = True

    def work(self, *, until_idle: bool) -> None:
        """Claim and work off; a database that does not answer is waited for."""
        while not self._is_over():
            try:
                if not self._turn():
                    if until_idle:
                        break
                    close_old_connections()
                    sleep(IDLE_SECONDS)
            except DatabaseError:
                if until_idle:
                    raise
                logger.exception("the planner waits for the database")
                connection.close()
                sleep(AFTER_FAULT_SECONDS)
        worker_end(name=self.name)

    def _turn(self) -> bool:
        """Do what waits; False where nothing did."""
        self._beat()
        if self._plan():
            return True
        sizing = sizing_claim(worker=self.name)
        if sizing is not None:
            sizing_work(sizing, worker=self.name, beat=self._plan_between)
            return True
        return self._mornings.look() or self._letters.look()

    def _plan(self) -> bool:
        """Work off the plan that has waited longest; False where none waits."""
        run = plan_run_claim(worker=self.name)
        if run is not None:
            plan_run_work(run, worker=self.name, beat=self._beat)
        return run is not None

    def _plan_between(self) -> bool:
        """Work off a plan that was asked for while a season is sized; True when the worker is to end."""
        self._plan()
        return self._beat()

    def _beat(self) -> bool:
        """Say now and then that the worker lives; True when it is to end."""
        if monotonic() >= self._next_beat:
            self._next_beat = monotonic() + BEAT_SECONDS
            worker_alive(name=self.name)
        return self._is_over()

    def _is_over(self) -> bool:
        return self._ended or (self._parent is not None and os.getppid() != self._parent)


class _Letters:
    """Sends now and then the letters about tomorrow that are due, a few at a time."""

    def __init__(self) -> None:
        self._next_look = 0.0

    def look(self) -> bool:
        """Send some; False where none were sent."""
        if monotonic() < self._next_look:
            return False
        sent = digests_send_due(most=LETTERS_AT_ONCE)
        if not sent:
            self._next_look = monotonic() + LETTER_SECONDS
        return bool(sent)


class _Mornings:
    """Looks once on every day at each garden with birds: a move not made yesterday breaks today's plan."""

    def __init__(self) -> None:
        self._seen: dict[int, date] = {}
        self._next_look = 0.0

    def look(self) -> bool:
        """Look at one garden on whose present day none was; False where there is no such garden."""
        if monotonic() < self._next_look:
            return False
        with_birds = Batch.objects.unfinished().values("garden")
        for garden in Garden.objects.filter(pk__in=with_birds):
            today = garden.today()
            if self._seen.get(garden.pk) != today:
                self._seen[garden.pk] = today
                if plan_is_due(garden=garden, on=today):
                    plan_run_ask(garden=garden, because="a new day")
                return True
        self._next_look = monotonic() + MORNING_SECONDS
        return False
