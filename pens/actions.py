"""What changes pens; each action is one transaction."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from garden.giving_up import reasons_to_keep
from garden.models import Garden
from garden.undo import Recorder, undoable
from garden.words import gettext as _
from pens.design import Pen as BuiltPen
from pens.models import Design, Got, Pen, Price, ShedItem


def pen_retire(*, pen: Pen, user: Any, on: date) -> None:
    """Give a pen up; its past stays.

    Raises
    ------
    ValidationError
        With every reason to keep it.
    """
    if reasons := reasons_to_keep(pen, on):
        raise ValidationError(reasons)
    with undoable(pen.garden, user, _("{pen} given up").format(pen=pen)) as step:
        step.changing(pen)
        pen.retired_on = on
        pen.save()


def design_save(*, garden: Garden, user: Any, form: Any) -> Design:
    """Save a design that was made or changed by a form."""
    is_new = form.instance.pk is None
    said = _("{design} designed") if is_new else _("{design} changed")
    with undoable(garden, user, said.format(design=form.instance)) as step:
        if not is_new:
            step.changing(form.instance)
        design = form.save()
        if is_new:
            step.made(design)
    return design


def design_remove(*, design: Design, user: Any) -> None:
    """Remove a design with its ticks; pens that were built from it stay."""
    pens, ticks = list(design.pens.all()), list(design.got.all())
    with undoable(design.garden, user, _("{design} removed").format(design=design)) as step:
        step.changing(*pens)
        step.removing(*ticks, design)
        design.delete()


def design_build(*, design: Design, user: Any, name: str, pen: BuiltPen) -> Pen:
    """Put a pen of a design into the garden, so that plans may use it.

    `pen` is the design carried out: its size, floor and weight become the pen's own.
    """
    said = _("{pen} added from its design").format(pen=name)
    with undoable(design.garden, user, said) as step:
        built = Pen.objects.create(
            garden=design.garden,
            design=design,
            name=name,
            length_mm=design.length_mm,
            width_mm=design.width_mm,
            floor_m2=round(pen.floor_m2, 4),
            mass_kg=round(pen.mass.total_kg, 2),
        )
        step.made(built)
    return built


def ticks_set(*, design: Design, user: Any, now: set[str], not_now: set[str]) -> None:
    """Put lines of a buying list into the trolley and take others out.

    Said twice it changes nothing more, so a phone may send again what it does not know to have arrived.
    """
    with transaction.atomic():
        design.got.filter(key__in=not_now).delete()
        for key in sorted(now - not_now):
            Got.objects.get_or_create(design=design, key=key, defaults={"ticked_by": user})


def prices_save(
    *,
    garden: Garden,
    user: Any,
    amounts: dict[str, Decimal | None],
    counts: dict[tuple[str, float], int],
) -> None:
    """Set what a garden pays and what lies in its shed; None and 0 take a row away.

    `counts` goes by key and length [mm], 0 for what has none.
    """
    prices = {row.key: row for row in Price.objects.filter(garden=garden)}
    shed = {(row.key, row.length_mm): row for row in ShedItem.objects.filter(garden=garden)}
    with undoable(garden, user, _("Prices and shed changed")) as step:
        for key, amount in amounts.items():
            _row_set(step, prices.get(key), Price(garden=garden, key=key), "amount", amount)
        for (key, length_mm), count in counts.items():
            new = ShedItem(garden=garden, key=key, length_mm=length_mm)
            _row_set(step, shed.get((key, length_mm)), new, "count", count or None)


def _row_set(step: Recorder, row: Any, new: Any, field: str, value: Any) -> None:
    """Make, change or remove one row so that its field holds a value."""
    if row is None and value is not None:
        setattr(new, field, value)
        new.save()
        step.made(new)
    elif row is not None and value is None:
        step.removing(row)
        row.delete()
    elif row is not None and getattr(row, field) != value:
        step.changing(row)
        setattr(row, field, value)
        row.save()
