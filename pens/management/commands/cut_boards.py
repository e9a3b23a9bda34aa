"""``manage.py cut_boards INPUT.json``: the boards to buy and how to cut each."""

import argparse
from typing import Any

from django.core.management.base import CommandParser

from garden.management.engine_command import EngineCommand
from pens.cutting.document import answer


def _seconds(text: str) -> float:
    seconds = float(text)
    if not 0 < seconds <= 3600:
        raise argparse.ArgumentTypeError("expected a number of seconds > 0 and <= 3600")
    return seconds


class Command(EngineCommand):
    """Answer a ``cutting-problem/1`` with a ``cutting-solution/1``."""

    help = "Plan which boards to buy and how to cut them, at the least cost."

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the document's path and the time allowed."""
        super().add_arguments(parser)
        parser.add_argument(
            "--seconds",
            type=_seconds,
            default=10.0,
            help="time after which the best plan so far is told with its gap (10)",
        )

    def answer(self, raw: bytes, options: dict[str, Any]) -> dict[str, Any]:
        """Return the plan for a problem."""
        return answer(raw, options["seconds"])
