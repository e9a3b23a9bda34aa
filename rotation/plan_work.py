"""Working off a claimed run: look at the facts, search, save, until a look finds nothing left to do.

The search has two stages. A first plan is saved after about a second, so that no page is without one for long.
Then the search goes on, and what it finds stands in the first plan's place only where it is cheaper, days on
which the grower would be told otherwise counted. Both are held against what was told before the run, so that a
quick first plan never stands in the way of a better one.

Where others wait the longer search makes room: what it found is saved, and the rest of its time comes later.
"""

import logging
from collections.abc import Callable
from time import monotonic

from django.db import transaction

from garden.models import Garden
from rotation.engine.problem import OPTIMAL_GAP, Progress
from rotation.enqueuing import SLICE_SECONDS
from rotation.facts import GardenFacts, facts_of
from rotation.models import Plan, PlannedStay, PlanRun
from rotation.plan_runs import (
    ClaimLostError,
    Wishes,
    plan_run_alive,
    plan_run_finish,
    plan_run_look,
    plan_run_may_save,
    plan_run_note,
    plan_run_release,
)
from rotation.plan_saving import Solved, is_newest, plan_save, stays_close_finished
from rotation.planning import Effort, announced_by, current_plan, solved, still_holds
from rotation.working import Ended

logger = logging.getLogger(__name__)

FIRST_SECONDS = 1.0
"""How long the first stage searches. Our choice: with reading and saving an answer stays within two seconds."""
BEAT_SECONDS = 1.0
"""How often a search says that it lives and asks what is wanted of it. Our choice."""
CHEAPER = 1e-6
"""Difference of cost that is more than rounding."""


class Ending(Exception):  # noqa: N818 - nothing is wrong, somebody ends the process
    """The worker is to end: the run goes back to be claimed by another."""


class MadeRoom(Exception):  # noqa: N818 - nothing is wrong, others are first
    """The longer search has been broken off after some seconds, with what it found saved."""

    def __init__(self, spent: float) -> None:
        super().__init__()
        self.spent = spent


def plan_run_work(
    run: PlanRun,
    *,
    worker: str,
    first_seconds: float = FIRST_SECONDS,
    quick: bool = False,
    beat: Callable[[], bool] = lambda: False,
    others_wait: Callable[[], bool] = lambda: False,
) -> Ended:
    """Work off a claimed run; a fault is logged and the run goes back to be tried again.

    Parameters
    ----------
    first_seconds : float
        How long the first stage searches [s].
    quick : bool
        Be content with the first stage, because somebody waits for the page.
    beat : callable, optional
        Called about once a second; True ends the search at once and gives the run back.
    others_wait : callable, optional
        Asked after the first plan, and about once a second; True lets the longer search make room.
    """
    work = _Work(run, worker, first_seconds, quick, beat, others_wait)
    try:
        while not work.look():
            pass
    except ClaimLostError:
        logger.info("planning garden %s is no longer this worker's", run.garden_id)
        return Ended.LOST
    except Ending:
        plan_run_release(run, worker, tried=False)
        return Ended.HANDED_BACK
    except MadeRoom as room:
        plan_run_release(run, worker, tried=False, spent=room.spent)
        return Ended.MADE_ROOM
    except Exception:
        logger.exception("could not work out a plan of garden %s", run.garden_id)
        plan_run_release(run, worker, tried=True)
        return Ended.FAILED
    return Ended.DONE


class _Work:
    """One claimed run, and how far it has come."""

    def __init__(
        self,
        run: PlanRun,
        worker: str,
        first_seconds: float,
        quick: bool,
        beat: Callable[[], bool],
        others_wait: Callable[[], bool],
    ) -> None:
        self.run = run
        self.worker = worker
        self.first_seconds = first_seconds
        self.quick = quick
        self.beat = beat
        self.others_wait = others_wait
        self.thorough = False
        """Whether the second stage has had its time on some state of the facts."""

    def look(self) -> bool:
        """Look at the garden as it is now and do what is due; True when the run has ended."""
        plan_run_look(self.run, self.worker)
        garden = Garden.objects.get(pk=self.run.garden_id)
        on = garden.today()
        stays_close_finished(garden=garden, on=on)
        facts, newest = facts_of(garden, on), current_plan(garden)
        early = newest if newest and newest.pk == self.run.plan_id else None
        told = _before(early) if early else newest
        sound = newest is not None and still_holds(newest, facts)
        if self._is_done(facts, newest, early, sound):
            return self._finish()
        announced = announced_by(told, facts)
        if early is None or not sound:
            early = self._first(facts, told, announced, early)
            if early is None:
                return False
        if not self._is_good_enough(early) and not self._second(facts, told, announced, early):
            return False
        return self._finish()

    def _is_done(
        self, facts: GardenFacts, newest: Plan | None, early: Plan | None, sound: bool
    ) -> bool:
        if newest is None and not facts.runs:
            return True
        if early is not None:
            return sound and self.thorough
        return sound and not self.run.anew

    def _is_good_enough(self, early: Plan) -> bool:
        wishes = plan_run_alive(self.run, self.worker, _progress(early))
        return self.quick or wishes.stop or early.gap <= OPTIMAL_GAP

    def _first(
        self,
        facts: GardenFacts,
        told: Plan | None,
        announced: list[PlannedStay],
        early: Plan | None,
    ) -> Plan | None:
        """Save a quick plan; None where the facts have changed meanwhile."""
        watch = _Watch(self, ends_when_stopped=False)
        effort = Effort(seconds=self.first_seconds)
        answer = solved(facts, effort, announced=announced, watch=watch)
        return self._save(facts, told, answer, early)

    def _second(
        self, facts: GardenFacts, told: Plan | None, announced: list[PlannedStay], early: Plan
    ) -> bool:
        """Search on, and save what is cheaper; False where the facts have changed meanwhile."""
        if self.others_wait():
            raise MadeRoom(0.0)
        watch, began = _Watch(self, ends_when_stopped=True), monotonic()
        left = max(FIRST_SECONDS, self.run.seconds_allowed - self.run.seconds_spent)
        answer = solved(facts, Effort(seconds=left), announced=announced, watch=watch)
        if watch.looks_again:
            return False
        self.thorough = not watch.makes_room
        is_saved = self._save_better(facts, told, answer, early)
        if is_saved and watch.makes_room:
            raise MadeRoom(monotonic() - began)
        return is_saved

    def _save_better(
        self, facts: GardenFacts, told: Plan | None, answer: Solved, early: Plan
    ) -> bool:
        """Save what is cheaper, or what is proven; False where the facts have changed meanwhile."""
        if answer.cost < early.cost - CHEAPER:
            return self._save(facts, told, answer, early) is not None
        # Nothing cheaper is news too: the first plan is proven to be nearer to the best.
        Plan.objects.filter(pk=early.pk, lower_bound__lt=answer.lower_bound).update(
            lower_bound=min(answer.lower_bound, early.cost)
        )
        return True

    def _save(
        self, facts: GardenFacts, told: Plan | None, answer: Solved, early: Plan | None
    ) -> Plan | None:
        with transaction.atomic():
            if not plan_run_may_save(self.run, self.worker):
                return None
            if not is_newest(early or told, facts.garden):
                return None
            plan = plan_save(
                facts=facts,
                told=told,
                because=self.run.because,
                answer=answer,
                instead_of=early,
            )
            plan_run_note(self.run, plan)
        return plan

    def _finish(self) -> bool:
        return plan_run_finish(self.run, self.worker)


class _Watch:
    """Says about once a second that the search lives, and ends it when that is wanted."""

    def __init__(self, work: _Work, *, ends_when_stopped: bool) -> None:
        self.work = work
        self.ends_when_stopped = ends_when_stopped
        self.looks_again = False
        self.makes_room = False
        self._ended = False
        self._next = monotonic() + BEAT_SECONDS
        self._slice_ends = monotonic() + SLICE_SECONDS

    def __call__(self, progress: Progress | None) -> bool:
        if not self._ended and monotonic() >= self._next:
            self._next = monotonic() + BEAT_SECONDS
            if self.work.beat():
                raise Ending
            wishes = plan_run_alive(self.work.run, self.work.worker, progress)
            self._ended = self._is_ended_by(wishes)
        return self._ended

    def _is_ended_by(self, wishes: Wishes) -> bool:
        self.looks_again = self.looks_again or wishes.look_again
        if wishes.look_again or not self.ends_when_stopped:
            return wishes.look_again
        self.makes_room = monotonic() >= self._slice_ends and self.work.others_wait()
        return wishes.stop or self.makes_room


def _before(early: Plan) -> Plan | None:
    """Return what the grower was told before a run saved its first plan; two queries."""
    return current_plan(early.garden, before=early)


def _progress(plan: Plan) -> Progress:
    return Progress(plan.seconds, plan.cost, plan.lower_bound)
