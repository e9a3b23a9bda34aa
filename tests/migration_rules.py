"""What a migration must not do to a table that many gardens share while people write to it.

The version before goes on running until the new one has started: it must find every column that it knows, must
be able to leave out those it does not, and must not be kept waiting. On PostgreSQL that rules out what reads or
writes a whole table under a lock: indexes not made concurrently, constraints checked at once, columns that
change their type.
"""

from collections.abc import Iterator

from django.db import migrations, models
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

KEPT_WAITING = {
    migrations.RemoveField: "takes away what the version before still reads",
    migrations.DeleteModel: "takes away what the version before still reads",
    migrations.RenameField: "takes away what the version before still reads",
    migrations.RenameModel: "takes away what the version before still reads",
    migrations.AlterModelTable: "takes away what the version before still reads",
    migrations.AddConstraint: "checks every row while writers wait",
    migrations.AlterUniqueTogether: "checks every row while writers wait",
    migrations.AlterOrderWithRespectTo: "writes every row",
    migrations.RunPython: "may write every row",
    migrations.RunSQL: "may do anything",
}
GROWS = ("max_length",)
"""Limits that may become wider without a look at the rows."""
SHAPE = (
    "max_length",
    "max_digits",
    "decimal_places",
    "to",
    "db_column",
    "db_collation",
    "to_field",
)


def faults(migration: migrations.Migration, state: ProjectState) -> Iterator[str]:
    """Say what a migration does that keeps people waiting; `state` goes from before it to after it."""
    label, new = migration.app_label, set()
    for operation in migration.operations:
        table = getattr(operation, "model_name", getattr(operation, "name", "")).lower()
        if isinstance(operation, migrations.CreateModel):
            new.add(operation.name_lower)
        elif table not in new:
            known = state.models.get((label, table))
            for fault in _faults_of(operation, known.fields if known else {}):
                yield f"{operation.describe()}: {fault}"
        operation.state_forwards(label, state)


def _faults_of(operation: Operation, fields: dict[str, models.Field]) -> Iterator[str]:
    if isinstance(operation, migrations.SeparateDatabaseAndState):
        for inner in operation.database_operations:
            yield from _faults_of(inner, fields)
    elif isinstance(operation, migrations.AddField):
        yield from _added(operation.field)
    elif isinstance(operation, migrations.AlterField):
        yield from _altered(fields[operation.name], operation.field)
    elif isinstance(operation, migrations.AddIndex):
        if "Concurrently" not in type(operation).__name__:
            yield "makes an index while writers wait"
    else:
        for kind, fault in KEPT_WAITING.items():
            if isinstance(operation, kind):
                yield fault


def _added(field: models.Field) -> Iterator[str]:
    if field.many_to_many:
        return
    if not field.null and not field.has_db_default():
        yield "the version before cannot leave the column out: say null=True or db_default"
    if field.db_index or field.unique:
        yield "makes an index while writers wait"


def _altered(old: models.Field, new: models.Field) -> Iterator[str]:
    if old.null and not new.null:
        yield "checks every row while writers wait"
    if (new.db_index and not old.db_index) or (new.unique and not old.unique):
        yield "makes an index while writers wait"
    (_, before, _, was), (_, after, _, becomes) = old.deconstruct()[0:4], new.deconstruct()[0:4]
    if before != after:
        yield f"turns every row of {before} into {after}"
    for name in SHAPE:
        grows = name in GROWS and (becomes.get(name) or 0) >= (was.get(name) or 0)
        if was.get(name) != becomes.get(name) and not grows:
            yield f"changes {name} from {was.get(name)} to {becomes.get(name)}"
