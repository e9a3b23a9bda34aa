"""New versions are installed while people write: no migration keeps them waiting or breaks the one before."""

import pytest
from django.db import migrations, models
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.state import ModelState, ProjectState

from tests.migration_rules import faults

OWN_APPS = ("garden", "pens", "flocks", "rotation")
BEFORE_THE_FIRST = "written before any installation had many gardens"
FILLS_IN = (
    "reads photos and writes a checksum beside each; run it at a quiet hour where there are many"
)
BASELINE = dict.fromkeys(
    (
        "garden.0002_plan_for",
        "garden.0003_safe_harvest",
        "garden.0004_ledger",
        "garden.0006_places_and_weather",
        "pens.0002_designs_and_shopping",
        "pens.0003_wire_and_walls",
        "flocks.0003_books_and_withdrawal",
        "flocks.0004_sexes_and_feed_given",
        "rotation.0008_not_possible",
    ),
    BEFORE_THE_FIRST,
) | {"rotation.0012_photo_checksums": FILLS_IN}
"""Migrations that may keep people waiting, and why that is borne."""


def test_no_migration_keeps_people_waiting_but_those_of_the_beginning():
    loader, state, found = MigrationLoader(None), ProjectState(), {}
    for key in loader.graph._generate_plan(loader.graph.leaf_nodes(), at_end=True):
        migration = loader.graph.nodes[key]
        if key[0] in OWN_APPS:
            if broken := list(faults(migration, state)):
                found[".".join(key)] = broken
        else:
            migration.mutate_state(state, preserve=False)
    unlisted = {name: broken for name, broken in found.items() if name not in BASELINE}
    assert unlisted == {}
    assert set(BASELINE) == set(found)


def weighing() -> ProjectState:
    """Return a project with one table, which many rows may be in."""
    state = ProjectState()
    fields = [
        ("id", models.BigAutoField(primary_key=True)),
        ("note", models.CharField(max_length=100, null=True)),
        ("count", models.IntegerField()),
    ]
    state.add_model(ModelState("flocks", "Weighing", fields))
    return state


LATER = models.CharField(max_length=9)


@pytest.mark.parametrize(
    ("operation", "fault"),
    [
        (migrations.AddField("weighing", "x", LATER), "leave the column out"),
        (migrations.AddField("weighing", "x", models.TextField(default="")), "leave the column out"),
        (migrations.AddField("weighing", "x", models.TextField(db_default="")), None),
        (migrations.AddField("weighing", "x", models.TextField(null=True)), None),
        (migrations.AddField("weighing", "x", models.TextField(null=True, db_index=True)), "an index"),
        (migrations.AddIndex("weighing", models.Index(fields=["count"], name="x")), "an index"),
        (migrations.AlterField("weighing", "note", models.CharField(max_length=200, null=True)), None),
        (migrations.AlterField("weighing", "note", models.CharField(max_length=50, null=True)), "max_length"),
        (migrations.AlterField("weighing", "note", models.CharField(max_length=100)), "every row"),
        (migrations.AlterField("weighing", "count", models.FloatField()), "every row"),
        (migrations.AlterField("weighing", "count", models.IntegerField(unique=True)), "an index"),
        (migrations.AlterField("weighing", "count", models.IntegerField(help_text="birds")), None),
        (migrations.RemoveField("weighing", "count"), "version before"),
        (migrations.RenameField("weighing", "count", "birds"), "version before"),
        (migrations.DeleteModel("Weighing"), "version before"),
        (migrations.RunPython(migrations.RunPython.noop), "every row"),
        (migrations.AlterModelOptions("weighing", {"ordering": ["pk"]}), None),
        (migrations.CreateModel("Loss", [("id", models.BigAutoField(primary_key=True))]), None),
    ],
)  # fmt: skip
def test_what_keeps_people_waiting_is_seen(operation, fault):
    migration = migrations.Migration("0099_x", "flocks")
    migration.operations = [operation]
    told = list(faults(migration, weighing()))
    assert (fault in told[0]) if fault else told == []


def test_a_table_made_in_the_same_migration_has_no_rows_yet():
    migration = migrations.Migration("0099_x", "flocks")
    migration.operations = [
        migrations.CreateModel("Loss", [("id", models.BigAutoField(primary_key=True))]),
        migrations.AddIndex("loss", models.Index(fields=["id"], name="x")),
        migrations.AddField("loss", "x", LATER),
    ]
    assert list(faults(migration, weighing())) == []
