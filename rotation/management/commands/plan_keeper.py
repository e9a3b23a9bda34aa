"""Keep a `plan_worker` beside the web server: start it again when it dies, end it with the server."""

import os
import signal
import subprocess
import sys
from time import sleep
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser

LOOK_SECONDS = 0.2
"""How often it is looked whether the worker and the server live. Our choice."""
REST_SECONDS = 1.0
"""Pause before a worker that died is started again, so that one that cannot start does not spin. Our choice."""
PATIENCE_SECONDS = 10.0
"""How long a worker may take to end in order. Our choice."""


class Command(BaseCommand):
    """Keep one worker alive for as long as the parent process lives."""

    help = __doc__
    requires_system_checks = ()
    """The pages are not loaded here, so that a worker starts sooner; the server's own start checks them."""

    def add_arguments(self, parser: CommandParser) -> None:
        """Add whose life counts."""
        parser.add_argument("--parent", type=int, required=True, help="the web server's process id")

    def handle(self, *_: Any, parent: int, **__: Any) -> None:
        """Start a worker as often as it takes."""
        keeper = _Keeper(parent)
        signal.signal(signal.SIGTERM, keeper.end)
        signal.signal(signal.SIGINT, keeper.end)
        while not keeper.is_over():
            keeper.keep_one()


class _Keeper:
    """Starts workers and watches over them."""

    def __init__(self, parent: int) -> None:
        self._parent = parent
        self._ended = False

    def end(self, *_: object) -> None:
        """End at the next look."""
        self._ended = True

    def is_over(self) -> bool:
        """Whether the web server has ended, or somebody ends the keeper."""
        return self._ended or os.getppid() != self._parent

    def keep_one(self) -> None:
        """Start a worker and return when it has ended."""
        program = [sys.executable, str(settings.BASE_DIR / "manage.py"), "plan_worker"]
        worker = subprocess.Popen([*program, "--parent", str(os.getpid())])  # noqa: S603 - all ours
        while worker.poll() is None:
            if self.is_over():
                _end(worker)
                return
            sleep(LOOK_SECONDS)
        sleep(REST_SECONDS)


def _end(worker: subprocess.Popen[bytes]) -> None:
    worker.terminate()
    try:
        worker.wait(timeout=PATIENCE_SECONDS)
    except subprocess.TimeoutExpired:
        worker.kill()
        worker.wait()
