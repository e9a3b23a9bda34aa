"""What `make run` does after the installation: bring the database up to date and serve."""

import fcntl
import os
import socket
import subprocess
import sys
from argparse import ArgumentTypeError
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser

from garden.count_files import forget_counts
from garden.models import Garden

WORKERS, THREADS = 2, 4
LAST_PORT = 65_535


class Command(BaseCommand):
    """Migrate, make the demo garden where the database is empty, print the address, serve."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Add where to listen."""
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=_port, default=8000)

    def handle(self, *_: Any, **options: Any) -> None:
        """Prepare, then become the web server, so that Ctrl-C reaches it directly."""
        _refuse_taken(options["host"], options["port"])
        with _one_start_at_a_time():
            self._prepare()
        self._tell(options["host"], options["port"])
        _start_planner()
        forget_counts()
        server = Path(sys.executable).with_name("gunicorn")
        os.execv(  # noqa: S606 - no shell, and every word is ours or a parsed number
            server,
            [
                str(server),
                "garden.wsgi",
                f"--bind={options['host']}:{options['port']}",
                f"--workers={WORKERS}",
                f"--threads={THREADS}",
                "--preload",
                "--log-level=warning",
            ],
        )

    def _prepare(self) -> None:
        call_command("migrate", interactive=False, verbosity=0)
        call_command("createcachetable")
        if settings.DEMO and not Garden.objects.exists():
            self.stdout.write("Making the demo garden …")
            call_command("demo")

    def _tell(self, host: str, port: int) -> None:
        self.stdout.write(f"\nTillfeather is at http://{host}:{port}/   (Ctrl-C ends it)")
        if settings.DEMO and settings.DEMO_PASSWORD_FILE.exists():
            password = settings.DEMO_PASSWORD_FILE.read_text().strip()
            self.stdout.write(f"Sign in as   demo   with the password   {password}\n")
        self.stdout.flush()


def _start_planner() -> None:
    """Start the planner beside the web server that this process becomes.

    It has a session of its own, so that Ctrl-C ends it through the end of the server, in order.
    """
    os.environ["PLANNER"] = "background"
    program = [sys.executable, str(settings.BASE_DIR / "manage.py"), "plan_keeper"]
    subprocess.Popen(  # noqa: S603 - no shell, and every word is ours
        [*program, "--parent", str(os.getpid())], stdin=subprocess.DEVNULL, start_new_session=True
    )


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 0 < int(text[:6]) <= LAST_PORT:
        raise ArgumentTypeError(f"expected a port from 1 to {LAST_PORT}")
    return int(text)


def _refuse_taken(host: str, port: int) -> None:
    """Say at once what the web server would say only after several tries of its own."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        with socket.socket(found[0][0], socket.SOCK_STREAM) as probe:
            # As the web server does, or the port of one just ended would count as taken.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(found[0][4])
    except OSError as error:
        raise CommandError(
            f"Cannot listen on {host}:{port}: {error.strerror}. "
            f"Try another port: make run PORT={port + 1 if port < LAST_PORT else 8000}"
        ) from None


@contextmanager
def _one_start_at_a_time() -> Iterator[None]:
    """Let a second start on the same folder wait until the first has made the database."""
    with (settings.VAR_DIR / "start.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield
