"""Plans in which no pen is sent back to where it stands now: the engine's, tried again where one is.

PURE. The ground under a pen is a spot of its own, on which its stay goes on. Once the pen has left, the engine
knows of no stay there and so of no rest that is owed, and may have it come back within a few days.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from rotation.engine.problem import (
    Problem,
    Progress,
    Run,
    Solution,
    Span,
    Spot,
    stay_of,
)
from rotation.engine.rules import nitrogen_breaches, stay_breaches
from rotation.engine.search import solve

RETRY_SHARE = 0.5
"""Share of the time for a search that those after it may take besides where it sent a pen back. Our choice."""


def solve_going_on(
    problem: Problem,
    *,
    seconds: float | None = None,
    rounds: int | None = None,
    seed: int = 0,
    watch: Callable[[Progress], bool] | None = None,
) -> Solution:
    """Return a plan in which every pen that leaves where it stands stays away.

    Where the engine sends one back, each day is tried on which it may leave for good, today included. One of
    them is right, so the best of these plans is as good as its search, and the least of their bounds holds.
    Where several are sent back, that is decided for one after the other, and the bound is that of the first.

    Parameters
    ----------
    problem, seconds, rounds, seed, watch
        As for `rotation.engine.search.solve`, but in all it may take twice as long.

    Returns
    -------
    Solution
        Its costs are those of `problem`.
    """
    found = solve(problem, seconds=seconds, rounds=rounds, seed=seed, watch=watch)
    lower_bound, share = found.lower_bound, seconds
    narrowed, spent = problem, found.seconds
    while run := _sent_back(narrowed, found):
        cases = list(_leaving_days(narrowed, run))
        share = share and share * RETRY_SHARE
        each = share and share / len(cases)
        answers = [
            solve(case, seconds=each, rounds=rounds, seed=seed, watch=watch) for case in cases
        ]
        if narrowed is problem:
            lower_bound = max(lower_bound, min(answer.lower_bound for answer in answers))
        spent += sum(answer.seconds for answer in answers)
        found, narrowed = min(zip(answers, cases, strict=True), key=lambda pair: pair[0].cost)
    return found if narrowed is problem else _told(found, lower_bound, spent)


def _told(found: Solution, lower_bound: float, seconds: float) -> Solution:
    """Return a solution of a narrower problem with the proof for the whole one."""
    return replace(found, lower_bound=min(lower_bound, found.cost), seconds=seconds)


def _sent_back(problem: Problem, found: Solution) -> Run | None:
    """Return the first run with a stay on the spot it stands on now that does not begin there."""
    starts = {run.id: run for run in problem.runs}
    return next(
        (
            starts[stay.run]
            for stay in found.stays
            if stay.spot == starts[stay.run].starts_on
            and stay.first_day != starts[stay.run].first_day
        ),
        None,
    )


def _leaving_days(problem: Problem, run: Run) -> Iterator[Problem]:
    """Yield the problem for each day on which the run may leave where it stands, its first day included."""
    fixed_here = [pin.end_day for pin in run.pinned if pin.spot == run.starts_on]
    called_away = min((pin.first_day for pin in run.pinned), default=run.end_day)
    for day in fixed_here or range(run.first_day, called_away + 1):
        stay = stay_of(run, run.starts_on, run.first_day, day)
        breaches = (*stay_breaches(problem, [stay]), *nitrogen_breaches(problem, [stay]))
        if day == run.first_day or not breaches:
            yield _leaving_on(problem, run, day)


def _leaving_on(problem: Problem, run: Run, day: int) -> Problem:
    """Return the problem in which the run stays where it stands up to a day, when the spot is shut."""
    here = Span(run.starts_on, run.first_day, day)
    stays_on = day > run.first_day and here not in run.pinned
    pinned = replace(run, pinned=(here, *run.pinned)) if stays_on else run
    return replace(
        problem,
        spots=tuple(_shut(spot, day) if spot.id == here.spot else spot for spot in problem.spots),
        runs=tuple(pinned if each is run else each for each in problem.runs),
    )


def _shut(spot: Spot, day: int) -> Spot:
    windows = (window for window in spot.windows if window.first_day < day)
    return replace(spot, windows=tuple(replace(w, end_day=min(w.end_day, day)) for w in windows))
