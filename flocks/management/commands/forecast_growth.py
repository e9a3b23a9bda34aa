"""``manage.py forecast_growth INPUT.json``: weight, feed and droppings of a flock, with intervals."""

from __future__ import annotations

import json
from typing import Any

from django.core.management.base import CommandError, CommandParser

from flocks.growth_document import answer_growth_document, strains_document
from garden.management.engine_command import EngineCommand


class Command(EngineCommand):
    """Answer a ``growth-forecast/1`` document, or list the built-in strains."""

    help = "Forecast the weight, feed and nitrogen of a flock from one JSON document."

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the document's path, not needed with ``--strains``."""
        parser.add_argument("document", nargs="?", help=self.document_help)
        parser.add_argument(
            "--strains", action="store_true", help="list the built-in strains as JSON instead"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Print the strains, or answer the document."""
        if options["strains"]:
            self.stdout.write(json.dumps(strains_document(), ensure_ascii=False))
            return
        if options["document"] is None:
            raise CommandError(
                "give the path of a JSON document, - for standard input, or --strains"
            )
        super().handle(*args, **options)

    def answer(self, raw: bytes, options: dict[str, Any]) -> dict[str, Any]:
        """Return the forecast asked for."""
        return answer_growth_document(raw)
