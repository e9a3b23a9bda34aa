"""Writes to the garden's books: each in one transaction, each can be undone by its author."""

from django.contrib.auth.models import AbstractBaseUser
from django.db import models

from flocks.models.records import Record
from garden.models import Garden
from garden.undo import undoable


def line_log(*, garden: Garden, line: Record, user: AbstractBaseUser, said: str) -> None:
    """Save a new line."""
    line.logged_by = user
    with undoable(garden, user, said) as step:
        line.save()
        step.made(line)


def line_change(*, garden: Garden, line: models.Model, user: AbstractBaseUser, said: str) -> None:
    """Save a changed line."""
    with undoable(garden, user, said) as step:
        step.changing(line)
        line.save()


def line_remove(*, garden: Garden, line: Record, user: AbstractBaseUser, said: str) -> None:
    """Delete a line."""
    with undoable(garden, user, said) as step:
        step.removing(line)
        line.delete()
