"""No bird is processed inside the withdrawal time of a medicine, by whichever route it is written down.

Forms ask first and say it beside the field (`flocks.withdrawal_forms`). Here is the last door, for all the
others:
a row that would be inside is refused when it is saved, copied in, brought back by an undo step or written by
the hundred. This is why it hangs on signals, which this project otherwise does without: nothing goes past them.

What opens the door is a `WithdrawalOverride`, which keeps who, when and why. `as_archived` lets a whole
garden be read back as it was, with what was logged too late and is told on its pages.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.contrib.auth.models import AbstractBaseUser
from django.core.exceptions import ValidationError
from django.db.models.signals import pre_save
from django.dispatch import receiver

from flocks.models import (
    Batch,
    Processing,
    ProcessingDay,
    Treatment,
    WithdrawalOverride,
)
from flocks.models.asked_before import written_together
from flocks.withdrawal import inside_in_words
from garden.day_words import day_words
from garden.undo import Recorder
from garden.words import gettext as _

_as_archived: ContextVar[bool] = ContextVar("as_archived", default=False)


class InsideWithdrawalError(ValidationError):
    """Birds would be processed inside the withdrawal time of a medicine that nobody has set aside."""


@contextmanager
def as_archived() -> Iterator[None]:
    """Write rows as an archive holds them, unasked."""
    token = _as_archived.set(True)
    try:
        yield
    finally:
        _as_archived.reset(token)


@dataclass(frozen=True)
class Waits:
    """The medicines that a batch was given, with what was set aside of their waits."""

    treatments: Sequence[Treatment]
    overrides: Sequence[WithdrawalOverride]

    @classmethod
    def of(cls, batch_id: int | None) -> "Waits":
        """Read a batch's; one query, two where there was any medicine."""
        given = list(Treatment.objects.filter(batch_id=batch_id)) if batch_id else []
        aside = WithdrawalOverride.objects.filter(batch_id=batch_id) if given else []
        return cls(given, list(aside))

    def holding(self, on: date) -> list[Treatment]:
        """Return the treatments whose wait a day lies inside, the longest first."""
        return _not_set_aside(
            [row for row in self.treatments if row.course.holds(on)],
            [row for row in self.overrides if row.on == on],
        )


def holding(batch_id: int | None, on: date) -> list[Treatment]:
    """Return the treatments of a batch whose wait a day lies inside, the longest first."""
    return Waits.of(batch_id).holding(on)


def _not_set_aside(
    held: Iterable[Treatment], overrides: Iterable[WithdrawalOverride]
) -> list[Treatment]:
    upto = {(row.treatment_id, row.free_on) for row in overrides}
    rest = [
        row
        for row in held
        if not any(pk == row.pk and row.course.free_on <= free_on for pk, free_on in upto)
    ]
    return sorted(rest, key=lambda row: row.course.free_on, reverse=True)


def in_words(held: Iterable[Treatment]) -> str:
    """Return why a day will not do, and which one would."""
    return inside_in_words(row.course for row in held)


def withdrawals_set_aside(
    *, batch: Batch, on: date | None, why: str, user: AbstractBaseUser, step: Recorder
) -> None:
    """Keep who processes inside a withdrawal time and why, before the row that does is saved."""
    if not why or on is None:
        return
    for row in holding(batch.pk, on):
        free_on = row.course.free_on
        told = _("{medicine}, last given {last}, free on {free}").format(
            medicine=row.name, last=day_words(row.last_on), free=day_words(free_on)
        )
        step.made(
            WithdrawalOverride.objects.create(
                garden_id=batch.garden_id,
                batch=batch,
                on=on,
                treatment=row,
                told=told[:200],
                free_on=free_on,
                why=why[:300],
                logged_by=user,
            )
        )


def processed_inside(batch: Batch, waits: Waits | None = None) -> list[Processing]:
    """Return what was processed inside a wait that was logged afterwards and set aside by nobody.

    The waits of the batch are read where they are not given.
    """
    waits = waits or Waits.of(batch.pk)
    return [row for row in batch.processing_set.all() if waits.holding(row.on)]


def _refuse(batch_id: int | None, on: date) -> None:
    if held := holding(batch_id, on):
        raise InsideWithdrawalError(in_words(held))


@receiver(pre_save, sender=Processing)
@receiver(pre_save, sender=ProcessingDay)
def _ask_when_saved(sender: type, instance: Processing | ProcessingDay, **_: Any) -> None:
    if _as_archived.get():
        return
    stored = sender.objects.filter(pk=instance.pk).first() if instance.pk else None
    if stored is None or _takes_more(stored, instance):
        _refuse(instance.batch_id, instance.on)


def _takes_more(stored: Any, row: Any) -> bool:
    """Whether a changed row is about another day, other birds or more of them; a weight may always be put
    right."""
    birds = "count" if isinstance(row, Processing) else "birds"
    return (
        (stored.batch_id, stored.on) != (row.batch_id, row.on)
        or getattr(row, birds) > getattr(stored, birds)
    )  # fmt: skip


@receiver(written_together, sender=Processing)
@receiver(written_together, sender=ProcessingDay)
def _ask_when_many(sender: type, row: Any, is_new: bool, **_: Any) -> None:
    if is_new and not _as_archived.get():
        _refuse(row.batch_id, row.on)
    elif not is_new:
        _ask_when_saved(sender, row)


@receiver(pre_save, sender=Batch)
def _ask_of_plan(instance: Batch, update_fields: frozenset[str] | None = None, **_: Any) -> None:
    """Refuse a processing day that is moved into a wait."""
    if _as_archived.get() or instance.pk is None:
        return
    if update_fields is not None and "processing_on" not in update_fields:
        return
    held = holding(instance.pk, instance.processing_on)
    if not held:
        return
    stored = Batch.objects.filter(pk=instance.pk).values_list("processing_on", flat=True).first()
    if stored != instance.processing_on:
        raise InsideWithdrawalError(in_words(held))
