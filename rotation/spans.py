"""Stays of rows, told or fixed by the grower, as spans of the engine; and which fixed ones it cannot have.

The engine refuses a problem whose pinned stays break a rule, and life may have made one impossible since it
was set: a crop was put in, birds grew, another pen stayed longer. Such a pin is left out of the problem and
told, so that planning goes on.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rotation.engine.problem import Problem, Span, stay_of
from rotation.engine.problem import Stay as EngineStay
from rotation.engine.rules import Breach, nitrogen_breaches, rest_breaches, stay_breaches
from rotation.facts import GardenFacts, PenRun, stretch_of
from rotation.ground import Horizon, Occupied, Stretch
from rotation.models import PinnedStay, PlannedStay


@dataclass(frozen=True)
class BrokenPin:
    """A stay that the grower has fixed, with the rules it breaks, in the engine's names."""

    pin: PinnedStay
    breaches: tuple[Breach, ...]


@dataclass(frozen=True)
class Whereabouts:
    """Where one run may stand, by the engine's names, and when."""

    run: PenRun
    names: tuple[str, ...]
    now: str | None
    """The spot on which the pen may go on standing."""
    places: Mapping[str, Stretch]
    horizon: Horizon

    def told(self, stay: PlannedStay) -> Span | None:
        """Return what is ahead of a told stay; None where nothing is, or it names no spot of the run."""
        return self._span(stay, self._goes_on(stay, timedelta(days=1)))

    def fixed(self, pin: PinnedStay, rest_days: int) -> Span | None:
        """Return what is ahead of a pin; None where it names no spot of the run.

        A pen that was put there early cannot leave and come back within the rest, so it stays from today.
        """
        return self._span(pin, self._goes_on(pin, timedelta(days=max(rest_days, 1))))

    def _goes_on(self, stay: PlannedStay | PinnedStay, before: timedelta) -> bool:
        """Whether a stay that begins within some days from today is the one that lasts already."""
        return (
            self.now is not None
            and stay.bed_id is not None
            and self._first_day(stay) < self.horizon.first_day + before
            and stretch_of(stay).overlaps(self.places[self.now])
        )

    def _first_day(self, stay: PlannedStay | PinnedStay) -> date:
        return max(stay.first_day, self.run.first_day)

    def _span(self, stay: PlannedStay | PinnedStay, goes_on: bool) -> Span | None:
        first_day = self.horizon.first_day if goes_on else self._first_day(stay)
        end_day = min(stay.end_day, self.run.end_day, self.horizon.end_day)
        if stay.bed_id is None or first_day >= end_day:
            return None
        name = self.now if goes_on else stretch_of(stay).id
        if name not in self.names:
            return None
        return Span(name, self.horizon.index(first_day), self.horizon.index(end_day))


def pinned(
    problem: Problem, whereabouts: Iterable[Whereabouts], facts: GardenFacts
) -> tuple[Problem, tuple[BrokenPin, ...]]:
    """Put what the grower has fixed into a problem.

    Returns
    -------
    Problem, tuple of BrokenPin
        The problem with every pin that keeps the rules beside those set before it, and the others.
    """
    kept: list[EngineStay] = []
    broken: list[BrokenPin] = []
    found = {at.run.id: at for at in whereabouts}
    for pin, run in _pins_of(facts, [at.run for at in found.values()]):
        span = found[run.id].fixed(pin, facts.garden.rest_days)
        breaches = _breaches(problem, run, span, kept)
        if breaches:
            broken.append(BrokenPin(pin, breaches))
        else:
            kept.append(_engine_stay(problem, run, span))
    runs = tuple(
        replace(
            run,
            pinned=tuple(
                Span(stay.spot, stay.first_day, stay.end_day) for stay in kept if stay.run == run.id
            ),
        )
        for run in problem.runs
    )
    return replace(problem, runs=runs), tuple(broken)


def _engine_stay(problem: Problem, run: PenRun, span: Span) -> EngineStay:
    engine_run = next(known for known in problem.runs if known.id == run.id)
    return stay_of(engine_run, span.spot, span.first_day, span.end_day)


def _breaches(
    problem: Problem, run: PenRun, span: Span | None, kept: Sequence[EngineStay]
) -> tuple[Breach, ...]:
    """Return the rules that a pin breaks, by itself or beside those that are kept."""
    if span is None:
        return (Breach("stay", f"{run.id}: the bed has no such place for it any more"),)
    stay = _engine_stay(problem, run, span)
    alone = tuple(stay_breaches(problem, [stay]))
    if alone:
        return alone
    elsewhere = (
        Breach("days", f"{run.id}: it is fixed to two places on one day")
        for other in kept
        if other.run == stay.run
        and other.first_day < stay.end_day
        and stay.first_day < other.end_day
    )
    together = [*kept, stay]
    return (
        *elsewhere,
        *rest_breaches(problem, together),
        *nitrogen_breaches(problem, together),
    )


def ground_pinned(facts: GardenFacts, runs: Sequence[PenRun]) -> Iterator[Occupied]:
    """Yield the ground that is fixed for runs, from today on, with what their birds will drop on it."""
    for pin, run in _pins_of(facts, runs):
        first_day = max(pin.first_day, run.first_day)
        end_day = min(pin.end_day, run.end_day)
        if first_day < end_day:
            start, end = ((day - run.first_day).days for day in (first_day, end_day))
            dropped_g = sum(run.nitrogen_g[start:end])
            yield Occupied(stretch_of(pin), first_day, end_day, dropped_g)


def _pins_of(facts: GardenFacts, runs: Iterable[PenRun]) -> Iterator[tuple[PinnedStay, PenRun]]:
    by_ids = {(run.batch.pk, run.pen.pk): run for run in runs}
    for pin in facts.pins:
        run = by_ids.get((pin.batch_id, pin.pen_id))
        if run and pin.end_day > run.first_day and pin.first_day < run.end_day:
            yield pin, run


def pin_of(stay: PlannedStay, pins: Iterable[PinnedStay]) -> PinnedStay | None:
    """Return the pin that a planned stay comes from; None for a stay that the planner chose."""
    return next(
        (
            pin
            for pin in pins
            if (pin.batch_id, pin.pen_id, pin.place) == (stay.batch_id, stay.pen_id, stay.place)
            and pin.first_day < stay.end_day
            and stay.first_day < pin.end_day
        ),
        None,
    )
