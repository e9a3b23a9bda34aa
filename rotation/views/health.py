"""Whether this installation is well: alive, ready, and in figures."""

from collections.abc import Iterator

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.db.models import Count, Min, Q
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult, get_date_max
from prometheus_client import CONTENT_TYPE_LATEST, Metric, generate_latest
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.registry import Collector

from garden.clock import now
from garden.metrics import may_scrape, registry_of
from rotation.plan_runs import worker_lives, workers_alive

WELL, NOT_WELL = "ok", "failing"


@login_not_required
@never_cache
@require_safe
def alive(request: HttpRequest) -> JsonResponse:
    """Answer 200 for as long as this process answers at all; asks nothing of the database."""
    return JsonResponse({"status": WELL})


@login_not_required
@never_cache
@require_safe
def ready(request: HttpRequest) -> JsonResponse:
    """Answer 200 when people may be sent here, else 503, and what is well and what is not."""
    checks = {"database": False, "migrations": False, "worker": False}
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
        checks["database"] = True
        checks["migrations"] = _is_migrated()
        checks["worker"] = settings.PLANNER == "inline" or worker_lives()
    except DatabaseError:
        pass
    is_ready = all(checks.values())
    told = {name: WELL if is_well else NOT_WELL for name, is_well in checks.items()}
    status = {"status": WELL if is_ready else NOT_WELL}
    return JsonResponse(status | told, status=200 if is_ready else 503)


def _is_migrated() -> bool:
    """Whether every migration that this version knows has been applied; those of a newer one may be there."""
    executor = MigrationExecutor(connection)
    return not executor.migration_plan(executor.loader.graph.leaf_nodes())


@login_not_required
@never_cache
@require_safe
def metrics(request: HttpRequest) -> HttpResponse:
    """Tell the scraper that knows the token; to anybody else there is nothing here."""
    if not may_scrape(request):
        raise Http404
    return HttpResponse(generate_latest(registry_of(_Queue())), content_type=CONTENT_TYPE_LATEST)


class _Queue(Collector):
    """How much waits for the workers, and how many there are."""

    def collect(self) -> Iterator[Metric]:
        """Look it up; two queries."""
        tasks = GaugeMetricFamily("tillfeather_tasks", "Tasks kept.", labels=["task", "status"])
        waits = GaugeMetricFamily(
            "tillfeather_task_wait_seconds",
            "Seconds that the oldest task has waited.",
            labels=["task"],
        )
        counted = DBTaskResult.objects.order_by().values("task_path", "status")
        due = Q(run_after=get_date_max()) | Q(run_after__lte=now())
        for row in counted.annotate(count=Count("pk"), oldest=Min("enqueued_at", filter=due)):
            name = row["task_path"].rpartition(".")[2]
            tasks.add_metric([name, row["status"].lower()], row["count"])
            if row["status"] == TaskResultStatus.READY and row["oldest"]:
                waits.add_metric([name], (now() - row["oldest"]).total_seconds())
        yield tasks
        yield waits
        workers = GaugeMetricFamily("tillfeather_workers", "Workers that have lately given a sign.")
        workers.add_metric([], len(workers_alive()))
        yield workers
