"""One pen's places with everything else of a plan held fast: who else stands there, what room is left."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from rotation.engine.problem import Problem, Spot, Window
from rotation.facts import GardenFacts, PenRun, stretch_of
from rotation.ground import Horizon, Stretch
from rotation.models import PlannedStay
from rotation.problems import SizeProblem, size_problem


@dataclass(frozen=True)
class Visit:
    """A planned stay as far as it touches one place; `nitrogen_g` is what falls on that place."""

    pen: str
    is_own: bool
    first_day: date
    end_day: date
    nitrogen_g: float


@dataclass(frozen=True)
class Account:
    """The problem of one run alone, and the planned stays on each of its places, in order.

    The rest around planned stays and what they drop are not yet in `part`; `around_others` puts in those
    of the other pens.
    """

    run: PenRun
    part: SizeProblem
    visits: dict[str, tuple[Visit, ...]]

    @property
    def horizon(self) -> Horizon:
        """The days planned for."""
        return self.part.horizon

    @cached_property
    def spots(self) -> dict[str, Spot]:
        """The places by the engine's name."""
        return {spot.id: spot for spot in self.part.problem.spots}

    def room_left_g(self, spot: Spot, day: date) -> float | None:
        """Return what may still be dropped on a spot on a day, the plan's stays taken off [g].

        None where no window of the spot is open on the day.
        """
        index = self.horizon.index(day)
        window = next((w for w in spot.windows if w.first_day <= index < w.end_day), None)
        if window is None:
            return None
        visits = self.visits[spot.id]
        in_window_g = sum(visit.nitrogen_g for visit in visits if self._within(window, visit))
        left_g = window.nitrogen_room_g - in_window_g
        return min(left_g, spot.nitrogen_room_g - sum(visit.nitrogen_g for visit in visits))

    def around_others(self) -> Problem:
        """Return the problem of this run with the ground of all other pens taken."""
        spots = tuple(
            self._around(spot, [visit for visit in self.visits[spot.id] if not visit.is_own])
            for spot in self.part.problem.spots
        )
        return replace(self.part.problem, spots=spots)

    def _around(self, spot: Spot, visits: Sequence[Visit]) -> Spot:
        left_g = max(0.0, spot.nitrogen_room_g - sum(visit.nitrogen_g for visit in visits))
        windows = tuple(piece for window in spot.windows for piece in self._cut(window, visits))
        return replace(spot, nitrogen_room_g=left_g, windows=windows)

    def _cut(self, window: Window, visits: Sequence[Visit]) -> Iterator[Window]:
        dropped_g = sum(visit.nitrogen_g for visit in visits if self._within(window, visit))
        left = replace(
            window,
            nitrogen_room_g=max(0.0, window.nitrogen_room_g - dropped_g),
            nitrogen_wanted_g=max(0.0, window.nitrogen_wanted_g - dropped_g),
        )
        days, rest = self.horizon.index, self.part.problem.rules.rest_days
        taken = [(days(v.first_day) - rest, days(v.end_day) + rest) for v in visits]
        return without_days(left, taken)

    def _within(self, window: Window, visit: Visit) -> bool:
        return window.first_day <= self.horizon.index(visit.first_day) < window.end_day


def without_days(window: Window, taken: Iterable[tuple[int, int]]) -> Iterator[Window]:
    """Yield what half-open spans of days leave of a window; each piece has all of its room."""
    free_from = window.first_day
    for first_day, end_day in sorted(taken):
        if free_from < min(first_day, window.end_day):
            yield replace(window, first_day=free_from, end_day=min(first_day, window.end_day))
        free_from = max(free_from, end_day)
    if free_from < window.end_day:
        yield replace(window, first_day=free_from)


def account_of(facts: GardenFacts, stays: Iterable[PlannedStay], run: PenRun) -> Account:
    """Return the account of one run.

    Parameters
    ----------
    stays : iterable of PlannedStay
        The whole plan, with `pen` loaded.
    run : PenRun
        One of the facts' runs.
    """
    ahead = [
        stay
        for stay in stays
        if stay.bed_id in facts.beds and max(stay.first_day, facts.on) < stay.end_day
    ]
    own = [stay for stay in ahead if _is_of(stay, run)]
    part = size_problem(replace(facts, runs=(run,), pins=()), [run], decided=(), announced=own)
    return Account(
        run,
        part,
        {
            name: tuple(_visits(place, ahead, run, facts.on))
            for name, place in part.stretches.items()
        },
    )


def _visits(place: Stretch, stays: Iterable[PlannedStay], run: PenRun, on: date) -> Iterator[Visit]:
    for stay in sorted(stays, key=lambda stay: stay.first_day):
        ground = stretch_of(stay)
        if place.overlaps(ground):
            yield Visit(
                pen=stay.pen.name,
                is_own=_is_of(stay, run),
                first_day=max(stay.first_day, on),
                end_day=stay.end_day,
                nitrogen_g=stay.nitrogen_ahead_g(on) * place.share_of(ground),
            )


def _is_of(stay: PlannedStay, run: PenRun) -> bool:
    return (stay.batch_id, stay.pen_id) == (run.batch.pk, run.pen.pk)
