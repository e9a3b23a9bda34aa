"""What the grower was told, held against how things stand now: does it still hold, and if not, why.

Also the words for it: where a pen stands, as a grower says it.
"""

import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from math import inf

from garden.day_words import day_words
from garden.models import Garden
from garden.words import gettext as _
from garden.words import mark
from rotation.changes import Doings
from rotation.engine.explain import off_bed_spans
from rotation.engine.problem import OffBed, Solution
from rotation.engine.problem import Stay as EngineStay
from rotation.engine.rules import broken_rules, cost_of
from rotation.facts import GardenFacts, stretch_of
from rotation.ground import Occupied, place_number, stretches
from rotation.models import Plan, PlannedStay
from rotation.problems import (
    SizeProblem,
    announced_stays,
    occupied_by,
    size_problem,
    sizes_of,
)

_STAY = r"(?P<pen>.+) on (?P<bed>.+), (?P<days>days \d+ to \d+)"
_GRAMS = r"[\d.e+-]+ g"
PLAINLY = (
    (
        rf"{_STAY}: not within one window of the spot",
        mark("{pen} on {bed}, {days}: the bed is not open to birds on all of them"),
    ),
    (
        rf"{_STAY}: the run may not use this spot",
        mark("{pen} on {bed}, {days}: the pen does not fit there"),
    ),
    (
        rf"{_STAY}: outside the run's days",
        mark("{pen} on {bed}, {days}: outside the run's days"),
    ),
    (
        rf"{_STAY}: shorter than (?P<n>\d+) days",
        mark("{pen} on {bed}, {days}: shorter than {n} days"),
    ),
    (
        rf"{_STAY}: longer than (?P<n>\d+) days",
        mark("{pen} on {bed}, {days}: longer than {n} days"),
    ),
    (
        rf"{_STAY}: less than (?P<n>\d+) days of rest after (?P<other>.+), (?P<then>days \d+ to \d+)",
        mark("{pen} on {bed}, {days}: less than {n} days of rest after {other}, {then}"),
    ),
    (
        rf"(?P<bed>.+): (?P<grams>{_GRAMS}) passes the (?P<room>{_GRAMS}) of its window from (?P<days>day \d+)",
        mark(
            "{bed}: the birds would leave {grams} of nitrogen, and there is room for {room} from {days} on"
        ),
    ),
    (
        rf"(?P<bed>.+): (?P<grams>{_GRAMS}) in all passes its (?P<room>{_GRAMS})",
        mark(
            "{bed}: the birds would leave {grams} of nitrogen in all, and there is room for {room}"
        ),
    ),
    (
        r"(?P<pen>.+): the pinned stay on (?P<bed>.+), (?P<days>days \d+ to \d+) is missing",
        mark("{pen}: the pinned stay on {bed}, {days} is missing"),
    ),
    (
        r"(?P<pen>.+): (?P<days>days \d+ to \d+) does not follow on (?P<then>day \d+)",
        mark("{pen}: {days} does not follow on {then}"),
    ),
    (
        r"(?P<pen>.+): planned up to (?P<days>day \d+), its birds stay up to (?P<then>day \d+)",
        mark("{pen}: planned up to {days}, its birds stay up to {then}"),
    ),
    (
        r"(?P<pen>.+): the bed has no such place for it any more",
        mark("{pen}: the bed has no such place for it any more"),
    ),
    (
        r"(?P<pen>.+): it is fixed to two places on one day",
        mark("{pen}: it is fixed to two places on one day"),
    ),
)
"""Sentences of the engine's rules, and how a grower says them."""


def ground_fingerprint(facts: GardenFacts) -> str:
    """Return a text that differs when beds, crops, closures, rules, pens, batches or pins differ."""
    garden = facts.garden
    # As text, because a row that was just made holds other kinds of numbers and words than one that was read.
    fields = Garden._meta.concrete_fields
    rules = [str(field.to_python(getattr(garden, field.attname))) for field in fields]
    beds = [
        (
            bed.pk,
            bed.kind,
            bed.length_mm,
            bed.width_mm,
            bed.x_m,
            bed.y_m,
            bed.lies_across,
            bed.turned_deg,
            facts.beds[bed.pk].plantings,
            facts.beds[bed.pk].closures,
        )
        for bed in (known.bed for known in facts.beds.values())
    ]
    runs = [
        (
            run.id,
            run.pen.length_mm,
            run.pen.width_mm,
            run.batch.leaves_brooder_on,
            run.batch.processing_on,
        )
        for run in facts.runs
    ]
    # Spent pins count too: that one has come to pass is no reason to plan anew.
    fixed = [
        (pin.batch_id, pin.pen_id, pin.place, pin.stretch_mm, pin.first_day, pin.end_day)
        for pin in (*facts.pins, *facts.spent_pins)
    ]
    ground = (rules, beds, sorted(runs, key=repr), sorted(fixed, key=repr))
    return hashlib.sha256(repr(ground).encode()).hexdigest()


def holds(plan: Plan, facts: GardenFacts) -> bool:
    """Say whether a plan keeps every rule now, without a day off the beds that was not told."""
    told = list(plan.stays.all())
    off_told = {
        (stay.batch_id, stay.pen_id, day)
        for stay in told
        if stay.bed_id is None
        for day in _days(stay.first_day, stay.end_day)
    }
    return all(
        not broken_rules(part.problem, stays, off)
        and {(*_ids(part, days.run), day) for days in off for day in _off_days(part, days)}
        <= off_told
        for part, stays, off in told_parts(told, facts)
    )


ToldPart = tuple[SizeProblem, list[EngineStay], tuple[OffBed, ...]]
"""The problem of one size of pen, with what was told of it as the engine's stays and days off the beds."""


def told_parts(
    told: Sequence[PlannedStay], facts: GardenFacts, decided: Iterable[Occupied] = ()
) -> Iterable[ToldPart]:
    """Yield what was told for each size of pen, the larger ones standing as told.

    Ground that is `decided` is taken for good.
    """
    decided = list(decided)
    for runs in sizes_of(facts):
        part = size_problem(facts, runs, decided=decided, announced=told)
        stays = announced_stays(part)
        decided += occupied_by(part, stays)
        yield part, stays, off_bed_spans(part.problem, stays)


def _ids(part: SizeProblem, run_id: str) -> tuple[int, int]:
    run = part.runs[run_id]
    return run.batch.pk, run.pen.pk


def _off_days(part: SizeProblem, days: OffBed) -> Iterable[date]:
    start = part.horizon.first_day
    return _days(start + timedelta(days=days.first_day), start + timedelta(days=days.end_day))


def _days(first_day: date, end_day: date) -> Iterable[date]:
    return (first_day + timedelta(days=day) for day in range((end_day - first_day).days))


def doings(stays: Iterable[PlannedStay], facts: GardenFacts) -> Doings:
    """Return where each pen stands on each day from today on, in words."""
    return {
        (stay.pen.name, day): place_words(stay, facts)
        for stay in stays
        for day in _days(max(stay.first_day, facts.on), stay.end_day)
    }


def place_words(stay: PlannedStay, facts: GardenFacts) -> str:
    """Return a place as a grower says it: ``Bed 4``, ``Bed 4, place 2``, ``off the beds``."""
    if stay.bed_id is None:
        return _("off the beds")
    known = facts.beds.get(stay.bed_id)
    if known is None:
        return _("a bed given up")
    places = stretches(known.bed, stay.pen, facts.garden)
    number = place_number(places, stay.offset_mm) if len(places) > 1 else None
    if not number:
        return known.bed.name
    return _("{bed}, place {number}").format(bed=known.bed.name, number=number)


def ground_told(stays: Iterable[PlannedStay], facts: GardenFacts) -> list[Occupied]:
    """Return told stays on beds as ground taken from today on; days before are told by the actual stays."""
    ground = []
    for stay in stays:
        first_day = max(stay.first_day, facts.on)
        if stay.bed_id in facts.beds and first_day < stay.end_day:
            dropped_g = stay.nitrogen_ahead_g(facts.on)
            ground.append(Occupied(stretch_of(stay), first_day, stay.end_day, dropped_g))
    return ground


def told_if_better(part: SizeProblem, solution: Solution) -> Solution:
    """Return what the grower was told where it keeps every rule and the search found nothing cheaper.

    A search that time ends must never trade a good plan for a worse one.
    """
    stays = announced_stays(part)
    told_cost = cost_as_told(part, stays, off_bed_spans(part.problem, stays))
    return as_told(part, solution) if told_cost < solution.cost else solution


def cost_as_told(part: SizeProblem, stays: Sequence[EngineStay], off: Sequence[OffBed]) -> float:
    """Return what stays that were told cost; infinite where they break a rule now."""
    if broken_rules(part.problem, stays, off):
        return inf
    return cost_of(part.problem, stays, off).total


def as_told(
    part: SizeProblem, found: Solution, stays: Sequence[EngineStay] | None = None
) -> Solution:
    """Return what the grower was told, or other lawful stays, with the proof that a search has found."""
    stays = tuple(announced_stays(part) if stays is None else stays)
    off = off_bed_spans(part.problem, stays)
    items = cost_of(part.problem, stays, off)
    lower_bound = min(found.lower_bound, items.total)
    return replace(found, cost_items=items, lower_bound=lower_bound, stays=stays, off_bed=off)


def faults_of(plan: Plan, facts: GardenFacts) -> list[str]:
    """Return every rule that a plan breaks now, with names and days for ids and numbers."""
    return [
        in_names(str(breach), part, facts)
        for part, stays, off in told_parts(list(plan.stays.all()), facts)
        for breach in broken_rules(part.problem, stays, off)
    ]


def in_names(words: str, part: SizeProblem, facts: GardenFacts) -> str:
    """Write words of the engine's rules with names and days for ids and numbers."""
    for engines, growers in PLAINLY:
        if found := re.fullmatch(engines, words):
            told = {
                name: _told_of(name, text, part, facts) for name, text in found.groupdict().items()
            }
            return _(growers).format(**told)
    return words


def _told_of(name: str, text: str, part: SizeProblem, facts: GardenFacts) -> str:
    """Write what the engine calls by an id, a day's number or grams as a grower does."""
    if name in ("pen", "other"):
        return part.runs[text].pen.name if text in part.runs else text
    if name == "bed":
        return facts.beds[part.stretches[text].bed_id].bed.name if text in part.stretches else text
    if name in ("days", "then"):
        return _dated(part.horizon.first_day, *map(int, re.findall(r"\d+", text)))
    return f"{float(text.removesuffix(' g')):.0f} g" if text.endswith(" g") else text


def _dated(start: date, first: int, end: int | None = None) -> str:
    """Write days 3 to 6, whose end is not included, as ``Mon 15 June to Wed 17 June``."""
    first_day = start + timedelta(days=first)
    if end is None or end - first <= 1:
        return day_words(first_day)
    last = start + timedelta(days=end - 1)
    return _("{first_day} to {last}").format(first_day=day_words(first_day), last=day_words(last))
