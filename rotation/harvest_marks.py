"""Where a bed's tape says from when each crop may be picked.

PURE. A mark stands on the day that both the crop and the wait after birds allow; where the wait is the
later of the two, the days between are drawn as too early.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from garden.harvest_interval import HarvestRule, PlantingDates, first_safe_harvest
from rotation.ground_days import Visit


@dataclass(frozen=True, slots=True)
class HarvestMark:
    """From when one planting may be picked; positions in the drawing's units, None off the tape."""

    crop_name: str
    planned_on: date
    picked_from: date | None
    """None for a crop that is cleared before it may be picked at all."""
    x: int | None
    early_x: int = 0
    early_width: int = 0
    """The days from the planned harvest that lie within the wait; 0 wide where there are none."""

    @property
    def is_early(self) -> bool:
        """Whether its planned harvest comes before it is safe."""
        return self.picked_from != self.planned_on


def harvest_marks(
    plantings: Iterable[PlantingDates],
    visits: Sequence[Visit],
    *,
    rule: HarvestRule,
    first_day: date,
    end_day: date,
    x: Callable[[date], int],
) -> Iterator[HarvestMark]:
    """Yield a mark for each planting whose harvest touches the days ``[first_day, end_day)``.

    Parameters
    ----------
    plantings : iterable of PlantingDates
        All of the bed.
    visits : sequence of Visit
        Whatever a harvest must wait for.
    rule : HarvestRule
        The garden's waits, counted from the last day with birds.
    x : callable
        From a day to its place on the tape.
    """
    for planting in plantings:
        if planting.first_harvest_on >= end_day or planting.ends_on <= first_day:
            continue
        safe_from = _safe_from(visits, planting, rule)
        picked_from = max(planting.first_harvest_on, safe_from or planting.first_harvest_on)
        early_from = max(planting.first_harvest_on, first_day)
        early_until = min(picked_from, planting.ends_on, end_day)
        is_ever = picked_from < planting.ends_on
        yield HarvestMark(
            crop_name=planting.crop_name,
            planned_on=planting.first_harvest_on,
            picked_from=picked_from if is_ever else None,
            x=x(picked_from) if is_ever and first_day <= picked_from < end_day else None,
            early_x=x(early_from),
            early_width=max(0, x(early_until) - x(early_from)) if early_until > early_from else 0,
        )


def _safe_from(visits: Sequence[Visit], planting: PlantingDates, rule: HarvestRule) -> date | None:
    ends = (visit.end_day for visit in visits if visit.first_day < planting.ends_on)
    birds_left = max(ends, default=None)
    if birds_left is None:
        return None
    return first_safe_harvest(birds_left - timedelta(days=1), planting.contact, rule)
