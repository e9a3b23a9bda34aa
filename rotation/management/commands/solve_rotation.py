"""``manage.py solve_rotation``: the rotation engine, headless."""

from argparse import ArgumentTypeError
from math import isfinite
from typing import Any

from django.core.management.base import CommandParser

from garden.management.engine_command import EngineCommand
from rotation.engine.document import read_problem, write_solution
from rotation.engine.search import DEFAULT_SECONDS, solve

LONGEST_SECONDS = 86_400.0


class Command(EngineCommand):
    """Read a rotation problem, answer with a plan, its cost and a proven bound."""

    help = (
        "Plan where each pen stands. Reads a rotation-problem/1 document and writes a "
        "rotation-solution/1 document. With --rounds alone the search ends by work and not by the clock, "
        "and the same problem and seed give the same plan; with --seconds the plan may differ from "
        "one call to the next. With both it ends by whichever is spent first."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the ends of the search and the seed to the document's path."""
        super().add_arguments(parser)
        parser.add_argument(
            "--seconds",
            type=_seconds,
            help="how long to search at most, start-up apart "
            f"(default: {DEFAULT_SECONDS:g}, without --rounds)",
        )
        parser.add_argument("--rounds", type=_count, help="how many rounds of work to do at most")
        parser.add_argument("--seed", type=_count, default=0, help="default: %(default)d")

    def answer(self, raw: bytes, options: dict[str, Any]) -> dict[str, Any]:
        """Return the plan's document for the problem's."""
        problem = read_problem(raw)
        ends = {name: options[name] for name in ("seconds", "rounds", "seed")}
        solution = solve(problem, **ends)
        return write_solution(problem, solution)


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = float("nan")
    if not isfinite(seconds) or not 0 < seconds <= LONGEST_SECONDS:
        raise ArgumentTypeError(f"expected seconds above 0 and up to {LONGEST_SECONDS:g}")
    return seconds


def _count(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 9:
        raise ArgumentTypeError("expected a whole number >= 0")
    return int(text)
