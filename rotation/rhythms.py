"""What the workers do by the clock: each thing is done by one of them all, and the database says by which."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from django.db import IntegrityError
from django.db.models import Q

from garden.clock import now
from rotation.digest import letters_ask
from rotation.models import Rhythm
from rotation.mornings import mornings_ask
from rotation.photo_actions import photos_sweep
from rotation.task_rescue import tasks_rescue, tasks_sweep

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Regular:
    """Something to be done now and then."""

    name: str
    seconds: float
    do: Callable[[], int]


REGULAR = (
    Regular("rescue", 5.0, tasks_rescue),
    Regular("mornings", 30.0, mornings_ask),
    Regular("letters", 60.0, letters_ask),
    Regular("sweep", 3600.0, tasks_sweep),
    Regular("photos", 86_400.0, photos_sweep),
)
"""How often each is done is our choice. They only put work into the queue, or take old work out."""


def rhythms_keep() -> None:
    """Do what is due, unless another worker does; a fault in one keeps no other from being done."""
    moment = now()
    coming = dict(Rhythm.objects.values_list("name", "due_at"))
    for regular in REGULAR:
        due_at, every = coming.get(regular.name), timedelta(seconds=regular.seconds)
        # One that lies farther off than its rhythm was set by a clock that has been put back.
        if due_at and moment < due_at <= moment + every:
            continue
        if _is_ours(regular.name, due_at is None, every):
            try:
                regular.do()
            except Exception:
                logger.exception("the workers' %s failed", regular.name)


def _is_ours(name: str, is_new: bool, every: timedelta) -> bool:
    """Take a turn; False where another worker has."""
    moment = now()
    if is_new:
        try:
            return Rhythm.objects.get_or_create(name=name, defaults={"due_at": moment + every})[1]
        except IntegrityError:
            return False
    is_due = Q(due_at__lte=moment) | Q(due_at__gt=moment + every)
    return bool(Rhythm.objects.filter(is_due, name=name).update(due_at=moment + every))
