"""Put an installation back as a backup has it. Stop the web server and the workers first."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from garden.backups.container import BackupError
from garden.backups.making import backup_restore, restorable


class Command(BaseCommand):
    """Check a backup, and put it back."""

    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        """Add which, and what may be done."""
        parser.add_argument("file", type=Path)
        parser.add_argument(
            "--check",
            action="store_true",
            help="only say whether it is sound and could be put back",
        )
        parser.add_argument(
            "--replace",
            action="store_true",
            help="also where there are gardens; they are kept apart",
        )

    def handle(self, *_: Any, file: Path, check: bool, replace: bool, **__: Any) -> None:
        """Do what was asked."""
        try:
            if check:
                contents, kept = restorable(file), None
            else:
                contents, kept = backup_restore(file, replace=replace)
        except BackupError as fault:
            raise CommandError(str(fault)) from None
        if kept:
            self.stdout.write(f"What was here is kept in {kept}.")
        done = "is sound and holds" if check else "is put back:"
        self.stdout.write(
            f"{file} of {contents.made_at[:16].replace('T', ' ')} UTC {done} "
            f"{sum(contents.rows.values())} rows, {len(contents.photos)} files of photos."
        )
