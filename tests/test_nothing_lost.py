"""Acknowledged entries survive a killed server, and rows a step back to older tables and forward again."""

from collections import defaultdict
from random import Random

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from tests.any_rows import any_garden
from tests.benchmarks.power_cut import cut_power
from tests.factories import MembershipFactory

OWN_APPS = ("rotation", "flocks", "pens", "garden")
STEPS_BACK = 2
"""How many migrations of each app are taken back: more than lies between two versions."""
CUTS = 3

Table = dict[str, list[object]]


def test_what_was_acknowledged_is_there_once_after_the_server_was_killed(migrated):
    told = cut_power(CUTS, people=3, migrated=migrated)
    assert not told["wrong"], told["line"]
    assert told["acknowledged"] > CUTS


def columns_by_table() -> dict[str, Table]:
    """Return each table of ours as its columns, each with its values by the rows' ids."""
    found: dict[str, Table] = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            if table.partition("_")[0] in OWN_APPS:
                cursor.execute(f'SELECT * FROM "{table}" ORDER BY "id"')
                names = [column[0] for column in cursor.description]
                rows = cursor.fetchall()
                found[table] = {name: [row[at] for row in rows] for at, name in enumerate(names)}
    return found


def lost(before: dict[str, Table], after: dict[str, Table]) -> list[str]:
    """Return the columns that both have and whose values differ."""
    return [
        f"{table}.{name}"
        for table in before.keys() & after.keys()
        for name in before[table].keys() & after[table].keys()
        if before[table][name] != after[table][name]
    ]


def some_steps_back(loader: MigrationLoader) -> list[tuple[str, str]]:
    """Return, for each app, the migration that was its last some steps ago."""
    plan = [node for leaf in loader.graph.leaf_nodes() for node in loader.graph.forwards_plan(leaf)]
    by_app: dict[str, list[str]] = defaultdict(list)
    for app, name in dict.fromkeys(plan):
        by_app[app].append(name)
    return [(app, by_app[app][max(0, len(by_app[app]) - 1 - STEPS_BACK)]) for app in OWN_APPS]


@pytest.mark.django_db(transaction=True)
def test_rows_stay_as_they_are_on_the_way_back_to_older_tables_and_forward_again():
    member = MembershipFactory()
    any_garden(Random(3), member.garden, [member.user])
    now = columns_by_table()
    executor = MigrationExecutor(connection)
    newest = [node for node in executor.loader.graph.leaf_nodes() if node[0] in OWN_APPS]
    try:
        executor.migrate(some_steps_back(executor.loader))
        older = columns_by_table()
    finally:
        executor = MigrationExecutor(connection)
        executor.migrate(newest)
    again = columns_by_table()
    assert older.keys() != now.keys() or any(
        older[table].keys() != now[table].keys() for table in now
    )
    assert lost(now, older) == []
    assert lost(older, again) == []
    assert {table: set(columns) for table, columns in again.items()} == {
        table: set(columns) for table, columns in now.items()
    }
