"""Why a bed or a pen may not be given up yet.

The floors above know that a pen stands on a bed or birds live in a pen, and this floor may not
import them. Each floor therefore registers its own question when it starts, and whoever gives
something up asks them all.
"""

from collections.abc import Callable, Iterable
from datetime import date

from django.db import models

Question = Callable[[models.Model, date], Iterable[str]]
"""Takes the row and the day; gives the reasons against giving it up, in sentences, or none."""

_questions: list[Question] = []


def ask_before_giving_up(question: Question) -> Question:
    """Register a floor's question; usable as a decorator."""
    _questions.append(question)
    return question


def reasons_to_keep(row: models.Model, on: date) -> list[str]:
    """Return every reason why `row` must stay in use on a day; an empty list lets it go."""
    return [reason for question in _questions for reason in question(row, on)]
