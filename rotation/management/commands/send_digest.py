"""Send the letters about tomorrow that are due; run it every few minutes where no `plan_worker` lives."""

from typing import Any

from django.core.management.base import BaseCommand

from rotation.digest import digests_send_due


class Command(BaseCommand):
    """Send what is due."""

    help = __doc__

    def handle(self, *_: Any, **__: Any) -> None:
        """Send and say how many."""
        count = digests_send_due()
        self.stdout.write(f"{count} letter{'' if count == 1 else 's'} sent.")
