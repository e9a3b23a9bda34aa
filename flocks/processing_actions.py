"""Writes to planned processing days: each in one transaction, each can be undone by its author."""

from datetime import timedelta

from django.contrib.auth.models import AbstractBaseUser
from django.db.models import Max, Sum

from flocks.headcount import birds_alive
from flocks.models import Batch, ProcessingDay
from flocks.withdrawal_guard import withdrawals_set_aside
from garden.undo import Recorder, undoable

SPLIT_DAYS = 7
"""Days between two dates of a batch that is split [day]. A choice: a week on, the lighter ones have caught
up."""


def processing_day_save(*, day: ProcessingDay, user: AbstractBaseUser, said: str) -> None:
    """Save a planned day, new or changed."""
    with undoable(day.batch.garden, user, said) as step:
        _write(day, user, step)
        _settle(day.batch, step)


def _settle(batch: Batch, step: Recorder) -> None:
    """Let a batch end on the last day planned where the days to come take all of its birds.

    Plan, feed and moves go by that day.
    """
    today = batch.garden.today()
    planned = ProcessingDay.objects.filter(batch=batch, on__gte=today)
    sums = planned.aggregate(birds=Sum("birds"), last_on=Max("on"))
    last_on, row = sums["last_on"], Batch.objects.get(pk=batch.pk)
    if not last_on or sums["birds"] < birds_alive(row, today):
        return
    if row.finished_on is None and row.leaves_brooder_on < last_on != row.processing_on:
        step.changing(row)
        row.processing_on = last_on
        row.save(update_fields=["processing_on"])


def _write(day: ProcessingDay, user: AbstractBaseUser, step: Recorder) -> None:
    why = getattr(day, "withdrawal_why", "")
    withdrawals_set_aside(batch=day.batch, on=day.on, why=why, user=user, step=step)
    if day.pk is None:
        day.logged_by = user
        day.save()
        step.made(day)
    else:
        step.changing(day)
        day.save()


def processing_day_split(
    *, day: ProcessingDay, first: int, user: AbstractBaseUser, said: str
) -> ProcessingDay:
    """Leave the first birds on a day, the heaviest, and plan the rest for another a week later.

    Where a day of the batch is planned then already, the rest go on the first free day after it.

    Raises
    ------
    InsideWithdrawalError
        When the later day lies inside a withdrawal time.
    """
    rest = ProcessingDay.objects.get(pk=day.pk)
    rest.pk, rest.birds = None, day.birds - first
    rest._state.adding = True
    planned = set(ProcessingDay.objects.filter(batch=day.batch).values_list("on", flat=True))
    rest.on = day.on + timedelta(days=SPLIT_DAYS)
    while rest.on in planned:
        rest.on += timedelta(days=1)
    rest.batch = day.batch
    with undoable(day.batch.garden, user, said) as step:
        day.birds = first
        _write(day, user, step)
        _write(rest, user, step)
        _settle(day.batch, step)
    return rest


def processing_day_remove(*, day: ProcessingDay, user: AbstractBaseUser, said: str) -> None:
    """Take a planned day off."""
    with undoable(day.batch.garden, user, said) as step:
        step.removing(day)
        day.delete()
