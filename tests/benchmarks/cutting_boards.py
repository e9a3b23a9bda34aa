"""How quickly boards are planned, and how often the plan is proven the cheapest.

Run ``python -m tests.benchmarks.cutting_boards [seconds a problem] [--beside]``; it prints a table. With
``--beside`` the same problems are also given, as a plain integer programme, to HiGHS and to CP-SAT.
"""

import argparse
import random
import time
from collections.abc import Callable, Iterator
from fractions import Fraction

from pens.cutting.problem import Piece, Plan, Problem, Stock
from pens.cutting.search import cut_boards
from tests.benchmarks.cutting_plain import Answer, by_cp_sat, by_highs

SEEDS = range(5)
KERF_TICKS = 300
SHOP = ((243_800, "4.10"), (304_800, "5.35"), (365_800, "6.60"), (487_700, "9.20"))
"""Lengths [ticks of 0.01 mm] and prices of a made-up lumber yard."""


def _shop(profile: str = "2x3") -> list[Stock]:
    return [Stock(profile, length, Fraction(price)) for length, price in SHOP]


def _pieces(draw: random.Random, kinds: int, most: int, step: int = 100) -> tuple[Piece, ...]:
    return tuple(
        Piece("2x3", draw.randrange(20_000, 240_000, step), draw.randint(1, most), f"part {i}")
        for i in range(kinds)
    )


def pen(draw: random.Random) -> Problem:
    """Three profiles of a pen, a few parts each."""
    profiles = ("2x2", "2x3", "1x4")
    pieces = tuple(
        Piece(profile, draw.randrange(30_000, 240_000, 100), draw.choice((2, 4, 6)), f"part {i}")
        for profile in profiles
        for i in range(5)
    )
    return Problem(KERF_TICKS, 0, tuple(s for p in profiles for s in _shop(p)), pieces)


def workshop(draw: random.Random) -> Problem:
    """Twenty lengths from four kinds of board."""
    return Problem(KERF_TICKS, 500, tuple(_shop()), _pieces(draw, 20, 30))


def inches(draw: random.Random) -> Problem:
    """Lengths in sixteenths of an inch, kept to a hundredth of a millimetre."""
    pieces = tuple(
        Piece("2x3", round(draw.randint(150, 1500) * 2540 / 16), draw.randint(1, 12), f"part {i}")
        for i in range(15)
    )
    return Problem(318, 0, tuple(_shop()), pieces)


def shed(draw: random.Random) -> Problem:
    """Thirty offcuts for nothing, all different, before the lumber yard."""
    offcuts = [
        Stock("2x3", draw.randrange(40_000, 220_000, 100), Fraction(0), 1) for _ in range(30)
    ]
    return Problem(KERF_TICKS, 0, (*offcuts, *_shop()), _pieces(draw, 12, 8))


def one_width(draw: random.Random) -> Problem:
    """One stock, forty lengths, no saw: the classical problem."""
    stock = (Stock("2x3", 560_000, Fraction(1)),)
    return Problem(0, 0, stock, _pieces(draw, 40, 40))


def triplets(draw: random.Random) -> Problem:
    """Twenty boards that are used up by three pieces each, and no other way is so good."""
    pieces = []
    for number in range(20):
        first = draw.randrange(38_000, 49_000, 100)
        second = draw.randrange(25_000, first // 2, 100) if first > 50_100 else 25_000
        second += draw.randrange(0, 5_000, 100)
        for length in (first, second, 100_000 - first - second):
            pieces.append(Piece("2x3", length, 1, f"part {number}"))
    return Problem(0, 0, (Stock("2x3", 100_000, Fraction(1)),), tuple(pieces))


def barn(draw: random.Random) -> Problem:
    """A hundred lengths, about two thousand pieces."""
    return Problem(KERF_TICKS, 0, tuple(_shop()), _pieces(draw, 100, 40))


def items_120(draw: random.Random) -> Problem:
    """A hundred and twenty items of 20 to 100 into bins of 150, as the classical sets draw them."""
    stock = (Stock("2x3", 150, Fraction(1)),)
    items = (Piece("2x3", draw.randint(20, 100), 1, f"item {i}") for i in range(120))
    return Problem(0, 0, stock, tuple(items))


def triplets_120(draw: random.Random) -> Problem:
    """A hundred and twenty items that fill forty bins of 1000 by threes and no other way."""
    lengths = []
    for _ in range(40):
        first = draw.randint(380, 490)
        second = draw.randint(250, (1000 - first) // 2)
        lengths += [first, second, 1000 - first - second]
    pieces = tuple(Piece("2x3", length, 1, f"item {i}") for i, length in enumerate(lengths))
    return Problem(0, 0, (Stock("2x3", 1000, Fraction(1)),), pieces)


def fifty_sizes(draw: random.Random) -> Problem:
    """Fifty lengths, five hundred pieces."""
    pieces = (Piece("2x3", draw.randint(500, 5000), 10, f"part {i}") for i in range(50))
    return Problem(0, 0, (Stock("2x3", 10_000, Fraction(1)),), tuple(pieces))


FAMILIES: tuple[Callable[[random.Random], Problem], ...] = (
    pen, workshop, inches, shed, one_width, triplets, items_120, triplets_120, fifty_sizes, barn,
)  # fmt: skip


def rows(seconds: float) -> Iterator[str]:
    """Solve every family and yield a line of figures for each."""
    for family in FAMILIES:
        plans: list[Plan] = []
        times = []
        for seed in SEEDS:
            started = time.monotonic()
            plans.append(cut_boards(family(random.Random(seed)), seconds))
            times.append(time.monotonic() - started)
        answers = [Answer(plan.cost, plan.lower_bound) for plan in plans]
        yield _row(family.__name__, "ours", answers, times)


def rows_beside(seconds: float) -> Iterator[str]:
    """Solve the first problem of every family three ways and yield a line for each way."""
    ways = {
        "ours": lambda problem: _ours(problem, seconds),
        "HiGHS": lambda problem: by_highs(problem, seconds),
        "CP-SAT": lambda problem: by_cp_sat(problem, seconds),
    }
    for family in FAMILIES:
        for name, solve in ways.items():
            started = time.monotonic()
            answer = solve(family(random.Random(SEEDS[0])))
            yield _row(family.__name__, name, [answer], [time.monotonic() - started])


def _ours(problem: Problem, seconds: float) -> Answer:
    plan = cut_boards(problem, seconds)
    return Answer(plan.cost, plan.lower_bound)


def _row(family: str, way: str, answers: list[Answer], times: list[float]) -> str:
    proven = sum(answer.gap == 0 for answer in answers)
    cost = "none found" if answers[0].cost is None else f"{float(answers[0].cost):g}"
    return (
        f"{family:13} {way:7} {proven}/{len(answers)} proven   worst gap "
        f"{max(answer.gap for answer in answers):8.3%}   median {sorted(times)[len(times) // 2]:6.2f} s   "
        f"longest {max(times):6.2f} s   cost of the first {cost}"
    )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("seconds", type=float, nargs="?", default=10.0)
    parser.add_argument(
        "--beside", action="store_true", help="HiGHS and CP-SAT on a plain programme"
    )
    asked = parser.parse_args()
    for row in (rows_beside if asked.beside else rows)(asked.seconds):
        print(row, flush=True)
