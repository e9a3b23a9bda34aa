"""Print how good and how fast the rotation engine is on made gardens, and how general solvers fare.

Run from the repository::

    python -m tests.benchmarks.rotation_table --sizes S M1 --seeds 3 --against cp-sat highs
    python -m tests.benchmarks.rotation_table --sizes M1 --shapes scarce mended
    python -m tests.benchmarks.rotation_table --growth

Every solver has one core and the same seconds; making a general solver's model is not counted. Times on a
shared machine say little by themselves: compare within a line.
"""

import argparse
from collections.abc import Iterator
from math import isfinite

from tests.benchmarks.rotation_instances import SIZES, Size
from tests.benchmarks.rotation_measure import GENERIC, OURS, Figures, Task, measured
from tests.benchmarks.rotation_shapes import SHAPES

SECONDS = {"S": 1.0, "M1": 10.0, "M2": 10.0, "L": 60.0, "XL": 300.0}
"""What each size is given unless `--seconds` says otherwise."""

GROWING = (
    SIZES["S"],
    Size(spots=25, pens=1, days=120, runs=2),
    SIZES["M1"],
    SIZES["M2"],
    Size(spots=100, pens=3, days=180, runs=9),
    SIZES["L"],
    Size(spots=450, pens=10, days=300, runs=40),
    SIZES["XL"],
)
"""Gardens ever larger in all ways at once."""

GROWTH_SECONDS = 60.0


def main() -> None:
    """Measure every garden asked for and print a line each."""
    asked = _arguments()
    for line in _growth(asked) if asked.growth else _table(asked):
        print(line, flush=True)


def _table(asked: argparse.Namespace) -> Iterator[str]:
    headings = ("size", "shape", "seed", "s", "cost", "bound", "gap", "off-bed", "took s", "MB")
    against = "".join(f"{name:>11}{'ratio':>10}" for name in asked.against)
    yield _row(*headings) + against
    for size in asked.sizes:
        for shape in asked.shapes:
            for seed in range(asked.seeds):
                seconds = asked.seconds or SECONDS[size]
                task = Task(SIZES[size], seed, shape, OURS, seconds)
                ours = measured(task)
                line = _row(size, shape, seed, f"{seconds:g}", *_told(ours))
                for method in asked.against:
                    theirs = measured(Task(SIZES[size], seed, shape, method, seconds))
                    line += f"{_gap(theirs):>11}{_ratio(theirs, ours):>10}"
                yield line


def _growth(asked: argparse.Namespace) -> Iterator[str]:
    seconds = asked.seconds or GROWTH_SECONDS
    yield f"{'spots':>6}{'runs':>6}{'seed':>6}{'s to 5 %':>10}{f'gap, {seconds:g} s':>14}{'MB':>7}"
    for size in GROWING:
        for seed in range(asked.seeds):
            ours = measured(Task(size, seed, "plain", OURS, seconds))
            near = "-" if ours.near_after is None else f"{ours.near_after:.2f}"
            yield (
                f"{size.spots:>6}{size.runs:>6}{seed:>6}{near:>10}{_gap(ours):>14}"
                f"{ours.memory_mb:>7.0f}"
            )


def _row(*cells: object) -> str:
    widths = (5, 11, 5, 5, 11, 11, 9, 8, 8, 6)
    return "".join(f"{cell!s:>{width}}" for cell, width in zip(cells, widths, strict=True))


def _told(figures: Figures) -> tuple[str, ...]:
    return (
        "none" if figures.cost is None else f"{figures.cost:.2f}",
        f"{figures.lower_bound:.2f}",
        _gap(figures),
        str(figures.off_bed_days),
        f"{figures.seconds:.2f}",
        f"{figures.memory_mb:.0f}",
    )


def _gap(figures: Figures) -> str:
    return f"{figures.gap:.2%}" if isfinite(figures.gap) else "none"


def _ratio(theirs: Figures, ours: Figures) -> str:
    """Tell how many times wider their gap is; a gap below a millionth counts as a millionth."""
    ratio = max(theirs.gap, 1e-6) / max(ours.gap, 1e-6)
    return f"{ratio:.3g}" if isfinite(ratio) else "-"


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--sizes", nargs="+", choices=SIZES, default=list(SIZES))
    parser.add_argument("--shapes", nargs="+", choices=SHAPES, default=["plain"])
    parser.add_argument("--seeds", type=int, default=1, help="gardens of each size and shape")
    parser.add_argument(
        "--seconds", type=_seconds, default=None, help="budget of each garden, or auto (default)"
    )
    parser.add_argument("--against", nargs="+", choices=GENERIC, default=[])
    parser.add_argument("--growth", action="store_true", help="ever larger gardens instead")
    return parser.parse_args()


def _seconds(text: str) -> float | None:
    return None if text == "auto" else float(text)


if __name__ == "__main__":
    main()
