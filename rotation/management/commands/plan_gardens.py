"""Let every garden with birds be looked at on its present day; `plan_worker` does so by itself.

A plan that still holds is kept. With --again gardens are looked at that were looked at today already.
"""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from rotation.models import GardenMorning
from rotation.mornings import mornings_ask


class Command(BaseCommand):
    """Put a look at each garden into the queue."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Add whether to look a second time."""
        parser.add_argument("--again", action="store_true", help="also those looked at today")

    def handle(self, *_: Any, again: bool, **__: Any) -> None:
        """Ask and say how many."""
        if again:
            GardenMorning.objects.all().delete()
        count = mornings_ask()
        self.stdout.write(f"{count} garden{'' if count == 1 else 's'} put into the queue.")
