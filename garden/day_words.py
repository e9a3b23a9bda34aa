"""Days as a reader says them.

PURE.
"""

from datetime import date


def day_words(day: date) -> str:
    """Write a day near by: Thu 12 June."""
    return f"{day:%a} {day.day} {day:%B}"


def day_year_words(day: date) -> str:
    """Write a day whose year is not plain: Thu 12 June 2026."""
    return f"{day_words(day)} {day.year}"
