"""May this crop be eaten, and from when: the harvest interval answered for every planting of a bed."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from garden.harvest_interval import Contact, first_safe_harvest
from garden.models import Garden, Planting
from rotation.bed_state import standing_visits
from rotation.ground_days import Visit


@dataclass(frozen=True)
class HarvestAnswer:
    """What the garden's rule says of one planting on a day."""

    planting: Planting
    on: date
    """The day asked about."""
    wait_days: int
    """The garden's wait for such a crop. [days]"""
    birds_left: date | None
    """The first day without the birds that count for it; None where none are known of."""
    safe_from: date | None
    """The first day on which it may be picked; None where no birds are known of."""

    birds_here: bool
    """Whether birds stand there now, so that the wait has not begun."""
    raw_manure_on: date | None = None
    """When manure that was not composted was spread, where the wait after it is the one that counts."""
    birds_may_stay_until: date | None = None
    """The last day on which birds may stand there, for its planned harvest to be safe; None where another
    crop keeps them off on that day anyway."""

    @property
    def is_standing(self) -> bool:
        """Whether the crop is in the bed on that day."""
        return self.planting.starts_on <= self.on < self.planting.ends_on

    @property
    def is_over_before_planting(self) -> bool:
        """Whether the wait ends before the crop is even planted."""
        return self.safe_from is not None and self.safe_from <= self.planting.starts_on

    @property
    def is_clash(self) -> bool:
        """Whether it is to be ripe before it may be picked."""
        return self.safe_from is not None and self.planting.first_harvest_on < self.safe_from

    @property
    def is_over_before_safe(self) -> bool:
        """Whether the crop is out of the bed before it may be picked at all."""
        return self.safe_from is not None and self.planting.ends_on <= self.safe_from

    @property
    def picked_from(self) -> date | None:
        """The day from which both the crop and the wait allow picking; None where it is cleared before."""
        if self.is_over_before_safe:
            return None
        return max(self.planting.first_harvest_on, self.safe_from or date.min)

    @property
    def must_wait(self) -> bool:
        """Whether the wait for the birds, not for the crop, is what it waits for."""
        return self.is_clash and self.on < self.safe_from

    @property
    def days_early(self) -> int:
        """By how much its planned harvest comes too soon; 0 where it does not. [days]"""
        return (self.safe_from - self.planting.first_harvest_on).days if self.is_clash else 0


def harvest_answers(
    plantings: Iterable[Planting],
    visits: Iterable[Visit],
    garden: Garden,
    today: date,
    *,
    on: date | None = None,
) -> list[HarvestAnswer]:
    """Answer for each planting that stands on a day or comes later.

    Parameters
    ----------
    plantings : iterable of Planting
        Of one bed, with `crop` loaded.
    visits : iterable of Visit
        To the same bed as they are known today, planned ones too: birds that come before a later crop
        count for it, and so does raw manure.
    on : date, optional
        The day asked about; today where left out.
    """
    visits, plantings, on = list(visits), list(plantings), on or today
    shut = [(row.dates().shut_from(garden.bird_day_rule()), row.ends_on) for row in plantings]
    answers = []
    for planting, (shut_from, _) in zip(plantings, shut, strict=True):
        if planting.ends_on > on:
            last = shut_from - timedelta(days=1)
            is_open = not any(first <= last < end for first, end in shut)
            answer = _answer(planting, visits, garden, today, on)
            answers.append(replace(answer, birds_may_stay_until=last if is_open else None))
    return answers


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


def _answer(
    planting: Planting, visits: list[Visit], garden: Garden, today: date, on: date
) -> HarvestAnswer:
    rule, contact = garden.harvest_rule(), planting.crop.contact
    before = (visit for visit in visits if visit.first_day < planting.ends_on)
    last = max(before, key=lambda visit: visit.end_day, default=None)
    counted_from = last and garden.interval_starts_on(last.end_day)
    return HarvestAnswer(
        planting=planting,
        on=on,
        wait_days=rule.days_for(contact),
        birds_left=last and last.end_day,
        safe_from=counted_from and first_safe_harvest(counted_from, contact, rule),
        birds_here=bool(standing_visits(visits, today)),
        raw_manure_on=counted_from if last and last.is_manure else None,
    )
