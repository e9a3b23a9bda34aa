"""May this crop be eaten, and from when: the harvest interval answered for every planting of a bed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from garden.harvest_interval import Contact, first_safe_harvest
from garden.models import Garden, Planting
from rotation.bed_state import standing_visits
from rotation.ground_days import Visit


@dataclass(frozen=True)
class HarvestAnswer:
    """What the garden's rule says of one planting."""

    planting: Planting
    on: date
    wait_days: int
    """The garden's wait for such a crop. [days]"""
    birds_left: date | None
    """The first day without the birds that count for it; None where none are known of."""
    safe_from: date | None
    """The first day on which it may be picked; None where no birds are known of."""

    birds_here: bool
    """Whether birds stand there now, so that the wait has not begun."""

    @property
    def is_standing(self) -> bool:
        """Whether the crop is in the bed on that day."""
        return self.planting.starts_on <= self.on

    @property
    def is_over_before_planting(self) -> bool:
        """Whether the wait ends before the crop is even planted."""
        return self.safe_from is not None and self.safe_from <= self.planting.starts_on

    @property
    def is_clash(self) -> bool:
        """Whether it is to be ripe before it may be picked."""
        return self.safe_from is not None and self.planting.first_harvest_on < self.safe_from

    @property
    def must_wait(self) -> bool:
        """Whether the wait for the birds, not for the crop, is what it waits for."""
        return self.is_clash and self.on < self.safe_from


def harvest_answers(
    plantings: Iterable[Planting], visits: Iterable[Visit], garden: Garden, on: date
) -> list[HarvestAnswer]:
    """Answer for each planting that stands on a day or comes later.

    Parameters
    ----------
    plantings : iterable of Planting
        Of one bed, with `crop` loaded.
    visits : iterable of Visit
        To the same bed, planned ones too: birds that come before a later crop count for it.
    """
    visits = list(visits)
    return [
        _answer(planting, visits, garden, on) for planting in plantings if planting.ends_on > on
    ]


def safe_dates(visits: Iterable[Visit], garden: Garden, on: date) -> tuple[date, date] | None:
    """Return from when a crop planted now may be picked: one that touches soil, one held clear.

    None where no birds are known of up to the day, or where both days have passed.
    """
    ends = (visit.end_day for visit in visits if not visit.planned)
    birds_left = max(ends, default=None)
    if birds_left is None:
        return None
    counted_from = garden.interval_starts_on(birds_left)
    touches, clear = (
        first_safe_harvest(counted_from, contact, garden.harvest_rule())
        for contact in (Contact.TOUCHES, Contact.CLEAR)
    )
    return (touches, clear) if max(touches, clear) > on else None


def _answer(planting: Planting, visits: list[Visit], garden: Garden, on: date) -> HarvestAnswer:
    rule, contact = garden.harvest_rule(), planting.crop.contact
    ends = (visit.end_day for visit in visits if visit.first_day < planting.ends_on)
    birds_left = max(ends, default=None)
    safe_from = birds_left and first_safe_harvest(
        garden.interval_starts_on(birds_left), contact, rule
    )
    here = bool(standing_visits(visits, on))
    return HarvestAnswer(planting, on, rule.days_for(contact), birds_left, safe_from, here)
