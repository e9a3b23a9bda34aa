"""Asking for a plan, claiming the search for it, saying that one lives, and ending it.

A garden has one unfinished run at most, and the queue carries it as a task (`rotation.queued`). Who works it
off is said here once more: the queue may give a task to two where a worker was taken for dead, the row never
does. Every step is one conditional UPDATE or a transaction of a few writes, so that no page waits for a worker
and no worker for a page, on SQLite as on PostgreSQL.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser
from django.db import IntegrityError, transaction
from django.db.models import F, Max, Q, QuerySet

from garden.clock import now
from garden.models import Garden
from garden.words import mark
from rotation.engine.problem import Progress
from rotation.enqueuing import AT_NIGHT, PLAN, PRIORITIES, enqueue, hurry
from rotation.models import Plan, PlanRun, PlanWorker
from rotation.task_tries import MOST_TRIES

SILENT_SECONDS = 10
"""A worker that has said nothing for so long has died, or hangs. Our choice."""
RUNS_KEPT = 20
"""Finished runs kept for each garden. Our choice."""
SEVERAL = mark("several things were changed")
GAVE_UP = mark(
    "The planner broke off several times and has stopped trying. What was logged is safe. Plan again, or "
    "change something and it tries anew."
)


class ClaimLostError(Exception):
    """Another worker has the run, or its garden is gone: what was found is not to be saved."""


@dataclass(frozen=True)
class Wishes:
    """What people want of a search that goes on."""

    look_again: bool
    stop: bool


def plan_run_ask(
    *,
    garden: Garden,
    because: str,
    asked_by: AbstractBaseUser | None = None,
    anew: bool = False,
    at_night: bool = False,
) -> PlanRun:
    """Ask for a plan; a search that waits or goes on already is told to look again instead.

    Parameters
    ----------
    because : str
        What was changed, as the plan will say it.
    anew : bool
        Search even where what was told still holds.
    at_night : bool
        Let everything that somebody waits for go first.
    """
    for _try in range(MOST_TRIES):
        if plan_run_ask_again(garden=garden, because=because, anew=anew, at_night=at_night):
            break
        try:
            with transaction.atomic():
                run = PlanRun.objects.create(
                    garden=garden,
                    because=because,
                    anew=anew,
                    asked_by=asked_by,
                    seconds_allowed=settings.PLAN_SECONDS_BACKGROUND,
                )
                plan_run_enqueue(run, at_night=at_night)
                return run
        except IntegrityError:
            continue  # Somebody asked in the same moment: that run is told instead.
    return PlanRun.objects.filter(garden=garden).first()


def plan_run_enqueue(run: PlanRun, *, at_night: bool = False) -> None:
    """Let the queue carry a run."""
    run.task_id = enqueue(PLAN, run.pk, priority=_place(at_night), at_night=at_night)
    run.save(update_fields=["task_id"])


def _place(at_night: bool) -> int:
    return AT_NIGHT if at_night else PRIORITIES[PLAN]


def plan_run_ask_again(
    *, garden: Garden, because: str, anew: bool = False, at_night: bool = False
) -> bool:
    """Tell the garden's unfinished run to look at the facts again; False where there is none."""
    unfinished = PlanRun.objects.unfinished().filter(garden=garden)
    changes = {"asked_again": True, "stop_asked": False} | ({"anew": True} if anew else {})
    if not unfinished.update(**changes):
        return False
    if not at_night:  # a new day is no change worth telling beside another
        unfinished.exclude(because=because).update(because=SEVERAL)
    hurry(unfinished.values("task_id"), _place(at_night))
    return True


def plan_run_stop(*, garden: Garden) -> bool:
    """Say that the plan found so far is good enough; False where no search goes on."""
    return bool(PlanRun.objects.unfinished().filter(garden=garden).update(stop_asked=True))


def plan_run_claim(*, worker: str, **which: object) -> PlanRun | None:
    """Take a run, told by its `garden` or its `pk`; None where it has ended or is another's.

    A run whose worker has fallen silent is taken over; one that was claimed too often is given up.
    """
    while run := _claimable().filter(**which).last():
        mine = _claimable().filter(pk=run.pk)
        if run.tries >= MOST_TRIES:
            mine.update(finished_at=now(), fault=GAVE_UP)
        elif mine.update(
            claimed_by=worker, alive_at=now(), tries=F("tries") + 1, asked_again=False
        ):
            return PlanRun.objects.select_related("garden").filter(pk=run.pk).first()
    return None


def _claimable() -> QuerySet[PlanRun]:
    return PlanRun.objects.unfinished().filter(Q(claimed_by="") | _silent())


def _silent() -> Q:
    """Match what said that it lived too long ago, or, after a clock was put back, in times to come."""
    moment, patience = now(), timedelta(seconds=SILENT_SECONDS)
    return Q(alive_at__lt=moment - patience) | Q(alive_at__gt=moment + patience)


def plan_run_alive(run: PlanRun, worker: str, progress: Progress | None = None) -> Wishes:
    """Say that a claimed run goes on, and how far it has come; return what people want of it.

    Raises
    ------
    ClaimLostError
        When the run is another's by now, or gone.
    """
    found = {"cost": progress.cost, "lower_bound": progress.lower_bound} if progress else {}
    if not _claimed(run, worker).update(alive_at=now(), **found):
        raise ClaimLostError
    wishes = PlanRun.objects.filter(pk=run.pk).values_list("asked_again", "stop_asked").first()
    return Wishes(*wishes) if wishes else Wishes(look_again=True, stop=True)


def _claimed(run: PlanRun, worker: str) -> QuerySet[PlanRun]:
    return PlanRun.objects.unfinished().filter(pk=run.pk, claimed_by=worker)


def plan_run_look(run: PlanRun, worker: str) -> None:
    """Note that the facts are about to be read: what is asked from now on is asked again.

    Raises
    ------
    ClaimLostError
        When the run is another's by now, or gone.
    """
    if not _claimed(run, worker).update(alive_at=now(), asked_again=False):
        raise ClaimLostError
    run.refresh_from_db()


def plan_run_may_save(run: PlanRun, worker: str) -> bool:
    """Whether what was found is of the newest facts; call in the saving transaction, which then holds the run.

    Raises
    ------
    ClaimLostError
        When the run is another's by now, or gone.
    """
    if _claimed(run, worker).filter(asked_again=False).update(alive_at=now()):
        return True
    if _claimed(run, worker).exists():
        return False
    raise ClaimLostError


def plan_run_note(run: PlanRun, plan: Plan) -> None:
    """Note what the run has saved; call in the saving transaction."""
    PlanRun.objects.filter(pk=run.pk).update(plan=plan)
    run.plan = plan


def plan_run_finish(run: PlanRun, worker: str) -> bool:
    """End a run, unless somebody has asked again; False where it must look again.

    Raises
    ------
    ClaimLostError
        When the run is another's by now, or gone.
    """
    if not _claimed(run, worker).filter(asked_again=False).update(finished_at=now()):
        if _claimed(run, worker).exists():
            return False
        raise ClaimLostError
    old = PlanRun.objects.exclude(finished_at=None).filter(garden=run.garden_id)
    kept = list(old.values_list("pk", flat=True)[:RUNS_KEPT])
    old.exclude(pk__in=kept).delete()
    return True


def plan_run_release(run: PlanRun, worker: str, *, tried: bool, spent: float = 0.0) -> None:
    """Give a claim back, so that the run can be claimed at once; an orderly end is no try.

    Parameters
    ----------
    spent : float
        Seconds that the longer search has had now.
    """
    if tried and run.tries >= MOST_TRIES:
        _claimed(run, worker).update(finished_at=now(), fault=GAVE_UP)
        return
    unless = {} if tried else {"tries": F("tries") - 1}
    more = {"seconds_spent": F("seconds_spent") + spent}
    _claimed(run, worker).update(claimed_by="", alive_at=None, **unless, **more)


def worker_alive(*, name: str) -> None:
    """Say that a worker lives, whether it searches or waits."""
    if not PlanWorker.objects.filter(name=name).update(alive_at=now()):
        PlanWorker.objects.create(name=name, alive_at=now())


def worker_end(*, name: str) -> None:
    """Say that a worker ends, and forget those that fell silent without saying so."""
    PlanWorker.objects.filter(Q(name=name) | _silent()).delete()


def workers_alive() -> set[str]:
    """Return the names of the workers that have lately said that they live; one query."""
    return set(PlanWorker.objects.exclude(_silent()).values_list("name", flat=True))


def worker_lives() -> bool:
    """Whether any worker has lately said that it lives; one query."""
    heard: datetime | None = PlanWorker.objects.aggregate(last=Max("alive_at"))["last"]
    return heard is not None and abs((now() - heard).total_seconds()) <= SILENT_SECONDS
