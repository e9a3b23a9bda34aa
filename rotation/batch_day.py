"""A batch on one day, as Today tells it.

PURE. Masses are kg where the name says so and grams otherwise.
"""

from dataclasses import dataclass
from datetime import date

from rotation.processing_due import ProcessingDue, processings_due


@dataclass(frozen=True, kw_only=True)
class BatchDay:
    """A batch on a day; weights are the forecast's medians. `weighed_on` is None before the first.

    `coldest_night` is the coldest one its birds should meet outdoors, in words; empty where nothing is
    known of their age.
    """

    id: int
    name: str
    age_days: int
    birds: int
    hatch_on: date
    leaves_brooder_on: date
    processing_on: date
    weight_g: float
    feed_name: str
    feed_name_tomorrow: str
    weighed_on: date | None = None
    brooder_feed_kg: float = 0.0
    fed_in_brooder: bool = False
    coldest_night: str = ""
    water_l: float = 0.0
    """What it drinks in a mild day."""
    watered: bool = False
    pens: tuple[tuple[int, str], ...] = ()
    """Ids and names of its pens."""
    both_sexes: bool = True
    """Whether a weighing may be of one sex only."""
    due: tuple[ProcessingDue, ...] | None = None
    """What is to be processed; None where no plan of a day was looked for."""

    @property
    def processings(self) -> tuple[ProcessingDue, ...]:
        """Return what is to be processed, by day: all of it on its day where nothing else is planned."""
        if self.due is not None:
            return self.due
        return processings_due(self.birds, self.processing_on, ())

    def due_on(self, on: date) -> ProcessingDue | None:
        """Return what is to be processed on a day, or was before it and is left; None where nothing is."""
        return next((due for due in self.processings if due.on <= on), None)

    def goes_on(self, on: date) -> bool:
        """Say whether all its birds may be processed on a day."""
        due = next((due for due in self.processings if due.on == on), None)
        return due is not None and due.birds >= self.birds and not due.wait

    def in_brooder(self, on: date) -> bool:
        """Say whether the chicks live in the brooder on a day."""
        return self.hatch_on <= on < self.leaves_brooder_on
