"""Draw the product's icons into `static/`."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from garden.icons import write_icons


class Command(BaseCommand):
    """Write the SVG icon and the PNG icons that phones install."""

    help = __doc__

    def handle(self, *args: Any, **options: Any) -> None:
        """Write them and say where."""
        for path in write_icons(settings.BASE_DIR / "static"):
            self.stdout.write(f"{path.name}: {path.stat().st_size} bytes")
