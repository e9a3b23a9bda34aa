"""What the database does for a query: which tables it reads through from end to end."""

import json
from functools import cache
from itertools import pairwise
from typing import Any

from django.apps import apps
from django.db import connection
from django.test import Client


def queries_of(client: Client, address: str, **posted: Any) -> list[tuple[str, Any]]:
    """Return the queries that an address asks, each with its parameters; writes and transactions left out."""
    seen = []

    def listen(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        if sql.lstrip("( ").upper().startswith("SELECT"):
            seen.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(listen):
        client.post(address, posted) if posted else client.get(address)
    return seen


def scanned_tables(sql: str, params: Any) -> set[str]:
    """Return the tables that a query reads through, be it along an index."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(f"EXPLAIN QUERY PLAN {sql}", params)
            return _scanned_by_sqlite([row[3] for row in cursor.fetchall()], sql)
        cursor.execute(f"EXPLAIN (FORMAT JSON) {sql}", params)
        plan = cursor.fetchone()[0]
        return set(
            _scanned_by_postgresql((json.loads(plan) if isinstance(plan, str) else plan)[0]["Plan"])
        )


def _scanned_by_sqlite(steps: list[str], sql: str) -> set[str]:
    """``SCAN garden_bed``, or by its alias; ``SEARCH`` is what an index is for."""
    named = [
        step.split()[1] for step in steps if step.startswith("SCAN ") and "VIRTUAL" not in step
    ]
    aliases = {}
    words = sql.replace(",", " ").split()
    for word, after in pairwise(words):
        aliases[after.strip('"()')] = word.strip('"()')
    known = set(connection.introspection.table_names())
    return {name if name in known else aliases.get(name, name) for name in named} & known


@cache
def _partial() -> set[str]:
    """Return the indexes that hold some of a table's rows only, as those of what has not ended."""
    constraints = (one for model in apps.get_models() for one in model._meta.constraints)
    return {one.name for one in constraints if getattr(one, "condition", None) is not None}


def _scanned_by_postgresql(node: dict[str, Any]) -> list[str]:
    found = [name for part in node.get("Plans", ()) for name in _scanned_by_postgresql(part)]
    kind = node["Node Type"]
    by_all_of_an_index = kind.startswith("Index") and "Index Cond" not in node
    through = kind == "Seq Scan" or (by_all_of_an_index and node["Index Name"] not in _partial())
    if through and "Relation Name" in node:
        found.append(node["Relation Name"])
    return found
