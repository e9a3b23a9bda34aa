"""Write all rows and photos of this installation to one file, while it is in use."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from garden.backups.container import BackupError
from garden.backups.making import backup_make, usual_path


class Command(BaseCommand):
    """Make a backup and say where it lies."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Add where to write it."""
        parser.add_argument(
            "file",
            nargs="?",
            type=Path,
            help="its name; in VAR_DIR/backups, by the time, unless told",
        )

    def handle(self, *_: Any, file: Path | None, **__: Any) -> None:
        """Write it."""
        try:
            path = (file or usual_path()).absolute()
            contents = backup_make(path)
        except (BackupError, OSError) as fault:
            raise CommandError(str(fault)) from None
        self.stdout.write(
            f"{path}: {sum(contents.rows.values())} rows, {len(contents.photos)} files of photos, "
            f"{path.stat().st_size / 1e6:.1f} MB. The secret key is not in it: keep a copy of it apart, "
            "or links and sign-ins made before end with it."
        )
