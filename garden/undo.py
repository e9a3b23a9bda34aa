"""Record an action so that its author can take it back, and take it back.

An action runs inside `undoable`, which is one transaction: the rows and the undo step are saved together or
not at all. Taking back compares each row with how the action left it and refuses when somebody has changed
it since, so that undo never destroys another person's work.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

from django.apps import apps
from django.core import serializers
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction

from garden.clock import now
from garden.models import Garden, UndoStep
from garden.words import gettext as _

UNDO_MINUTES = 10


class CannotUndoError(Exception):
    """The step was undone already, is too old, or a row has changed since."""


class Recorder:
    """Notes which rows an action makes, changes or removes."""

    def __init__(self) -> None:
        self._touched: list[tuple[models.Model, dict[str, Any] | None]] = []
        self._removed: list[dict[str, Any]] = []

    def made(self, *rows: models.Model) -> None:
        """Note rows that the action has saved for the first time."""
        self._touched += [(row, None) for row in rows]

    def changing(self, *rows: models.Model) -> None:
        """Note rows before the action changes and saves them."""
        self._touched += [(row, _stored(type(row), row.pk)) for row in rows]

    def removing(self, *rows: models.Model) -> None:
        """Note rows before the action deletes them."""
        self._removed += [_entry(row, _stored(type(row), row.pk), None) for row in rows]

    def entries(self) -> list[dict[str, Any]]:
        """Return the rows with how they were and how the action left them, removed ones first.

        Taking back goes through them in reverse: what the action made is gone before what it removed
        comes back, so that the two never meet in a unique constraint.
        """
        touched = [_entry(row, before, _stored(type(row), row.pk)) for row, before in self._touched]
        return self._removed + touched


def _entry(row: models.Model, before: Any, after: Any) -> dict[str, Any]:
    return {"model": row._meta.label_lower, "pk": row.pk, "before": before, "after": after}


def _stored(model: type[models.Model], pk: Any) -> dict[str, Any] | None:
    row = model._default_manager.filter(pk=pk).first()
    return json.loads(serializers.serialize("json", [row]))[0]["fields"] if row else None


@contextmanager
def undoable(garden: Garden, user: Any, said: str) -> Iterator[Recorder]:
    """Run an action in one transaction and keep what is needed to take it back.

    Parameters
    ----------
    garden, user
        Whose action it is; only this user can take it back.
    said : str
        What the undo bar says, for example ``Feed logged, 1.5 kg, Pen A``.
    """
    with transaction.atomic():
        recorder = Recorder()
        yield recorder
        UndoStep.objects.create(
            garden=garden,
            user=user,
            said=said[:200],
            rows=recorder.entries(),
            expires_at=now() + timedelta(minutes=UNDO_MINUTES),
        )


def noted(garden: Garden, user: Any, said: str) -> None:
    """Keep in the garden's list of changes what nobody can take back by a button."""
    UndoStep.objects.create(garden=garden, user=user, said=said[:200], rows=[], expires_at=now())


def undo_step_take_back(*, step: UndoStep) -> None:
    """Put every row of a step back as it was.

    Raises
    ------
    CannotUndoError
        When the step is used or too old, or a row is no longer as the action left it.
    """
    try:
        # What rests on a row that is gone is refused at the transaction's end, so that end is inside.
        with transaction.atomic():
            _take_back(step)
    except (IntegrityError, models.ProtectedError):
        raise CannotUndoError(_("Something rests on it by now, so it cannot be undone.")) from None
    except ValidationError as refusal:
        raise CannotUndoError(
            _("It cannot be undone. {reasons}").format(reasons=" ".join(refusal.messages))
        ) from None


def _take_back(step: UndoStep) -> None:
    open_step = UndoStep.objects.filter(pk=step.pk, undone_at=None, expires_at__gt=now())
    if open_step.update(undone_at=now()) != 1:
        raise CannotUndoError(_("That can no longer be undone."))
    for row in step.rows:
        if _stored(apps.get_model(row["model"]), row["pk"]) != row["after"]:
            raise CannotUndoError(_("It has been changed since, so it cannot be undone."))
    for row in reversed(step.rows):
        _put_back(row)


def _put_back(row: dict[str, Any]) -> None:
    model = apps.get_model(row["model"])
    if row["before"] is None:
        _rows, gone = model._default_manager.filter(pk=row["pk"]).delete()
        # Whatever goes with the row was added to it later, perhaps by somebody else; only what the
        # product works out by itself, such as a planned stay, may go unasked.
        entered = [
            name for name in gone if not getattr(apps.get_model(name), "is_worked_out", False)
        ]
        if sum(gone[name] for name in entered) > 1:
            raise CannotUndoError(_("Something rests on it by now, so it cannot be undone."))
        return
    record = {"model": row["model"], "pk": row["pk"], "fields": row["before"]}
    for restored in serializers.deserialize("python", [record]):
        restored.save()
