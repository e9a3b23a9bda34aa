"""Print how good and how fast the rotation engine is on made gardens.

Run from the repository: ``python -m tests.benchmarks.rotation_table --sizes S M1 --seeds 3``.
"""

import argparse
import json
from time import monotonic

from rotation.engine.document import read_problem
from rotation.engine.search import solve
from tests.benchmarks.rotation_instances import SIZES, problem_document

HEADINGS = ("size", "seed", "cost", "bound", "gap", "off-bed", "seconds")


def main() -> None:
    """Solve every garden asked for and print one line each."""
    asked = _arguments()
    print("{:>5} {:>5} {:>10} {:>10} {:>8} {:>8} {:>8}".format(*HEADINGS))
    for size in asked.sizes:
        for seed in range(asked.seeds):
            problem = read_problem(json.dumps(problem_document(SIZES[size], seed)))
            began = monotonic()
            solution = solve(problem, seconds=asked.seconds)
            took = monotonic() - began
            off_days = sum(span.end_day - span.first_day for span in solution.off_bed)
            print(
                f"{size:>5} {seed:>5} {solution.cost:>10.2f} {solution.lower_bound:>10.2f} "
                f"{solution.gap:>8.2%} {off_days:>8} {took:>8.2f}",
                flush=True,
            )


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", nargs="+", choices=SIZES, default=list(SIZES))
    parser.add_argument("--seeds", type=int, default=3, help="gardens of each size")
    parser.add_argument("--seconds", type=float, default=10.0, help="budget of each garden")
    return parser.parse_args()


if __name__ == "__main__":
    main()
