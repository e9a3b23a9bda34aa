"""Finding tasks whose worker has died, and rows that no task is about, so that nothing waits for ever."""

from datetime import timedelta

from django.db import transaction
from django.db.models import Model
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from garden.clock import now
from rotation.exports import export_enqueue, exports_sweep
from rotation.models import Export, PlanRun, Sizing
from rotation.plan_runs import plan_run_enqueue, workers_alive
from rotation.sizing_runs import sizing_enqueue
from rotation.task_tries import again

KEPT = timedelta(days=1)
"""How long tasks that have ended are kept, to be counted. Our choice."""
CARRIED = ((PlanRun, plan_run_enqueue), (Sizing, sizing_enqueue), (Export, export_enqueue))
"""Rows that people look at, and what puts them into the queue."""


def tasks_rescue() -> int:
    """Give tasks of dead workers to others, and every unfinished row a task; return how many."""
    alive = workers_alive()
    lost = [row for row in DBTaskResult.objects.running() if row.worker_ids[-1] not in alive]
    return sum(_rescue(row) for row in lost) + sum(_carry(*pair) for pair in CARRIED)


def _rescue(row: DBTaskResult) -> int:
    still = DBTaskResult.objects.running().filter(pk=row.pk, started_at=row.started_at)
    return still.update(**again(row.worker_ids, "rotation.task_rescue.WorkerLost"))


def _carry(model: type[Model], put: object) -> int:
    """Let the queue carry rows that it has lost, or that are older than it."""
    open_tasks = (TaskResultStatus.READY, TaskResultStatus.RUNNING)
    carried = DBTaskResult.objects.filter(status__in=open_tasks).values("pk")
    forgotten = model.objects.unfinished().exclude(task_id__in=carried)
    with transaction.atomic():
        rows = list(forgotten.select_for_update())
        for row in rows:
            put(row)
    return len(rows)


def tasks_sweep() -> int:
    """Forget tasks that ended long ago, and files that nobody fetches any more."""
    old = DBTaskResult.objects.finished().filter(finished_at__lt=now() - KEPT)
    return old.delete()[0] + exports_sweep()
