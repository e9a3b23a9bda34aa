"""Putting work into the queue: which task, and before or behind what else waits.

Of tasks that wait, the one with the highest priority is taken first, and of equals the one that waited longest.
A garden has one unfinished plan, sizing and export of a kind at most, so none can fill the queue; and a search
that goes on comes behind every garden that has nothing yet, the farther the more time it has had.
"""

from uuid import UUID

from django.db.models import QuerySet
from django.utils.module_loading import import_string
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

PLAN = "rotation.queued.plan_run"
SIZING = "rotation.queued.sizing"
EXPORT = "rotation.queued.export"
LETTER = "rotation.queued.letter"
MORNING = "rotation.queued.morning"

PRIORITIES = {PLAN: 60, LETTER: 40, EXPORT: 35, SIZING: 30, MORNING: -60}
"""From -100 to 100; a person looks at the page that waits for a plan. Our choice."""
GOES_ON, GOES_ON_LEAST = 0, -30
"""A search after its first plan, and the lowest that it falls to with the time it has had."""
AT_NIGHT = -60
"""A plan that nobody asked for but the new day; its search goes on `NIGHT_BELOW` below that."""
NIGHT_BELOW = -70
SLICE_SECONDS = 2.0
"""How long a search goes on at least before it makes room. Our choice."""


def enqueue(path: str, row_id: int, *, priority: int | None = None, **more: object) -> UUID:
    """Let a task wait for a worker; in the transaction of the row that it is about."""
    place = PRIORITIES[path] if priority is None else priority
    return UUID(import_string(path).using(priority=place).enqueue(row_id, **more).id)


def hurry(tasks: QuerySet, priority: int) -> None:
    """Let tasks that wait behind a priority wait there; `tasks` are their ids. One query."""
    waiting = DBTaskResult.objects.filter(status=TaskResultStatus.READY, priority__lt=priority)
    waiting.filter(pk__in=tasks).update(priority=priority)


def place_of_search(seconds_spent: float, *, at_night: bool) -> int:
    """Return the priority of a search that has had so many seconds, >= 0, after its first plan."""
    place = max(GOES_ON_LEAST, GOES_ON - int(seconds_spent / SLICE_SECONDS))
    return place + NIGHT_BELOW if at_night else place
