"""Thousands of gardens with three years of records each, seeded: a few are made, and the database copies them.

Rows of all gardens lie mixed, as they do where many people log on the same days: a copy's number is such that
the same row of every garden stands side by side.
"""

from datetime import date, timedelta
from random import Random
from typing import Any
from uuid import UUID

PATTERNS = 20
"""Gardens that differ; the others are copies of them."""
BEDS, PENS, BATCHES_A_YEAR, YEARS = 10, 2, 2, 3
OUT_AT, PROCESSED_AT, IN_GARDEN_FOR = 24, 49, 33
WEIGHT_G = {7: 180, 14: 480, 21: 950, 28: 1500, 35: 2150, 42: 2800}
CROPS = ("Cabbage", "Spinach", "Leek", "Beet", "Chard", "Radish", "Celery", "Kohlrabi")
FIRST_COPY = 10_000_000
"""The first number that a copied row may get; rows that are made by hand stay below."""


def gardens_make(count: int, on: date, seed: int = 1) -> int:
    """Make `count` gardens as they stand on a day and return how many rows that took."""
    from django.db import connection, transaction

    dice = Random(seed)
    with transaction.atomic():
        models = [_garden(dice, number, on) for number in range(min(count, PATTERNS))][-1]
    copies = -(-count // PATTERNS) - 1
    if copies > 0:
        _copy(models, copies)
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
    return sum(model._base_manager.count() for model in models)


def _garden(dice: Random, number: int, on: date) -> list[type]:
    """Make one garden; return the models it took, each after those that its rows name."""
    from django.contrib.auth import get_user_model

    from garden.models import Garden, Membership, TakenEntry, UndoStep

    user = get_user_model()(username=f"person{number}", email=f"person{number}@example.org")
    garden = Garden(name=f"Garden {number}", time_zone="Europe/Dublin")
    rows: list[Any] = [user, garden, Membership(garden=garden, user=user, role="owner")]
    beds, crops = _ground(garden, rows)
    _crops_grown(dice, beds, crops, on, rows)
    _birds(dice, garden, user, beds, on, rows)
    _days(dice, garden, user, beds, on, rows)
    rows += [
        UndoStep(
            garden=garden,
            user=user,
            said="Feed logged, 1.5 kg",
            rows=[{"model": "flocks.feedrecord", "pk": 1, "before": None, "after": {"mass_kg": n}}],
            expires_at=f"{on - timedelta(days=1 + n)}T12:00:00Z",
        )
        for n in range(40)
    ]
    rows += [TakenEntry(user=user, key=UUID(int=dice.getrandbits(128))) for _ in range(40)]
    return _save(rows)


def _ground(garden: Any, rows: list[Any]) -> tuple[list[Any], list[Any]]:
    from garden.models import Bed, Crop

    beds = [
        Bed(
            garden=garden, name=f"Bed {n}", length_mm=2400, width_mm=1200,
            x_m=n % 5 * 2.0, y_m=n // 5 * 3.0,
        )
        for n in range(BEDS)
    ]  # fmt: skip
    crops = [
        Crop(
            garden=garden, name=name, reference=name, nitrogen_kg_ha=120,
            days_to_harvest=60, contact="touches",
        )
        for name in CROPS
    ]  # fmt: skip
    rows += [*beds, *crops]
    return beds, crops


def _crops_grown(
    dice: Random, beds: list[Any], crops: list[Any], on: date, rows: list[Any]
) -> None:
    """Two crops a year on each bed, harvests, compost and a soil test."""
    from garden.models import HarvestWeight, Planting, SoilTest, Spread

    for bed in beds:
        rows.append(SoilTest(bed=bed, on=on - timedelta(days=400), phosphorus_mg_kg=40))
        opens = on - timedelta(days=365 * YEARS + dice.randint(0, 60))
        for half in range(2 * YEARS + 2):
            starts_on = opens + timedelta(days=182 * half)
            planting = Planting(
                bed=bed, crop=dice.choice(crops), starts_on=starts_on,
                first_harvest_on=starts_on + timedelta(days=70),
                ends_on=starts_on + timedelta(days=110),
            )  # fmt: skip
            rows.append(planting)
            if planting.first_harvest_on <= on:
                rows.append(
                    HarvestWeight(
                        bed=bed, crop=planting.crop, planting=planting,
                        on=planting.first_harvest_on, mass_kg=dice.uniform(1, 6),
                    )
                )  # fmt: skip
            if half % 2 == 0 and starts_on <= on:
                rows.append(
                    Spread(bed=bed, on=starts_on, what="Compost", mass_kg=10, nitrogen_g=90)
                )


def _birds(
    dice: Random, garden: Any, user: Any, beds: list[Any], on: date, rows: list[Any]
) -> None:
    from flocks.models import Batch, BatchPen
    from pens.models import Pen

    pens = [
        Pen(garden=garden, name=f"Pen {n}", length_mm=1170, width_mm=1170, floor_m2=1.2)
        for n in range(PENS)
    ]
    rows += pens
    for number in range(YEARS * BATCHES_A_YEAR + 1):
        hatch_on = on - timedelta(days=IN_GARDEN_FOR + number * 365 // BATCHES_A_YEAR)
        processed_on = hatch_on + timedelta(days=PROCESSED_AT)
        batch = Batch(
            garden=garden, name=f"Batch {number}", hatch_on=hatch_on, chicks=10, target_g=2400,
            leaves_brooder_on=hatch_on + timedelta(days=OUT_AT), processing_on=processed_on,
            finished_on=processed_on if number else None,
        )  # fmt: skip
        rows += [batch, *(BatchPen(batch=batch, pen=pen, birds=5) for pen in pens)]
        _logged(dice, batch, user, on, rows)
        _walked(dice, batch, pens, beds, on, rows)


def _logged(dice: Random, batch: Any, user: Any, on: date, rows: list[Any]) -> None:
    """Weighings every week, feed every second day, a loss and the end."""
    from flocks.models import FeedRecord, Loss, Processing, Weighing

    told = {"batch": batch, "logged_by": user}
    last = min(on, batch.processing_on)
    for age in range(1, PROCESSED_AT, 2):
        day = batch.hatch_on + timedelta(days=age)
        if day <= last:
            rows.append(FeedRecord(on=day, mass_kg=0.3 + 0.05 * age, **told))
    for age, mean_g in WEIGHT_G.items():
        day = batch.hatch_on + timedelta(days=age)
        if day <= last:
            rows.append(Weighing(on=day, count=8, mean_g=mean_g * dice.uniform(0.9, 1.1), **told))
    rows.append(Loss(on=batch.hatch_on + timedelta(days=3), count=1, **told))
    if batch.finished_on:
        rows.append(Processing(on=batch.finished_on, count=9, dressed_kg=15, **told))


def _walked(
    dice: Random, batch: Any, pens: list[Any], beds: list[Any], on: date, rows: list[Any]
) -> None:
    """A move every second day; of the batch that is out, the last stay lasts and a plan tells the rest."""
    from rotation.models import Plan, PlannedStay, Stay

    plan = Plan(
        garden=batch.garden, from_day=on, end_day=batch.processing_on, because="a scale test",
        cost=10, lower_bound=9, seconds=0.1,
    )  # fmt: skip
    if not batch.finished_on:
        rows.append(plan)
    for at, pen in enumerate(pens):
        for n, age in enumerate(range(OUT_AT, PROCESSED_AT, 2)):
            begins = batch.hatch_on + timedelta(days=age)
            ground = {
                "pen": pen, "batch": batch, "bed": beds[(2 * n + at) % BEDS],
                "offset_mm": 0, "stretch_mm": 1200, "first_day": begins,
            }  # fmt: skip
            ends = begins + timedelta(days=2)
            if begins > on:
                rows.append(PlannedStay(plan=plan, end_day=ends, nitrogen_g=30, **ground))
            else:
                lasts = not batch.finished_on and ends > on
                rows.append(Stay(end_day=None if lasts else ends, **ground))
                if lasts:
                    ahead = ground | {"first_day": on}
                    rows.append(PlannedStay(plan=plan, end_day=ends, nitrogen_g=30, **ahead))


def _days(dice: Random, garden: Any, user: Any, beds: list[Any], on: date, rows: list[Any]) -> None:
    """What is kept by the day or by the month: weather, chores, notes, feed bought, money."""
    from flocks.models import Cost, FeedProduct, FeedPurchase, Note
    from garden.models import DayWeather
    from rotation.models import ChoreMark

    feed = FeedProduct(garden=garden, name="Grower pellets", bag_kg=25, price=17)
    rows.append(feed)
    for ago in range(120):
        day = on - timedelta(days=ago)
        rows.append(DayWeather(garden=garden, on=day, low_c=8, high_c=dice.randint(12, 26)))
        rows.append(ChoreMark(garden=garden, on=day, chore="water", mark="done", marked_by=user))
    for month in range(1, 12 * YEARS, 2):
        day = on - timedelta(days=30 * month)
        rows += [
            Note(garden=garden, on=day, text=f"Fox tracks, {month}", logged_by=user),
            Note(garden=garden, bed=dice.choice(beds), on=day, text="Slugs", logged_by=user),
            FeedPurchase(product=feed, on=day, bags=2, price=17, logged_by=user),
            Cost(garden=garden, on=day, kind="bedding", amount=8, logged_by=user),
        ]


def _save(rows: list[Any]) -> list[type]:
    """Save rows by their models, in the order in which the models came up."""
    by_model: dict[type, list[Any]] = {}
    for row in rows:
        by_model.setdefault(type(row), []).append(row)
    from flocks.withdrawal_guard import as_archived

    with as_archived():
        for model, mine in by_model.items():
            for row in mine:
                for field in model._meta.concrete_fields:
                    if field.is_relation and field.is_cached(row):
                        setattr(row, field.name, getattr(row, field.name))  # its id is known now
            model._base_manager.bulk_create(mine)
    return list(by_model)


def _copy(models: list[type], copies: int) -> None:
    """Let the database repeat every row `copies` times under new numbers."""
    from django.core.management.color import no_style
    from django.db import connection

    quiet = {
        "sqlite": "PRAGMA foreign_keys = OFF",
        "postgresql": "SET session_replication_role = replica",
    }
    loud = {
        "sqlite": "PRAGMA foreign_keys = ON",
        "postgresql": "SET session_replication_role = origin",
    }
    with connection.cursor() as cursor:
        # What is copied is sound already; asking that of every row would take most of the time.
        cursor.execute(quiet[connection.vendor])
        for model in models:
            cursor.execute(_repeat(model, models, copies))
        cursor.execute(loud[connection.vendor])
        for reset in connection.ops.sequence_reset_sql(no_style(), models):
            cursor.execute(reset)


def _repeat(model: type, models: list[type], copies: int) -> str:
    from django.db import connection

    quote = connection.ops.quote_name
    fields = model._meta.concrete_fields
    table, columns = quote(model._meta.db_table), [quote(field.column) for field in fields]
    values = [
        _value(field, column, models, copies) for field, column in zip(fields, columns, strict=True)
    ]
    return (
        f"WITH RECURSIVE k(n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM k WHERE n < {copies - 1}) "
        f"INSERT INTO {table} ({', '.join(columns)}) SELECT {', '.join(values)} "
        f"FROM {table}, k ORDER BY {quote(model._meta.pk.column)}, n"
    )


def _value(field: Any, column: str, models: list[type], copies: int) -> str:
    if field.primary_key or (field.is_relation and field.related_model in models):
        return f"{FIRST_COPY} + {column} * {copies} + n"
    if field.unique or field.name in ("email",):
        return f"{column} || '-' || n"
    return column
