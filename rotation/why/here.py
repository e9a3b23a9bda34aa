"""Why a stay is where it is: what speaks for the place, and what the next best would have cost.

The next best is found by planning the pen anew with this place shut on these days and all other pens left where
they are, so that the figure is a plan's and no rule of thumb.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import groupby

from garden.harvest_interval import BedWindow, windows
from garden.units import DISTANCE, NITROGEN
from garden.words import gettext as _
from rotation.carrying import carry_m
from rotation.engine.explain import off_bed_spans
from rotation.engine.problem import Problem, Span, Spot
from rotation.engine.rules import cost_of
from rotation.facts import GardenFacts, PenRun, stretch_of
from rotation.ground import centre_m
from rotation.models import PlannedStay
from rotation.planning import Effort, solved_problem
from rotation.problems import announced_stays, rows_of
from rotation.spans import pin_of
from rotation.told import place_words
from rotation.why.account import Account, account_of, without_days
from rotation.why.difference import Difference
from rotation.why.shut_words import Wording

NEXT_BEST_EFFORT = Effort(seconds=0.4, rounds=60)
"""For one pen planned anew beside the others: small, and a page waits for it. Our choice."""


@dataclass(frozen=True)
class WhyHere:
    """What a page says of one planned stay."""

    reasons: tuple[str, ...]
    """What speaks for the place, a sentence each."""
    next_best: str
    """What the next best would have cost; empty for a stay that the grower has fixed."""


def why_here(
    facts: GardenFacts, stays: Sequence[PlannedStay], run: PenRun, stay: PlannedStay
) -> WhyHere:
    """Explain one stay on a bed.

    Parameters
    ----------
    stays : sequence of PlannedStay
        The whole plan, with `pen` and `bed` loaded.
    run : PenRun
        The stay's pen with its birds, one of the facts' runs.
    stay : PlannedStay
        One of `stays`, on a bed, not over yet.
    """
    account = account_of(facts, stays, run)
    telling = _Stay(facts, account, stay, Wording(facts.on, facts.garden.unit_system))
    fixed = pin_of(stay, facts.pins) is not None
    return WhyHere(
        reasons=tuple(telling.reasons(stays, fixed=fixed)),
        next_best="" if fixed else telling.next_best(),
    )


@dataclass(frozen=True)
class _Stay:
    """One stay with what is known around it."""

    facts: GardenFacts
    account: Account
    stay: PlannedStay
    wording: Wording

    @property
    def span(self) -> Span:
        """The stay as the engine numbers it, on the spot where the pen may go on standing if it does."""
        days = self.account.horizon.index
        first_day, end_day = days(self.stay.first_day), days(self.stay.end_day)
        [engine_run] = self.account.part.problem.runs
        here = stretch_of(self.stay)
        for told in engine_run.announced:
            place = self.account.part.stretches[told.spot]
            if told.first_day == first_day and place.overlaps(here):
                return told
        return Span(here.id, first_day, end_day)

    def reasons(self, stays: Iterable[PlannedStay], *, fixed: bool) -> Iterator[str]:
        """Yield what speaks for the place."""
        if fixed:
            yield _("You have fixed this stay, and the planner plans around it.")
        yield from self._nearness(stays)
        yield from self._room()
        yield from self._open_until()

    def _nearness(self, stays: Iterable[PlannedStay]) -> Iterator[str]:
        run, system = self.account.run, self.facts.garden.unit_system
        standing, stay = run.standing, self.stay
        if standing is not None and stay.first_day <= self.facts.on:
            if stretch_of(standing).overlaps(stretch_of(stay)):
                yield _("The pen stands here already, so staying costs no move.")
                return
            before = standing if standing.bed_id in self.facts.beds else None
        else:
            before = next(
                (
                    other
                    for other in stays
                    if (other.pen_id, other.batch_id) == (stay.pen_id, stay.batch_id)
                    and other.end_day == stay.first_day
                    and other.bed_id in self.facts.beds
                ),
                None,
            )
        if before is not None:
            way_m = carry_m(self._centre(before), self._centre(stay))
            name = self.facts.beds[before.bed_id].bed.name
            said = _("It is {way} from {bed}, where the pen stands before.")
            yield said.format(way=DISTANCE.show(way_m, system), bed=name)

    def _centre(self, stay: PlannedStay) -> tuple[float, float]:
        return centre_m(self.facts.beds[stay.bed_id].bed, stretch_of(stay))

    def _room(self) -> Iterator[str]:
        spot = self.account.spots.get(self.span.spot)
        first_day = max(self.stay.first_day, self.facts.on)
        left_g = self.account.room_left_g(spot, first_day) if spot else None
        if left_g is None:
            return
        system = self.facts.garden.unit_system
        dropped_g = self.stay.nitrogen_ahead_g(self.facts.on)
        dropped, room = (NITROGEN.show(grams, system) for grams in (dropped_g, left_g + dropped_g))
        said = _("The birds drop {dropped} of nitrogen here, and the place has room for {room}.")
        yield said.format(dropped=dropped, room=room)
        crop, wanted_g = self._wanted(spot)
        if crop and wanted_g >= 1:
            wanted = NITROGEN.show(wanted_g, system)
            said = _("{crop}, planted next, can use {wanted} of it.")
            yield said.format(crop=crop, wanted=wanted)

    def _wanted(self, spot: Spot) -> tuple[str, float]:
        window = next(w for w in spot.windows if w.first_day <= self.span.first_day < w.end_day)
        crop = self._bed_window().next_crop if self._bed_window() else None
        useful_g = min(window.nitrogen_wanted_g, self.stay.nitrogen_ahead_g(self.facts.on))
        return (crop.crop_name if crop else "", useful_g)

    def _bed_window(self) -> BedWindow | None:
        horizon = self.account.horizon
        day = max(self.stay.first_day, self.facts.on)
        found = windows(
            self.facts.beds[self.stay.bed_id].plantings,
            first_day=horizon.first_day,
            end_day=horizon.end_day,
            rule=self.facts.garden.bird_day_rule(),
        )
        return next((open_ for open_ in found if open_.first_day <= day < open_.end_day), None)

    def _open_until(self) -> Iterator[str]:
        window = self._bed_window()
        if window is None or window.shut_by is None:
            return
        last_day = self.wording.day(window.end_day - timedelta(days=1))
        said = (
            _("Birds may stand here until {day}: from the next day {crop} is planted.")
            if window.shut_by.wait_days is None
            else _(
                "Birds may stand here until {day}: from the next day {crop} is too near its harvest."
            )
        )
        yield said.format(day=last_day, crop=window.shut_by.planting.crop_name)

    def next_best(self) -> str:
        """Say what the best plan costs in which the pen is not here on these days."""
        problem = self._around()
        told = announced_stays(self.account.part)
        now = cost_of(problem, told, off_bed_spans(problem, told))
        found = solved_problem(self._without_place(problem), NEXT_BEST_EFFORT)
        rows = rows_of(self.account.part, found.stays, found.off_bed)
        where = self._where(rows)
        difference = Difference.between(now, found.cost_items, problem.costs)
        system = self.facts.garden.unit_system
        costs, saves = difference.costs_words(system), difference.saves_words(system)
        if where == _("off the beds"):
            return _(
                "No other place is open to it on these days: without this one it takes {days}."
            ).format(days=costs or _("as many days off the beds"))
        if costs:
            said = (
                _("Next best: {place}. It would cost {costs}, and save {saves}.")
                if saves
                else _("Next best: {place}. It would cost {costs}.")
            )
        elif saves:
            said = _("{place} would do too, and save {saves}: planning again may find it.")
        else:
            said = _("{place} would do as well.")
        return said.format(place=where, costs=costs, saves=saves)

    def _around(self) -> Problem:
        """Return the problem of this pen alone, its other fixed stays kept."""
        problem = self.account.around_others()
        [engine_run] = problem.runs
        days = self.account.horizon.index
        ends = {days(pin.end_day) for pin in self.facts.pins if pin.pen_id == self.stay.pen_id}
        pinned = tuple(span for span in engine_run.announced if span.end_day in ends)
        return replace(problem, runs=(replace(engine_run, pinned=pinned),))

    def _without_place(self, problem: Problem) -> Problem:
        here, span = self.account.part.stretches.get(self.span.spot), self.span
        taken = [(span.first_day, span.end_day)]

        def cut(spot: Spot) -> Spot:
            if here is None or not self.account.part.stretches[spot.id].overlaps(here):
                return spot
            pieces = (piece for window in spot.windows for piece in without_days(window, taken))
            return replace(spot, windows=tuple(pieces))

        return replace(problem, spots=tuple(cut(spot) for spot in problem.spots))

    def _where(self, rows: Iterable[PlannedStay]) -> str:
        """Say where the pen stands instead: ``Bed 7``, ``Bed 7, then off the beds``."""
        first_day = max(self.stay.first_day, self.facts.on)
        meanwhile = sorted(
            (row for row in rows if row.first_day < self.stay.end_day and row.end_day > first_day),
            key=lambda row: row.first_day,
        )
        names = [place_words(row, self.facts) for row in meanwhile]
        return _(", then ").join(name for name, _same in groupby(names))
