"""One method on one made garden, measured in a process of its own.

A fresh process for each measurement keeps one method's memory and heat out of another's figures.
"""

import json
import multiprocessing
import resource
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from math import inf
from time import monotonic

from garden.documents import DocumentError
from rotation.engine.document import read_problem
from rotation.engine.problem import Problem, Progress, relative_gap
from rotation.engine.search import solve
from tests.benchmarks.rotation_cp_sat import solved_by_cp_sat
from tests.benchmarks.rotation_generic import Answer, TooLargeError, solved_by_highs
from tests.benchmarks.rotation_instances import Size, problem_document

OURS = "ours"
GENERIC = {"cp-sat": solved_by_cp_sat, "highs": solved_by_highs}

NEAR = 0.05
"""Gap whose time is taken."""


@dataclass(frozen=True, slots=True)
class Task:
    """What to measure."""

    size: Size
    seed: int
    shape: str
    method: str
    seconds: float


@dataclass(frozen=True, slots=True)
class Figures:
    """What came of it; a cost of None says that no plan was found, or the garden refused as too large."""

    cost: float | None
    lower_bound: float
    off_bed_days: int
    seconds: float
    memory_mb: float
    near_after: float | None
    """Seconds until the gap was `NEAR`, or None."""

    @property
    def gap(self) -> float:
        """Relative gap between cost and bound, without end where either is missing."""
        return inf if self.cost is None else relative_gap(self.cost, self.lower_bound)


def measured(task: Task) -> Figures:
    """Return the figures of a task, done in a process of its own."""
    spawn = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(1, mp_context=spawn) as pool:
        return pool.submit(_figures, task).result()


def _figures(task: Task) -> Figures:
    _warm_up()
    document = json.dumps(problem_document(task.size, task.seed, task.shape))
    began = monotonic()
    try:
        answer, near_after = _answer(read_problem(document), task)
    except (DocumentError, TooLargeError):
        answer, near_after = Answer(None, -inf, (), ()), None
    return Figures(
        cost=answer.cost,
        lower_bound=answer.lower_bound,
        off_bed_days=sum(span.end_day - span.first_day for span in answer.off_bed),
        seconds=monotonic() - began,
        # the kernel tells kilobytes
        memory_mb=resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        near_after=near_after,
    )


def _warm_up() -> None:
    """Load what is loaded or compiled once, so that it is in nobody's time."""
    small = Size(spots=3, pens=1, days=36, runs=1)
    solve(read_problem(json.dumps(problem_document(small, 0))), rounds=20)


def _answer(problem: Problem, task: Task) -> tuple[Answer, float | None]:
    if task.method != OURS:
        return GENERIC[task.method](problem, task.seconds), None
    near: list[float] = []

    def watch(progress: Progress) -> bool:
        if not near and progress.gap <= NEAR:
            near.append(progress.seconds)
        return False

    plan = solve(problem, seconds=task.seconds, seed=0, watch=watch)
    answer = Answer(plan.cost, plan.lower_bound, plan.stays, plan.off_bed)
    return answer, near[0] if near else None
