"""Writes to a batch and its records: each in one transaction, each can be undone by its author."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from django.contrib.auth.models import AbstractBaseUser
from django.db import transaction

from flocks.models import Batch, BatchPen, Loss, Processing, Weighing
from flocks.models.records import Record
from flocks.sharing import shared_out
from flocks.withdrawal_guard import withdrawals_set_aside
from garden.clock import now
from garden.models import Garden
from garden.undo import Recorder, undoable
from garden.words import gettext as _
from garden.words import ngettext
from pens.models import Pen

DOUBLE_TAP_S = 10.0
"""Two records with the same content by the same person within this time are one, sent twice [s]. Our choice."""


def batch_create(
    *, garden: Garden, user: AbstractBaseUser, pens: Iterable[Pen], **fields: Any
) -> Batch:
    """Save a new batch from a valid `BatchForm`, its chicks shared out by the floor of the pens."""
    batch = Batch(garden=garden, **fields)
    said = _("{batch} added, {chicks} chicks").format(batch=batch.name, chicks=batch.chicks)
    with undoable(garden, user, said) as step:
        batch.save()
        step.made(batch)
        for pen, birds in _shares(batch.chicks, pens):
            step.made(BatchPen.objects.create(batch=batch, pen=pen, birds=birds))
    return batch


def batch_update(
    *, batch: Batch, user: AbstractBaseUser, pens: Iterable[Pen], **fields: Any
) -> Batch:
    """Save a batch changed by a valid `BatchForm`; the chicks are shared out anew where need be."""
    why = fields.pop("withdrawal_why", "")
    with undoable(batch.garden, user, _("{batch} changed").format(batch=batch.name)) as step:
        on = fields.get("processing_on")
        withdrawals_set_aside(batch=batch, on=on, why=why, user=user, step=step)
        batch_write(batch=batch, pens=pens, step=step, **fields)
    return batch


def batch_write(*, batch: Batch, pens: Iterable[Pen], step: Recorder, **fields: Any) -> None:
    """Change a batch as a part of a larger action.

    Shares stay as they are while neither the pens nor the number of chicks changes.
    """
    step.changing(batch)
    for name, value in fields.items():
        setattr(batch, name, value)
    batch.save()
    _share_out_anew(batch, list(pens), step)
    _settle(batch, step)


def record_log(
    *, record: Record, user: AbstractBaseUser, said: str, has_key: bool = False
) -> Record:
    """Save a new record, once for a double tap; the batch is finished when it takes the last bird.

    Parameters
    ----------
    record
        A valid unsaved row of a batch: weighing, feed, loss, processing or note.
    said
        What the undo bar says.
    has_key
        Whether a repeat is known by a key of its own, so that the same twice is two records.

    Returns
    -------
    Record
        The record saved, or the same one that this user has logged within `DOUBLE_TAP_S`.
    """
    record.logged_by = user
    garden = record.batch.garden
    with transaction.atomic():
        # Two taps arrive within the same moment, so the second waits here for the first.
        Garden.objects.select_for_update().get(pk=garden.pk)
        if not has_key and (twin := _just_logged(record)):
            return twin
        with undoable(garden, user, said) as step:
            _set_aside(record, user, step)
            record.save()
            step.made(record)
            _settle(record.batch, step)
    return record


def _set_aside(record: Record, user: AbstractBaseUser, step: Recorder) -> None:
    """Keep why a record goes past a withdrawal time; only a processing carries a reason."""
    why = getattr(record, "withdrawal_why", "")
    withdrawals_set_aside(batch=record.batch, on=record.on, why=why, user=user, step=step)


def weighings_import(
    *, batch: Batch, user: AbstractBaseUser, weighings: list[Weighing]
) -> list[Weighing]:
    """Save many weighings of a batch as one step, without those that are there already."""
    garden = batch.garden
    with transaction.atomic():
        # As in `record_log`: the second tap waits here, and then finds all of them there.
        Garden.objects.select_for_update().get(pk=garden.pk)
        there = {weighing_key(row) for row in Weighing.objects.filter(batch=batch)}
        new = [row for row in weighings if weighing_key(row) not in there]
        if not new:
            return []
        said = ngettext(
            "Read in: {n} weighing, {batch}", "Read in: {n} weighings, {batch}", len(new)
        ).format(n=len(new), batch=batch)
        with undoable(garden, user, said) as step:
            for row in new:
                row.batch, row.logged_by = batch, user
                row.save()
            step.made(*new)
    return new


def weighing_key(row: Weighing) -> tuple[date, int, int]:
    """Return what makes two weighings of a batch the same: day, birds and mean to the gram."""
    return row.on, row.count, round(row.mean_g)


def record_change(*, record: Record, user: AbstractBaseUser, said: str) -> Record:
    """Save a changed record; the batch is finished, or no longer, as the birds left say."""
    with undoable(record.batch.garden, user, said) as step:
        step.changing(record)
        _set_aside(record, user, step)
        record.save()
        _settle(record.batch, step)
    return record


def record_remove(*, record: Record, user: AbstractBaseUser, said: str) -> None:
    """Delete a record; the batch is no longer finished when birds are left without it."""
    with undoable(record.batch.garden, user, said) as step:
        step.removing(record)
        record.delete()
        _settle(record.batch, step)


def _just_logged(record: Record) -> Record | None:
    since = now() - timedelta(seconds=DOUBLE_TAP_S)
    recent = type(record).objects.filter(
        batch=record.batch, logged_by=record.logged_by, logged_at__gte=since
    )
    return next((row for row in recent if _content(row) == _content(record)), None)


def _content(record: Record) -> dict[str, Any]:
    fields = [field.attname for field in record._meta.concrete_fields]
    return {name: getattr(record, name) for name in fields if name not in ("id", "logged_at")}


def _shares(chicks: int, pens: Iterable[Pen]) -> list[tuple[Pen, int]]:
    pens = list(pens)
    return list(zip(pens, shared_out(chicks, [pen.floor_m2 for pen in pens]), strict=True))


def _share_out_anew(batch: Batch, pens: list[Pen], step: Recorder) -> None:
    held = {share.pen_id: share for share in batch.shares.all()}
    same_pens = held.keys() == {pen.pk for pen in pens}
    if same_pens and sum(share.birds for share in held.values()) == batch.chicks:
        return
    for pen, birds in _shares(batch.chicks, pens):
        share = held.pop(pen.pk, None)
        if share is None:
            step.made(BatchPen.objects.create(batch=batch, pen=pen, birds=birds))
        elif share.birds != birds:
            step.changing(share)
            share.birds = birds
            share.save()
    step.removing(*held.values())
    BatchPen.objects.filter(pk__in=[share.pk for share in held.values()]).delete()


def _settle(batch: Batch, step: Recorder) -> None:
    """Set the day a batch was finished to the day its last bird left, or to none."""
    finished_on = _last_bird_left_on(batch)
    if finished_on == batch.finished_on:
        return
    step.changing(batch)
    batch.finished_on = finished_on
    batch.save(update_fields=["finished_on"])


def _last_bird_left_on(batch: Batch) -> date | None:
    # Asked anew: the action has just changed these rows.
    gone = [*Loss.objects.filter(batch=batch), *Processing.objects.filter(batch=batch)]
    if sum(row.count for row in gone) < batch.chicks:
        return None
    return max(row.on for row in gone)
