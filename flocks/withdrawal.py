"""Until when a medicine keeps a bird from being eaten.

PURE. ::

    Course("Coccidiostat", first_on, last_on, withdrawal_days).free_on -> the first day on which birds may be
    processed courses_on(courses, on) -> those that a day still lies inside, the longest first
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from garden.day_words import day_words
from garden.provenance import Mark, Provenance
from garden.words import gettext as _

WITHDRAWAL_RULE = Provenance(
    source="Finnish Medicines Agency, “What is a withdrawal period?”: with a wait of 6 days food is "
    "delivered on the 7th day after the last dose at the earliest",
    mark=Mark.PUBLISHED,
)
"""How whole days are counted. The wait itself stands on the label, or is set by the vet."""


@dataclass(frozen=True)
class Course:
    """A medicine as far as the wait goes."""

    name: str
    first_on: date
    """Day of the first dose."""
    last_on: date
    """Day of the last dose, or the last day planned for one."""
    withdrawal_days: int
    """Wait for meat that the label or the vet gives, 0 or more [day]."""

    @property
    def free_on(self) -> date:
        """Return the first day on which a bird may be processed.

        Notes
        -----
        A wait of w whole days after a last dose on day D holds on D + 1 to D + w, so the first free day is
        D + w + 1 [1]_. With a wait of 0 days the day of the dose itself is free.

        References
        ----------
        .. [1] `WITHDRAWAL_RULE`.
        """
        wait = self.withdrawal_days + 1 if self.withdrawal_days else 0
        return self.last_on + timedelta(days=wait)

    def holds(self, on: date) -> bool:
        """Whether a bird processed on a day would be inside the wait, or have had its dose that day."""
        return self.first_on <= on < self.free_on


def courses_on(courses: Iterable[Course], on: date) -> list[Course]:
    """Return the courses that a day still lies inside, the one that holds longest first."""
    return sorted((one for one in courses if one.holds(on)), key=lambda one: one.free_on)[::-1]


def inside_in_words(held: Iterable[Course]) -> str:
    """Return why a day inside some courses will not do, and which one would."""
    held = list(held)
    names = _(" and ").join(dict.fromkeys(one.name for one in held))
    free_on = day_words(max(one.free_on for one in held))
    return _(
        "Inside the withdrawal time of {medicines}: no bird of this batch before {day}."
    ).format(medicines=names, day=free_on)
