"""Work off what waits in the queue: plans, sizings, files to be made, letters, and gardens' new days."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from rotation.engine.search import ready
from rotation.pulse import Pulse
from rotation.task_worker import TaskWorker


class Command(BaseCommand):
    """Take tasks and work them off, until SIGTERM or Ctrl-C; a plan under way goes back into the queue then."""

    help = __doc__
    requires_system_checks = ()
    """The pages are not loaded here, so that a worker starts sooner; the server's own start checks them."""

    def add_arguments(self, parser: CommandParser) -> None:
        """Add when to end."""
        parser.add_argument("--once", action="store_true", help="end when nothing waits any more")
        parser.add_argument("--parent", type=int, help="end when this parent process has ended")

    def handle(self, *_: Any, once: bool, parent: int | None, **__: Any) -> None:
        """Work until told to end."""
        # before the first claim, which must not fall silent while a new machine compiles
        ready()
        worker = TaskWorker(until_idle=once)
        pulse = Pulse(worker, parent)
        try:
            if once:
                pulse.once()
            else:
                worker.configure_signals()
                pulse.start()
            worker.work()
        finally:
            pulse.end()
