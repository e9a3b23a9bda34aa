"""A plan changed by hand, judged by the engine's own rules and answered in words."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from garden.words import gettext as _
from rotation.changes import sentences
from rotation.edits import (
    Fault,
    Wanted,
    ahead,
    close_up,
    day_faults,
    give_way,
    span_words,
    with_days,
)
from rotation.engine.problem import CostItems
from rotation.engine.problem import Stay as EngineStay
from rotation.engine.rules import (
    Breach,
    broken_rules,
    cost_of,
    nitrogen_breaches,
    rest_breaches,
    stay_breaches,
)
from rotation.facts import GardenFacts
from rotation.models import PinnedStay, PlannedStay
from rotation.off_reasons import with_true_reasons
from rotation.plan_saving import Solved
from rotation.planning import Effort, solved_problem
from rotation.problems import NOW, SizeProblem, rows_of, stays_in
from rotation.told import doings, in_names, told_parts
from rotation.why.shut import shut_places
from rotation.why.shut_words import Kind

OUTSIDE_WINDOW = "not within one window of the spot"
"""How the engine ends its words for a place that is shut."""
FAULTS_SAID = 2
"""Broken rules told at once; one cure often mends several. Our choice."""
NO_SEARCH = Effort(rounds=0)
"""For the bound of a plan made by hand: nobody waits for a search, so it is a loose one."""


@dataclass(frozen=True)
class Verdict:
    """What becomes of a plan by a change: what speaks against it, or the plan that it makes."""

    faults: tuple[Fault, ...]
    stays: tuple[PlannedStay, ...] = ()
    """The whole plan after it, unsaved, days off the beds with their reasons."""
    changes: tuple[str, ...] = ()
    """What it changes, in sentences."""
    can_fit: bool = False
    """Whether only stays that may give way speak against it, so that the rest can be planned round it."""

    @property
    def holds(self) -> bool:
        """Whether every rule is kept."""
        return not self.faults

    @property
    def words(self) -> str:
        """Say it in few words."""
        if self.holds:
            return _("Every rule holds.")
        said = " ".join(fault.words for fault in self.faults[:FAULTS_SAID])
        rest = len(self.faults) - FAULTS_SAID
        return _("{said} And {rest} more.").format(said=said, rest=rest) if rest > 0 else said


def judged(facts: GardenFacts, told: Sequence[PlannedStay], wanted: Sequence[Wanted]) -> Verdict:
    """Judge what one stay, or two that change places, would make of a plan.

    A rule that the plan breaks already speaks against nothing.

    Parameters
    ----------
    told : sequence of PlannedStay
        The plan as it is, with `pen` and `batch` loaded.
    wanted : sequence of Wanted
        Of one pen each.
    """
    facts = facts_without(facts, [wish.pin for wish in wanted if wish.pin])
    faults = tuple(chain.from_iterable(day_faults(wish, facts) for wish in wanted))
    if faults:
        return Verdict(faults)
    before = [stay for row in told if (stay := ahead(row, facts.on))]
    now = give_way(before, wanted, shortest_days=facts.garden.min_stay_days)
    for wish in wanted:
        now = _closed_up(facts, now, wish, before)
    faults = tuple(_new_faults(facts, before, now, wanted))
    if faults:
        return Verdict(faults, can_fit=_can_be_fixed(facts, wanted))
    stays = tuple(_rows(facts, now))
    return Verdict((), stays, tuple(sentences(doings(told, facts), doings(stays, facts))))


def _can_be_fixed(facts: GardenFacts, wanted: Sequence[Wanted]) -> bool:
    """Whether stays keep the rules by themselves and beside what is fixed already."""
    pins = [wish.as_pin() for wish in wanted]
    after = _broken(replace(facts, pins=(*facts.pins, *pins)), wanted)
    return after <= _broken(facts, ())


def _broken(facts: GardenFacts, wanted: Sequence[Wanted]) -> set[int | None]:
    """Return the ids of what is fixed and cannot be, None for what is not saved yet."""
    fixed = [with_days(pin, pin.first_day, pin.end_day) for pin in facts.pins]
    alone = [*fixed, *(wish.row() for wish in wanted)]
    return {broken.pin.pk for part, *_ in told_parts(alone, facts) for broken in part.broken_pins}


def facts_without(facts: GardenFacts, pins: Iterable[PinnedStay]) -> GardenFacts:
    """Return facts of a garden in which some stays are no longer fixed."""
    gone = {pin.pk for pin in pins}
    return replace(facts, pins=tuple(pin for pin in facts.pins if pin.pk not in gone))


def solved_by_hand(facts: GardenFacts, stays: Sequence[PlannedStay]) -> Solved:
    """Return a plan made by hand as one to be saved, with its cost and a bound proven without a search."""
    parts = list(told_parts(stays, facts))
    items = [cost_of(part.problem, on_beds, off) for part, on_beds, off in parts]
    bounds = [solved_problem(part.problem, NO_SEARCH).lower_bound for part, *_ in parts]
    total = CostItems.of_all(items)
    return Solved(tuple(stays), total.total, min(total.total, sum(bounds)), total, 0.0)


def _closed_up(
    facts: GardenFacts, now: Sequence[PlannedStay], wish: Wanted, before: Sequence[PlannedStay]
) -> list[PlannedStay]:
    part = next(part for part, *_ in told_parts(now, facts) if wish.run.id in part.runs)
    known = _breaches(part, now)

    def is_lawful(stays: Sequence[PlannedStay]) -> bool:
        return _breaches(part, stays) <= known

    return close_up(now, wish, before=before, pins=facts.pins, is_lawful=is_lawful)


def _breaches(part: SizeProblem, rows: Sequence[PlannedStay]) -> set[Breach]:
    stays = stays_in(part, rows)
    return {
        *stay_breaches(part.problem, stays),
        *rest_breaches(part.problem, stays),
        *nitrogen_breaches(part.problem, stays),
    }


def _new_faults(
    facts: GardenFacts,
    before: Sequence[PlannedStay],
    now: Sequence[PlannedStay],
    wanted: Sequence[Wanted],
) -> Iterable[Fault]:
    """Yield what the changed plan breaks and the plan before did not."""
    known = {
        str(breach)
        for part, stays, off in told_parts(before, facts)
        for breach in broken_rules(part.problem, stays, off)
    }
    for part, stays, off in told_parts(now, facts):
        placed = [(wish, _placed(part, wish)) for wish in wanted if wish.run.id in part.runs]
        for wish, stay in placed:
            if stay is None or stay not in stays:
                bed = facts.beds[wish.place.bed_id].bed.name
                yield Fault(
                    "stay",
                    _("{bed} has no such place for {pen}.").format(bed=bed, pen=wish.run.pen.name),
                )
            else:
                yield from _own_faults(facts, now, part, wish, stay)
        own = [stay for _, stay in placed if stay]
        told = {str(breach) for breach in stay_breaches(part.problem, own)}
        for breach in broken_rules(part.problem, stays, off):
            if _says_again(breach, told) or _was_known(breach, known, own):
                continue
            told.add(str(breach))
            yield Fault(breach.rule, _sentence(in_names(str(breach), part, facts)))


def _says_again(breach: Breach, told: set[str]) -> bool:
    """Whether a breach has been told, or is of a place whose room in one window has been told."""
    place = str(breach).partition(": ")[0]
    return str(breach) in told or (
        breach.rule == "nitrogen" and any(words.startswith(f"{place}: ") for words in told)
    )


def _placed(part: SizeProblem, wish: Wanted) -> EngineStay | None:
    return next(iter(stays_in(part, [wish.row()])), None)


def _own_faults(
    facts: GardenFacts,
    now: Sequence[PlannedStay],
    part: SizeProblem,
    wish: Wanted,
    stay: EngineStay,
) -> Iterable[Fault]:
    """Yield what a wanted stay breaks by itself: its length, or else what shuts its place."""
    breaches = list(stay_breaches(part.problem, [stay]))
    window = [breach for breach in breaches if str(breach).endswith(OUTSIDE_WINDOW)]
    others = [breach for breach in breaches if breach not in window]
    for breach in others:
        yield Fault("days", _sentence(in_names(str(breach), part, facts)))
    if window and not others:
        words = _what_shuts(facts, now, wish, goes_on=stay.spot.endswith(NOW))
        yield Fault("stay", words or _sentence(in_names(str(window[0]), part, facts)))


def _was_known(breach: Breach, known: set[str], own: Sequence[EngineStay]) -> bool:
    """Whether a rule was broken before the change: in the same words, or on other days of a stay cut since.

    On the place of a wanted stay only the same words count, so that nothing wanted is saved broken.
    """
    words = str(breach)
    if words in known or any(stay.spot in words for stay in own):
        return words in known
    return _dateless(words) in {_dateless(other) for other in known}


def _dateless(words: str) -> str:
    return re.sub(r"days? \d+( to \d+)?", "", words)


def _what_shuts(
    facts: GardenFacts, now: Sequence[PlannedStay], wish: Wanted, *, goes_on: bool
) -> str:
    """Say what shuts the place of a wanted stay; for a pen that stands there only what is not its own."""
    others = [stay for stay in now if not (wish.owns(stay) and wish.overlaps(stay))]
    passed_over = {Kind.OPEN, Kind.RESTING, Kind.STOOD} if goes_on else {Kind.OPEN}
    reasons = [
        f"{span_words(shut.first_day, shut.end_day)}, {shut.words}"
        for shut in shut_places(
            facts, others, wish.run, wish.first_day, wish.end_day, only=wish.place
        )
        if shut.kind not in passed_over
    ]
    bed = facts.beds[wish.place.bed_id].bed.name
    return _sentence(f"{bed}, {'; '.join(reasons)}") if reasons else ""


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _rows(facts: GardenFacts, now: Sequence[PlannedStay]) -> Iterable[PlannedStay]:
    for part, stays, off in told_parts(now, facts):
        yield from (with_true_reasons(row, part, facts) for row in rows_of(part, stays, off))
