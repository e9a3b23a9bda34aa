"""What changes pens; each action is one transaction."""

from datetime import date
from typing import Any

from django.core.exceptions import ValidationError

from garden.giving_up import reasons_to_keep
from garden.undo import undoable
from pens.models import Pen


def pen_retire(*, pen: Pen, user: Any, on: date) -> None:
    """Give a pen up; its past stays.

    Raises
    ------
    ValidationError
        With every reason to keep it.
    """
    if reasons := reasons_to_keep(pen, on):
        raise ValidationError(reasons)
    with undoable(pen.garden, user, f"{pen} given up") as step:
        step.changing(pen)
        pen.retired_on = on
        pen.save()
