"""How long a bed's ledger takes to show: 200 beds, three years of stays, in a database of its own.

Run with ``python -m tests.benchmarks.bed_ledgers``. Prints a markdown table.
"""

import os
import statistics
import time
from datetime import date, timedelta
from tempfile import TemporaryDirectory

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "garden.settings")

BEDS, YEARS, BATCHES_A_YEAR, BIRDS = 200, 3, 5, 30
TODAY = date(2026, 11, 20)
ASKED = 12
"""Beds whose page is asked for, spread over the garden."""


def main() -> None:
    """Make the garden, ask for some ledgers cold and warm, print milliseconds and queries."""
    with TemporaryDirectory() as folder:
        os.environ["VAR_DIR"] = folder  # forecasts are kept there, and must not be met again
        _run()


def _run() -> None:
    import django
    from django.conf import settings

    settings.PRETEND_TODAY = TODAY
    settings.SECURE_SSL_REDIRECT = False
    plain = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    settings.STORAGES = settings.STORAGES | {"staticfiles": plain}
    django.setup()
    from django.test.runner import DiscoverRunner
    from django.test.utils import setup_test_environment

    runner = DiscoverRunner(verbosity=0)
    setup_test_environment()
    databases = runner.setup_databases()
    try:
        _measure()
    finally:
        runner.teardown_databases(databases)


def _garden() -> tuple[object, object]:
    from garden.models import Bed, Garden, HarvestWeight, Planting
    from tests.factories import CropFactory, GardenFactory, MembershipFactory

    garden = GardenFactory(time_zone="UTC", plan_for=Garden.PlanFor.MOST)
    member = MembershipFactory(garden=garden)
    crops = [CropFactory(garden=garden, reference=name) for name in ("Cabbage", "Spinach")]
    beds = Bed.objects.bulk_create(
        Bed(garden=garden, name=f"Bed {n}", length_mm=2400, width_mm=1200) for n in range(BEDS)
    )
    plantings = Planting.objects.bulk_create(
        Planting(
            bed=bed,
            crop=crops[half],
            starts_on=date(year, 1 + 6 * half, 10),
            first_harvest_on=date(year, 4 + 6 * half, 10),
            ends_on=date(year, 5 + 6 * half, 10),
        )
        for bed in beds
        for year in range(TODAY.year - YEARS, TODAY.year + 1)
        for half in (0, 1)
    )
    HarvestWeight.objects.bulk_create(
        HarvestWeight(
            bed_id=row.bed_id, crop_id=row.crop_id, planting=row, on=row.first_harvest_on, mass_kg=3
        )
        for row in plantings
        if row.first_harvest_on <= TODAY
    )
    _birds(garden, beds)
    return garden, member.user


def _birds(garden: object, beds: list) -> None:
    """Every batch's pens visit every bed for a day, so each bed has as many stays as there were batches."""
    from flocks.models import Batch, BatchPen, Weighing
    from pens.models import Pen
    from rotation.models import Stay

    pens = [
        Pen.objects.create(
            garden=garden, name=f"Pen {n}", length_mm=1170, width_mm=1170, floor_m2=1.3
        )
        for n in range(8)
    ]
    for number in range(YEARS * BATCHES_A_YEAR):
        hatch_on = TODAY - timedelta(days=60 + number * 365 // BATCHES_A_YEAR)
        batch = Batch.objects.create(
            garden=garden,
            name=f"Batch {number}",
            hatch_on=hatch_on,
            chicks=BIRDS * len(pens),
            target_g=2400,
            leaves_brooder_on=hatch_on + timedelta(days=21),
            processing_on=hatch_on + timedelta(days=49),
            finished_on=hatch_on + timedelta(days=49),
        )
        BatchPen.objects.bulk_create(BatchPen(batch=batch, pen=pen, birds=BIRDS) for pen in pens)
        Weighing.objects.bulk_create(
            Weighing(batch=batch, on=hatch_on + timedelta(days=age), count=8, mean_g=mean_g)
            for age, mean_g in ((21, 850 + number), (35, 2000 + number))
        )
        Stay.objects.bulk_create(
            Stay(
                pen=pens[at % len(pens)],
                batch=batch,
                bed=bed,
                stretch_mm=1200,
                first_day=hatch_on + timedelta(days=21 + at // len(pens)),
                end_day=hatch_on + timedelta(days=22 + at // len(pens)),
            )
            for at, bed in enumerate(beds)
        )


def _measure() -> None:
    from django.core.cache import cache
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext
    from django.urls import reverse

    from flocks import forecasting

    garden, user = _garden()
    client = Client()
    client.force_login(user)
    beds = list(garden.beds.values_list("pk", flat=True))[:: BEDS // ASKED][:ASKED]
    client.get(reverse("bed_ledger", args=[garden.pk, beds[0]]))  # templates and imports
    print(
        "| forecasts of finished batches | median ms | worst ms | median ms of processor | queries |"
    )
    print("| --- | --- | --- | --- | --- |")
    for name, keep in (("kept", True), ("made anew", False)):
        took, worked, queries = [], [], 0
        for bed in beds:
            forecasting._forecast.cache_clear()
            if not keep:
                cache.clear()
            started, busy = time.perf_counter(), time.process_time()
            with CaptureQueriesContext(
                connection,
            ) as seen:
                answer = client.get(reverse("bed_ledger", args=[garden.pk, bed]))
            took.append(1000 * (time.perf_counter() - started))
            worked.append(1000 * (time.process_time() - busy))
            assert answer.status_code == 200
            queries = max(queries, len(seen))
        middle = (
            f"{statistics.median(took):.0f} | {max(took):.0f} | {statistics.median(worked):.0f}"
        )
        print(f"| {name} | {middle} | {queries} |")


if __name__ == "__main__":
    main()
