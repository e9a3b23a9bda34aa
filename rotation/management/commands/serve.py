"""What `make run` does after the installation: bring the database up to date and serve."""

import os
import sys
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser

from garden.models import Garden

WORKERS, THREADS = 2, 4


class Command(BaseCommand):
    """Migrate, make the demo garden where the database is empty, print the address, serve."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Add where to listen."""
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *_: Any, **options: Any) -> None:
        """Prepare, then become the web server, so that Ctrl-C reaches it directly."""
        call_command("migrate", interactive=False, verbosity=0)
        if settings.DEMO and not Garden.objects.exists():
            self.stdout.write("Making the demo garden …")
            call_command("demo")
        self._tell(options["host"], options["port"])
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

    def _tell(self, host: str, port: int) -> None:
        self.stdout.write(f"\nTillfeather is at http://{host}:{port}/   (Ctrl-C ends it)")
        if settings.DEMO and settings.DEMO_PASSWORD_FILE.exists():
            password = settings.DEMO_PASSWORD_FILE.read_text().strip()
            self.stdout.write(f"Sign in as   demo   with the password   {password}\n")
        self.stdout.flush()
