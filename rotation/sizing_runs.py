"""Asking for a season to be sized, claiming the search, saying that it lives, and ending it.

As for plans (`rotation.plan_runs`): the queue carries it, every step is one conditional UPDATE, a garden has
one unfinished at most.
"""

from datetime import timedelta

from django.contrib.auth.models import AbstractBaseUser
from django.db import transaction
from django.db.models import F, Q, QuerySet

from garden.clock import now
from garden.models import Garden
from garden.words import mark
from rotation.enqueuing import SIZING, enqueue
from rotation.models import Sizing
from rotation.season_limits import Wish
from rotation.sizing_rows import wish_row
from rotation.task_tries import MOST_TRIES

SILENT_SECONDS = 60
"""A worker that has said nothing of a sizing for so long has died. Our choice: it may plan in between."""
SEARCH_SECONDS = 45.0
"""How long a search goes on at most; with the planner's last answers it ends within a minute. Our choice."""
SECONDS_A_BED = 0.3
LEAST_SECONDS = 3.5
"""A garden of a dozen beds is searched so long, more beds for longer. Our choice."""
KEPT = 5
"""Finished sizings kept for each garden. Our choice."""
GAVE_UP = mark("The search broke off several times. Ask again, or ask for something else.")


class SizingLostError(Exception):
    """Another worker has the search, somebody asked anew, or its garden is gone."""


def seconds_for(beds: int) -> float:
    """Return how long a garden of so many beds is searched [s]."""
    return min(SEARCH_SECONDS, max(LEAST_SECONDS, SECONDS_A_BED * beds))


def sizing_ask(*, garden: Garden, wish: Wish, asked_by: AbstractBaseUser) -> Sizing:
    """Ask for a season to be sized; a search that waits or goes on gives way to the new one."""
    with transaction.atomic():
        Garden.objects.select_for_update().get(pk=garden.pk)
        Sizing.objects.unfinished().filter(garden=garden).delete()
        sizing = Sizing.objects.create(
            garden=garden,
            wish=wish_row(wish),
            asked_by=asked_by,
            seconds_allowed=seconds_for(garden.beds.in_use().count()),
        )
        sizing_enqueue(sizing)
        return sizing


def sizing_enqueue(sizing: Sizing) -> None:
    """Let the queue carry a sizing."""
    sizing.task_id = enqueue(SIZING, sizing.pk)
    sizing.save(update_fields=["task_id"])


def sizing_stop(*, garden: Garden) -> bool:
    """Say that what was found so far is good enough; False where no search goes on."""
    return bool(Sizing.objects.unfinished().filter(garden=garden).update(stop_asked=True))


def sizing_claim(*, worker: str, **which: object) -> Sizing | None:
    """Take a sizing, told by its `garden` or its `pk`; None where it has ended or is another's."""
    while sizing := _claimable().filter(**which).last():
        mine = _claimable().filter(pk=sizing.pk)
        if sizing.tries >= MOST_TRIES:
            mine.update(finished_at=now(), fault=GAVE_UP)
        elif mine.update(claimed_by=worker, alive_at=now(), tries=F("tries") + 1):
            return Sizing.objects.select_related("garden").filter(pk=sizing.pk).first()
    return None


def _claimable() -> QuerySet[Sizing]:
    silent = Q(alive_at__lt=now() - timedelta(seconds=SILENT_SECONDS))
    return Sizing.objects.unfinished().filter(Q(claimed_by="") | silent)


def sizing_alive(sizing: Sizing, worker: str, share_done: float, doing: str) -> bool:
    """Say how far a claimed search is; True where somebody wants it to end.

    Raises
    ------
    SizingLostError
        When it is another's by now, or gone.
    """
    told = {"share_done": share_done, "doing": doing[:100]}
    if not _claimed(sizing, worker).update(alive_at=now(), **told):
        raise SizingLostError
    return _claimed(sizing, worker).filter(stop_asked=True).exists()


def _claimed(sizing: Sizing, worker: str) -> QuerySet[Sizing]:
    return Sizing.objects.unfinished().filter(pk=sizing.pk, claimed_by=worker)


def sizing_finish(sizing: Sizing, worker: str, **found: object) -> None:
    """End a search with what it found or why it could not.

    Raises
    ------
    SizingLostError
        When it is another's by now, or gone.
    """
    if not _claimed(sizing, worker).update(finished_at=now(), share_done=1.0, **found):
        raise SizingLostError
    done = Sizing.objects.exclude(finished_at=None).filter(garden=sizing.garden_id)
    kept = list(done.values_list("pk", flat=True)[:KEPT])
    done.exclude(pk__in=kept).delete()


def sizing_release(sizing: Sizing, worker: str, *, tried: bool) -> None:
    """Give a claim back, so that it can be claimed at once; an orderly end is no try."""
    if tried and sizing.tries >= MOST_TRIES:
        _claimed(sizing, worker).update(finished_at=now(), fault=GAVE_UP)
        return
    unless = {} if tried else {"tries": F("tries") - 1}
    _claimed(sizing, worker).update(claimed_by="", alive_at=None, **unless)
