"""What was told, mended where it breaks a rule: the other pens stay as told, so that little changes."""

from collections.abc import Sequence
from dataclasses import replace

from rotation.engine.problem import Problem, Run, Span, Stay
from rotation.engine.rules import nitrogen_breaches, rest_breaches, stay_breaches
from rotation.problems import SizeProblem, announced_stays


def mending_problem(part: SizeProblem) -> Problem | None:
    """Return the problem of finding other ground for the pens whose told stays break a rule, and for no others.

    The rest are pinned as told, days off the beds left open. The problem is much smaller than the whole, and a
    plan of it is a plan of the whole at the same cost. None where nothing that was told can stand.
    """
    problem = part.problem
    kept = _lawful(problem, announced_stays(part))
    as_told = {run.id for run in problem.runs if _is_kept(run, kept)}
    if not as_told:
        return None
    runs = (
        replace(run, pinned=run.announced) if run.id in as_told else run for run in problem.runs
    )
    return replace(problem, runs=tuple(runs))


def _lawful(problem: Problem, told: Sequence[Stay]) -> list[Stay]:
    """Return the told stays that keep the rules together, what comes first before what comes later."""
    kept: list[Stay] = []
    for stay in sorted(told, key=lambda stay: (stay.first_day, stay.run)):
        tried = [*kept, stay]
        breaches = (
            *stay_breaches(problem, tried),
            *rest_breaches(problem, tried),
            *nitrogen_breaches(problem, tried),
        )
        if not breaches:
            kept = tried
    return kept


def _is_kept(run: Run, kept: Sequence[Stay]) -> bool:
    """Whether all that was told of a run can stand, and holds what the grower has fixed."""
    spans = {Span(stay.spot, stay.first_day, stay.end_day) for stay in kept if stay.run == run.id}
    return bool(spans) and spans == set(run.announced) and spans >= set(run.pinned)
