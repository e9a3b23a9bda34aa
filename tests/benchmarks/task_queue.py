"""Print how workers share the queue, what a large garden costs the small ones, and what a kill -9 loses.

Searches have a second each. Workers are processes of their own on one database, as in production: SQLite in a
temporary folder, or the empty database that ``--database`` names. Run from the repository:
``python -m tests.benchmarks.task_queue [--gardens 40] [--spots 1000] [--database postgres://…]``.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import warnings
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path
from time import monotonic, sleep

import django

ROOT = Path(__file__).parent.parent.parent
TODAY = date(2026, 6, 12)
PARTS = ["share", "kill", "fair"]
GIVE_UP_SECONDS = 600
LOOK_SECONDS = 0.1


def main() -> None:
    """Make the gardens, then measure one thing after the other."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--gardens", type=int, default=40, help="small gardens")
    parser.add_argument("--spots", type=int, default=1000, help="of the large garden; 0 for none")
    parser.add_argument("--database", default="", help="an empty database; SQLite where not given")
    parser.add_argument("--parts", nargs="+", default=PARTS, choices=PARTS)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {
            "VAR_DIR": folder,
            "DATABASE_URL": options.database or f"sqlite:///{folder}/garden.sqlite3",
            "PLANNER": "background",
            "PLAN_SECONDS_BACKGROUND": "1",
            "PRETEND_TODAY": TODAY.isoformat(),
            "HTTPS": "0",
            "DJANGO_SETTINGS_MODULE": "garden.settings",
        }
        django.setup()
        warnings.simplefilter("ignore")
        small, large = _make_gardens(options.gardens, options.spots)
        if "share" in options.parts:
            _share(small)
        if "kill" in options.parts:
            _kill(small)
        if "fair" in options.parts and large is not None:
            _fair(small, large)


def _make_gardens(count: int, spots: int) -> tuple[list, object]:
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    call_command("createcachetable")
    small = [_garden(beds=2, batches=1) for _ in range(count)]
    return small, _garden(beds=spots, batches=10) if spots else None


def _garden(beds: int, batches: int) -> object:
    from rotation.models import GardenMorning
    from tests import factories as made

    garden = made.GardenFactory()
    for number in range(beds):
        place = {"x_m": 2.0 * (number % 40), "y_m": 3.0 * (number // 40)}
        made.BedFactory(garden=garden, name=f"Bed {number}", **place)
    for number in range(batches):
        hatch_on = TODAY + timedelta(days=14 * number)
        batch = made.BatchFactory(garden=garden, chicks=4, hatch_on=hatch_on)
        pen = made.PenFactory(garden=garden, name=f"Pen {number}")
        made.BatchPenFactory(batch=batch, pen=pen, birds=4)
    GardenMorning.objects.create(garden=garden, on=TODAY)
    return garden


@contextmanager
def _workers(count: int) -> Iterator[list[subprocess.Popen[bytes]]]:
    """Let so many workers live."""
    from rotation.models import PlanWorker

    program = [sys.executable, str(ROOT / "manage.py"), "plan_worker"]
    started = [subprocess.Popen(program) for _ in range(count)]
    _until(lambda: PlanWorker.objects.count() == count)
    try:
        yield started
    finally:
        for process in started:
            process.terminate()
        for process in started:
            process.wait()


def _until(true: object) -> None:
    ends = monotonic() + GIVE_UP_SECONDS
    while not true():
        assert monotonic() < ends, "waited in vain"
        sleep(LOOK_SECONDS)


def _ask(gardens: list) -> None:
    """Forget all plans and ask for one of each garden."""
    from django_tasks_db.models import DBTaskResult

    from rotation.models import Plan, PlanRun
    from rotation.plan_runs import plan_run_ask

    for model in (Plan, PlanRun, DBTaskResult):
        model.objects.all().delete()
    for garden in gardens:
        plan_run_ask(garden=garden, because="x")


def _ended(gardens: list) -> bool:
    from rotation.models import PlanRun

    return not PlanRun.objects.unfinished().filter(garden__in=gardens).exists()


def _share(small: list) -> None:
    """Plan all small gardens with one worker, then with two."""
    from django_tasks_db.models import DBTaskResult

    seconds = {}
    for count in (1, 2):
        with _workers(count):
            _ask(small)
            began = monotonic()
            _until(lambda: _ended(small))
            seconds[count] = monotonic() - began
        done = Counter(row.worker_ids[-1] for row in DBTaskResult.objects.successful())
        shares = " + ".join(str(share) for share in sorted(done.values()))
        print(
            f"{count} worker(s): {len(small)} plans in {seconds[count]:.1f} s ({shares})",
            flush=True,
        )
    print(f"two workers are {seconds[1] / seconds[2]:.2f} times as quick as one", flush=True)


def _kill(small: list) -> None:
    """Kill one of two workers in the middle of a task."""
    from rotation.models import Plan, PlanRun

    with _workers(2) as (first, _):
        _ask(small)
        began = monotonic()
        _until(lambda: Plan.objects.count() >= len(small) // 3 and _has_task(first))
        first.kill()
        first.wait()
        lost = _has_task(first)
        _until(lambda: _ended(small))
        seconds = monotonic() - began
    runs = PlanRun.objects.exclude(finished_at=None).exclude(plan=None).count()
    once = Plan.objects.count() == runs == len(small)
    print(
        f"one of two killed with {lost} task(s) under way: {runs} of {len(small)} plans, "
        f"each once: {'yes' if once else 'NO'}, in {seconds:.1f} s",
        flush=True,
    )


def _has_task(process: subprocess.Popen[bytes]) -> int:
    """Return how many tasks a worker has under way: one or none."""
    from django_tasks_db.models import DBTaskResult

    running = DBTaskResult.objects.running()
    return sum(f":{process.pid}:" in row.worker_ids[-1] for row in running)


def _fair(small: list, large: object) -> None:
    """See when the small gardens have their first plans, without and behind the large one, with one worker."""
    from rotation.models import Plan

    waited = []
    for before in ([], [large]):
        with _workers(1):
            _ask([*before, *small])
            began = monotonic()
            _until(lambda: Plan.objects.filter(garden__in=small).count() == len(small))
            waited.append(monotonic() - began)
            has_large = Plan.objects.filter(garden=large).exists()
    beds = large.beds.count()
    print(
        f"{len(small)} small gardens have plans after {waited[0]:.1f} s, behind one of {beds} spots "
        f"after {waited[1]:.1f} s, and it has its first plan: {'yes' if has_large else 'no'}",
        flush=True,
    )


if __name__ == "__main__":
    main()
