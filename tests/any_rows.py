"""Rows of any model that belongs to a garden, with any values that its fields may hold."""

import json
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from random import Random
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import IntegrityError, models, transaction

from flocks.withdrawal_guard import as_archived
from garden.models import Garden
from rotation.archive_ids import BATCH, HIDDEN, PEN
from rotation.archive_models import Carried, carried_models, is_person
from tests.factories import processed_sooner

LETTERS = "abc XYZ 019 =+-@'\"\\/,;\n\täßñ漢字שלום🐔\u200f\u0301"
FIRST_DAY, FIRST_MOMENT = date(2024, 1, 1), datetime(2024, 1, 1, tzinfo=UTC)


def any_garden(dice: Random, garden: Garden, users: list[Any], most: int = 2) -> int:
    """Give a garden up to `most` rows of every model and return how many; refused ones are left out."""
    made: dict[str, list[Any]] = {}
    for carried in carried_models():
        made[carried.label] = []
        for _ in range(dice.randint(0, most)):
            row = any_row(dice, carried, garden, users, made)
            if row is not None:
                made[carried.label].append(row)
    return sum(map(len, made.values()))


def any_row(
    dice: Random, carried: Carried, garden: Garden, users: list[Any], made: dict[str, list[Any]]
) -> models.Model | None:
    """Save one row, or return None where it cannot be."""
    values: dict[str, Any] = {}
    lists = [field for field in carried.fields if field.many_to_many]
    for field in carried.fields:
        if field in lists:
            continue
        if field.is_relation:
            there = users if is_person(field) else made[field.related_model._meta.label_lower]
            choices = [*there, *([None] if field.null else [])]
            if not choices:
                return None
            values[field.name] = dice.choice(choices)
        elif field.null and dice.random() < 0.3:
            values[field.name] = None
        else:
            values[field.name] = any_value(dice, carried, field, made)
    if "__" not in carried.to_garden:
        values[carried.to_garden] = garden
    row = carried.model(**values)
    try:
        with transaction.atomic(), as_archived():
            row.save_base(raw=True, force_insert=True)
    except IntegrityError:
        return None
    for field in lists:
        there = made[field.related_model._meta.label_lower]
        getattr(row, field.name).set(each for each in there if dice.random() < 0.5)
    return row


def any_value(
    dice: Random, carried: Carried, field: models.Field, made: dict[str, list[Any]]
) -> Any:
    """Return something that a field may hold."""
    if (carried.label, field.name) in HIDDEN:
        return dice.choice(_with_ids(field.name, made))
    if field.flatchoices:
        return dice.choice([key for key, _ in field.flatchoices])
    for _ in range(20):
        value = _of_kind(dice, field)
        if _is_valid(field, value):
            return value
    return field.get_default()


def _is_valid(field: models.Field, value: Any) -> bool:
    try:
        field.run_validators(value)
    except ValidationError:
        return False
    return True


def _with_ids(name: str, made: dict[str, list[Any]]) -> list[Any]:
    batches, pens = made[BATCH], made[PEN]
    if name == "chore":
        told = [f"feed:{each.pk}:{pen.pk}" for each in batches for pen in pens]
        return ["water", "feed:77777:88888", *told, *(f"move:{pen.pk}" for pen in pens)]
    gone = [{"kind": "clear", "planting": 99999, "on": "2026-06-01"}]
    return [[], gone, *(processed_sooner(each) for each in batches)]


def _of_kind(dice: Random, field: models.Field) -> Any:
    least, most = _limits(field)
    kind = field.get_internal_type()
    if kind in ("CharField", "TextField"):
        longest = min(field.max_length or 40, 40)
        return "".join(dice.choices(LETTERS, k=dice.randint(1, longest)))
    if kind == "BooleanField":
        return dice.random() < 0.5
    if kind == "DateField":
        return FIRST_DAY + timedelta(days=dice.randint(0, 1500))
    if kind == "TimeField":
        return time(dice.randint(0, 23), dice.randint(0, 59))
    if kind == "DateTimeField":
        return FIRST_MOMENT + timedelta(microseconds=dice.randint(0, 10**14))
    if kind == "JSONField":
        empty = field.get_default()
        some = [1.5, 2] if isinstance(empty, list) else {"told": [1, "ü"], "n": 0.1}
        return dice.choice([empty, json.loads(json.dumps(some))])
    if kind == "DecimalField":
        whole = 10 ** min(field.max_digits - field.decimal_places, 6)
        return round(Decimal(dice.uniform(max(least, 0), whole - 1)), field.decimal_places)
    if kind == "FloatField":
        return dice.choice([dice.uniform(least, most), least, most])
    if kind.endswith("IntegerField"):
        return dice.randint(max(int(least), 0), min(int(most), 30_000))
    raise NotImplementedError(f"{field}: say what a {kind} may hold")


def _limits(field: models.Field) -> tuple[float, float]:
    least, most = 0.0, 1e6
    for check in field.validators:
        if type(check) is MinValueValidator:
            least = max(least, float(check.limit_value))
        if type(check) is MaxValueValidator:
            most = min(most, float(check.limit_value))
    return least, most
