"""No page reads a table through that grows with the gardens: the plans of its queries on SQLite.

The rows of a test are few, so SQLite is asked what it would do if there were many, by statistics that tell of
more gardens. PostgreSQL sees that a table is small whatever it is told; the benchmark `scale` asks it.
"""

from datetime import date

import pytest
from django.apps import apps
from django.db import connection
from django.test import Client

from garden.models import Garden, Membership
from tests.benchmarks.scale import HELD, OTHERS, addresses_of
from tests.benchmarks.scale_rows import gardens_make
from tests.conftest import TODAY
from tests.query_plans import queries_of, scanned_tables

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(
        connection.vendor != "sqlite", reason="asked with real rows by the benchmark"
    ),
]

FLOORS = ("auth", "sessions", "garden", "pens", "flocks", "rotation")
FEW = {"rotation_planworker", "auth_group", "auth_permission"}
"""Tables that do not grow with the gardens."""
TIMES = 5000
"""How many times the gardens that are there SQLite takes for there."""


@pytest.fixture
def grower(settings) -> Client:
    """Return the browser of somebody whose garden has three years of records, beside another garden."""
    gardens_make(2, date.fromisoformat(TODAY.isoformat()))
    client = Client()
    client.force_login(Membership.objects.first().user)
    return client


@pytest.fixture
def judged_as_if_large(grower) -> None:
    """Let SQLite plan as if there were thousands of gardens."""
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
        cursor.execute("SELECT tbl, idx, stat FROM sqlite_stat1")
        for table, index, stat in cursor.fetchall():
            rows, *alike = stat.split()  # in all, and of the same value of an index's columns
            told = " ".join([str(int(rows) * TIMES), *alike])
            where = "tbl = %s AND idx IS %s"
            cursor.execute(f"UPDATE sqlite_stat1 SET stat = %s WHERE {where}", [told, table, index])
        cursor.execute("ANALYZE sqlite_master")


def growing_tables() -> set[str]:
    """Return the tables that get longer with every garden."""
    models = [model for floor in FLOORS for model in apps.get_app_config(floor).get_models(True)]
    return {model._meta.db_table for model in models} - FEW


def test_no_page_reads_a_growing_table_through(grower, judged_as_if_large):
    garden = Garden.objects.first()
    pages = addresses_of(garden)
    assert pages.keys() == {*HELD, *OTHERS}
    growing = growing_tables()
    scanned = {
        f"{name} reads {table} through: {sql[:400]}"
        for name, address in pages.items()
        for sql, params in queries_of(grower, address)
        for table in scanned_tables(sql, params) & growing
    }
    assert not scanned, "\n".join(sorted(scanned))


def test_reading_through_is_noticed(grower, judged_as_if_large):
    assert scanned_tables('SELECT * FROM "garden_bed" WHERE "length_mm" > %s', [5000]) == {
        "garden_bed"
    }
    assert scanned_tables('SELECT * FROM "garden_bed" "b" WHERE "b"."width_mm" > %s', [5]) == {
        "garden_bed"
    }
    assert scanned_tables('SELECT * FROM "garden_bed" WHERE "garden_id" = %s', [1]) == set()
