"""The documents ``rotation-problem/1`` and ``rotation-solution/1``.

PURE. `read_problem` answers a document that cannot be used with every fault named by its field;
what passes is a `Problem` that can always be solved, because off-bed days are always allowed.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import Field

from garden.documents import Document, DocumentError, read_document
from rotation.engine.problem import (
    Costs,
    Problem,
    Rules,
    Run,
    Solution,
    Span,
    Spot,
    Stay,
    Window,
    stay_of,
)
from rotation.engine.rules import nitrogen_breaches, rest_breaches, stay_breaches

MAX_DAYS = 3660
MAX_SPOTS = 2000
MAX_RUNS = 500
MAX_WINDOWS_A_SPOT = 200
MAX_AMOUNT = 1e9
"""Largest price, distance or nitrogen taken, so that sums stay exact to well under a gram."""
MAX_STAY_CHOICES = 40_000_000
"""Run-days x spots x stay lengths: what a search must hold in memory at once."""
MAX_CARRIES = 5_000_000_000
"""Run-days x spots x spots: what a search must look at in every round."""

Name = Annotated[str, Field(min_length=1, max_length=200)]
Day = Annotated[int, Field(ge=0, le=MAX_DAYS)]
Amount = Annotated[float, Field(ge=0, le=MAX_AMOUNT)]
Place = Annotated[float, Field(ge=-MAX_AMOUNT, le=MAX_AMOUNT)]


class RulesDocument(Document):
    """The limits of every stay."""

    min_stay_days: Annotated[int, Field(ge=1, le=MAX_DAYS)]
    max_stay_days: Annotated[int, Field(ge=1, le=MAX_DAYS)]
    rest_days: Day


class CostsDocument(Document):
    """The prices of a plan."""

    move: Amount
    carry_per_metre: Amount
    off_bed_day: Amount
    wanted_nitrogen_per_gram: Amount
    changed_day: Amount = 0.0


class WindowDocument(Document):
    """Days on which a spot is open."""

    first_day: Day
    end_day: Day
    nitrogen_room_g: Amount
    nitrogen_wanted_g: Amount


class SpotDocument(Document):
    """One place for a pen."""

    id: Name
    x_m: Place
    y_m: Place
    nitrogen_room_g: Amount
    windows: Annotated[list[WindowDocument], Field(max_length=MAX_WINDOWS_A_SPOT)]


class SpanDocument(Document):
    """A pinned or announced stay."""

    spot: Name
    first_day: Day
    end_day: Day


class RunDocument(Document):
    """One pen carrying birds."""

    id: Name
    first_day: Day
    nitrogen_g: Annotated[list[Amount], Field(min_length=1, max_length=MAX_DAYS)]
    spots: Annotated[list[Name], Field(max_length=MAX_SPOTS)]
    starts_on: Name | None = None
    stood_days: Day = 0
    pinned: Annotated[list[SpanDocument], Field(max_length=MAX_DAYS)] = []
    announced: Annotated[list[SpanDocument], Field(max_length=MAX_DAYS)] = []


class ProblemDocument(Document):
    """The whole ``rotation-problem/1`` document."""

    format: Literal["rotation-problem/1"]
    days: Annotated[int, Field(ge=1, le=MAX_DAYS)]
    rules: RulesDocument
    costs: CostsDocument
    spots: Annotated[list[SpotDocument], Field(max_length=MAX_SPOTS)]
    runs: Annotated[list[RunDocument], Field(max_length=MAX_RUNS)]


def read_problem(raw: bytes | str) -> Problem:
    """Read a ``rotation-problem/1`` document.

    Raises
    ------
    DocumentError
        With one line per fault of form, then of sense, then of size, each naming its field.
    """
    document = read_document(raw, ProblemDocument)
    for faults in (_sense_faults, _size_faults):
        _raise_any(list(faults(document)))
    problem = _problem(document)
    _raise_any(list(_pin_faults(problem)))
    return problem


def write_solution(problem: Problem, solution: Solution) -> dict[str, Any]:
    """Return the ``rotation-solution/1`` document, ready for JSON.

    The item ``changed`` is told only where the problem announces something.
    """
    items = solution.cost_items
    cost_items = {
        "moves": items.moves,
        "carry": items.carry,
        "off_bed": items.off_bed,
        "wanted_nitrogen": items.wanted_nitrogen,
    }
    if any(run.announced for run in problem.runs):
        cost_items["changed"] = items.changed
    return {
        "format": "rotation-solution/1",
        "status": solution.status,
        "cost": solution.cost,
        "lower_bound": solution.lower_bound,
        "gap": solution.gap,
        "cost_items": cost_items,
        "seconds": round(solution.seconds, 3),
        "seed": solution.seed,
        "stays": [
            {
                "run": stay.run,
                "spot": stay.spot,
                "first_day": stay.first_day,
                "end_day": stay.end_day,
                "nitrogen_g": stay.nitrogen_g,
            }
            for stay in solution.stays
        ],
        "off_bed": [
            {
                "run": span.run,
                "first_day": span.first_day,
                "end_day": span.end_day,
                "because": dict(span.because),
            }
            for span in solution.off_bed
        ],
    }


def _raise_any(faults: list[str]) -> None:
    if faults:
        raise DocumentError(faults)


def _sense_faults(document: ProblemDocument) -> Iterator[str]:
    if document.rules.max_stay_days < document.rules.min_stay_days:
        yield "rules.max_stay_days: expected at least rules.min_stay_days"
    yield from _repeated_ids("spots", [spot.id for spot in document.spots])
    yield from _repeated_ids("runs", [run.id for run in document.runs])
    for index, spot in enumerate(document.spots):
        yield from _window_faults(f"spots[{index}].windows", spot.windows, document.days)
    known = {spot.id for spot in document.spots}
    for index, run in enumerate(document.runs):
        yield from _run_faults(f"runs[{index}]", run, known, document.days)


def _repeated_ids(name: str, ids: Sequence[str]) -> Iterator[str]:
    first_use: dict[str, int] = {}
    for index, one in enumerate(ids):
        if one in first_use:
            earlier = f"{name}[{first_use[one]}]"
            yield f"{name}[{index}].id: expected an id used once, {one!r} is also {earlier}"
        first_use.setdefault(one, index)


def _window_faults(name: str, windows: Sequence[WindowDocument], days: int) -> Iterator[str]:
    for index, window in enumerate(windows):
        if window.first_day >= window.end_day:
            yield f"{name}[{index}].end_day: expected a day after first_day"
        if window.end_day > days:
            yield f"{name}[{index}].end_day: expected at most days, {days}"
    for index, (earlier, later) in enumerate(pairwise(windows), start=1):
        if later.first_day < earlier.end_day:
            yield f"{name}[{index}].first_day: expected windows in order that do not overlap"


def _run_faults(name: str, run: RunDocument, known: set[str], days: int) -> Iterator[str]:
    end_day = run.first_day + len(run.nitrogen_g)
    if end_day > days:
        yield f"{name}.nitrogen_g: expected the run to end by days, {days}, it ends on {end_day}"
    first_use: dict[str, int] = {}
    for index, spot in enumerate(run.spots):
        if spot not in known:
            yield f"{name}.spots[{index}]: expected the id of a spot, got {spot!r}"
        elif spot in first_use:
            yield f"{name}.spots[{index}]: expected each spot once, {spot!r} is repeated"
        first_use.setdefault(spot, index)
    if run.starts_on is not None and run.starts_on not in known:
        yield f"{name}.starts_on: expected the id of a spot, got {run.starts_on!r}"
    if run.starts_on is None and run.stood_days > 0:
        yield f"{name}.stood_days: expected 0 where starts_on is null"
    for field, spans in (("pinned", run.pinned), ("announced", run.announced)):
        yield from _span_faults(f"{name}.{field}", spans, known, (run.first_day, end_day))


def _span_faults(
    name: str, spans: Sequence[SpanDocument], known: set[str], days: tuple[int, int]
) -> Iterator[str]:
    for index, span in enumerate(spans):
        if span.spot not in known:
            yield f"{name}[{index}].spot: expected the id of a spot, got {span.spot!r}"
        if span.first_day >= span.end_day:
            yield f"{name}[{index}].end_day: expected a day after first_day"
        if span.first_day < days[0] or span.end_day > days[1]:
            yield f"{name}[{index}]: expected days of the run, {days[0]} to {days[1]}"
    in_order = sorted(enumerate(spans), key=lambda entry: entry[1].first_day)
    for (_, earlier), (index, later) in pairwise(in_order):
        if later.first_day < earlier.end_day:
            yield f"{name}[{index}].first_day: expected spans that do not overlap"


def _size_faults(document: ProblemDocument) -> Iterator[str]:
    longest = document.rules.max_stay_days
    choices = sum(
        len(run.nitrogen_g) * len(run.spots) * min(longest, len(run.nitrogen_g))
        for run in document.runs
    )
    if choices > MAX_STAY_CHOICES:
        yield f"runs: expected at most {MAX_STAY_CHOICES} possible stays in all, got {choices}"
    carries = sum(len(run.nitrogen_g) * len(run.spots) ** 2 for run in document.runs)
    if carries > MAX_CARRIES:
        yield f"runs: expected at most {MAX_CARRIES} possible carries in all, got {carries}"


def _pin_faults(problem: Problem) -> Iterator[str]:
    """A pin must keep the rules by itself and beside the other pins."""
    pins: list[Stay] = []
    for number, run in enumerate(problem.runs):
        for index, pin in enumerate(run.pinned):
            stay = stay_of(run, pin.spot, pin.first_day, pin.end_day)
            pins.append(stay)
            for breach in stay_breaches(problem, [stay]):
                yield f"runs[{number}].pinned[{index}]: expected a stay within the rules, {breach}"
    for breach in (*rest_breaches(problem, pins), *nitrogen_breaches(problem, pins)):
        yield f"runs[].pinned: expected stays within the rules, {breach}"


def _problem(document: ProblemDocument) -> Problem:
    return Problem(
        days=document.days,
        rules=Rules(**document.rules.model_dump()),
        costs=Costs(**document.costs.model_dump()),
        spots=tuple(_spot(spot) for spot in document.spots),
        runs=tuple(_run(run) for run in document.runs),
    )


def _spot(spot: SpotDocument) -> Spot:
    windows = tuple(Window(**window.model_dump()) for window in spot.windows)
    return Spot(spot.id, spot.x_m, spot.y_m, spot.nitrogen_room_g, windows)


def _run(run: RunDocument) -> Run:
    return Run(
        id=run.id,
        first_day=run.first_day,
        nitrogen_g=tuple(run.nitrogen_g),
        spots=tuple(run.spots),
        starts_on=run.starts_on,
        stood_days=run.stood_days,
        pinned=tuple(Span(**span.model_dump()) for span in run.pinned),
        announced=tuple(Span(**span.model_dump()) for span in run.announced),
    )
