"""Days and months where there is room for a letter.

PURE.
"""

from datetime import date

from garden.words import pgettext


def weekday_letter(day: date) -> str:
    """Return the letter that stands for a day's weekday: T."""
    return (
        pgettext("Monday, in one letter", "M"),
        pgettext("Tuesday, in one letter", "T"),
        pgettext("Wednesday, in one letter", "W"),
        pgettext("Thursday, in one letter", "T"),
        pgettext("Friday, in one letter", "F"),
        pgettext("Saturday, in one letter", "S"),
        pgettext("Sunday, in one letter", "S"),
    )[day.weekday()]


def month_letter(day: date) -> str:
    """Return the letter that stands for a day's month: J."""
    return (
        pgettext("January, in one letter", "J"),
        pgettext("February, in one letter", "F"),
        pgettext("March, in one letter", "M"),
        pgettext("April, in one letter", "A"),
        pgettext("May, in one letter", "M"),
        pgettext("June, in one letter", "J"),
        pgettext("July, in one letter", "J"),
        pgettext("August, in one letter", "A"),
        pgettext("September, in one letter", "S"),
        pgettext("October, in one letter", "O"),
        pgettext("November, in one letter", "N"),
        pgettext("December, in one letter", "D"),
    )[day.month - 1]
