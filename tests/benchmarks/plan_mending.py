"""Print how long a garden of 40 places waits for a sound plan after what happens in a season.

A web request logs the event, a worker in a process of its own mends the plan, as in production; the clock runs
from the request to the saved plan. Run from the repository: ``python -m tests.benchmarks.plan_mending``.
"""

import os
import subprocess
import sys
import tempfile
import warnings
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from time import monotonic, sleep

import django

ROOT = Path(__file__).parent.parent.parent
TODAY = date(2026, 6, 12)
BEDS = 20
"""Beds of two places each."""
BATCHES = 3
PENS_OF_A_BATCH = 1
BIRDS = 4
"""Of each pen: few enough that the beds nearly take them all."""
STANDING_DAYS = 3
"""Days for which the first batch's pens have stood where they stand."""
GIVE_UP_SECONDS = 60


def main() -> None:
    """Make the garden, start a worker, let things happen and print one line each."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {
            "VAR_DIR": folder,
            "DATABASE_URL": f"sqlite:///{folder}/garden.sqlite3",
            "PLANNER": "background",
            "PRETEND_TODAY": TODAY.isoformat(),
            "HTTPS": "0",
            "ALLOWED_HOSTS": "testserver",
            "DJANGO_SETTINGS_MODULE": "garden.settings",
        }
        django.setup()
        program = [sys.executable, str(ROOT / "manage.py"), "plan_worker"]
        warnings.simplefilter("ignore")  # of static files, which nobody asks for here
        _make_rows()
        worker = subprocess.Popen(program)
        try:
            _measure()
        finally:
            worker.terminate()
            worker.wait()


def _make_rows() -> None:
    from django.core.management import call_command

    from tests import factories as made

    call_command("migrate", verbosity=0)
    garden = made.GardenFactory(rest_days=21)
    made.MembershipFactory(garden=garden, user__username="olive")
    for number in range(BEDS):
        bed = made.BedFactory(garden=garden, name=f"Bed {number + 1}")
        bed.x_m, bed.y_m = 2.0 * (number % 5), 3.5 * (number // 5)
        bed.save()
        if number % 4 == 0:
            starts_on = TODAY + timedelta(days=30 + number)
            made.PlantingFactory(bed=bed, starts_on=starts_on)
    for batch_number in range(BATCHES):
        hatch_on = TODAY - timedelta(days=24 + STANDING_DAYS) + timedelta(days=14 * batch_number)
        batch = made.BatchFactory(garden=garden, chicks=BIRDS * PENS_OF_A_BATCH, hatch_on=hatch_on)
        for pen_number in range(PENS_OF_A_BATCH):
            pen = made.PenFactory(garden=garden, name=f"Pen {batch_number + 1}{pen_number + 1}")
            made.BatchPenFactory(batch=batch, pen=pen, birds=BIRDS)
            if batch_number == 0:
                made.StayFactory(
                    pen=pen,
                    batch=batch,
                    bed=garden.beds.all()[pen_number],
                    offset_mm=20,
                    stretch_mm=1170,
                    first_day=TODAY - timedelta(days=STANDING_DAYS),
                )


def _measure() -> None:
    from django.contrib.auth import get_user_model
    from django.test import Client

    client = Client()
    client.force_login(get_user_model().objects.get())
    heading = "{:<34} {:>10} {:>12} {:>10} {:>8} {:>8}"
    print(heading.format("what happens", "request s", "sound plan s", "ended s", "changes", "gap"))
    _wait_for_worker()
    client.get("/health/")  # whoever comes first waits for the modules
    for name, send in _events():
        began = monotonic()
        answer = client.post(*send())
        assert answer.status_code == 302, (name, answer.status_code)
        print(heading.format(name, f"{monotonic() - began:.2f}", *_awaited(began)), flush=True)


def _wait_for_worker() -> None:
    """Let the worker come up and plan for the first time; it finds the day new by itself."""
    from rotation.models import Plan, PlanRun

    while not Plan.objects.exists() or PlanRun.objects.unfinished().exists():
        sleep(0.05)


def _awaited(began: float) -> tuple[str, ...]:
    """Return when a sound plan was saved, when the search ended, what it changes and the gap."""
    from rotation.models import PlanRun

    run, saved = PlanRun.objects.first(), None
    while run.finished_at is None and monotonic() - began < GIVE_UP_SECONDS:
        sleep(0.02)
        run.refresh_from_db()
        if run.plan_id and saved is None:
            saved = monotonic() - began
    if saved is None:
        return "kept", "", "", ""
    plan = run.plan
    ended = f"{monotonic() - began:.2f}"
    return f"{saved:.2f}", ended, str(len(plan.changes)), f"{plan.gap:.1%}"


def _events() -> list[tuple[str, Callable[[], tuple[str, dict[str, object]]]]]:
    """Return what happens, each with the address and the form that logs it."""
    from django.urls import reverse

    from flocks.models import Batch
    from garden.models import Crop, Garden
    from rotation.day_sheet import place_key
    from rotation.models import Plan, PlannedStay

    garden, batch = Garden.objects.get(), Batch.objects.order_by("pk").first()
    pen, on = batch.shares.first().pen, TODAY.isoformat()

    def told_to_others() -> PlannedStay:
        stays = Plan.objects.first().stays.exclude(pen=pen).exclude(bed=None)
        return stays.filter(first_day__gt=TODAY).first()

    def record(kind: str, **form: object) -> tuple[str, dict[str, object]]:
        return reverse(f"{kind}_new", args=[garden.pk, batch.pk]), {"on": on} | form

    def put_elsewhere() -> tuple[str, dict[str, object]]:
        there = told_to_others()
        place = place_key(there.bed_id, there.offset_mm)
        address = reverse("move_elsewhere", args=[garden.pk, batch.pk, pen.pk])
        return address, {"place": place, "on": on}

    def crop_in_the_way() -> tuple[str, dict[str, object]]:
        harvest_on = TODAY + timedelta(days=60)
        return reverse("planting_new", args=[garden.pk, told_to_others().bed_id]), {
            "crop": Crop.objects.filter(garden=garden).first().pk,
            "starts_on": on,
            "first_harvest_on": harvest_on.isoformat(),
            "ends_on": (harvest_on + timedelta(days=20)).isoformat(),
        }

    return [
        ("a pen is put on another's place", put_elsewhere),
        ("two birds are lost", lambda: record("loss", count=2, cause="unknown")),
        ("birds weigh 40 % more", lambda: record("weighing", weights="2400 2500 2450")),
        ("a bed told to birds is planted", crop_in_the_way),
        ("planned again", lambda: (reverse("plan_again", args=[garden.pk]), {})),
    ]


if __name__ == "__main__":
    main()
