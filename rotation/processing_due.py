"""Which birds of a batch are to be processed when: on the days planned for some, the rest on the batch's own.

PURE.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from flocks.processing_day import WITHDRAWAL_HOURS
from garden.words import gettext as _


@dataclass(frozen=True, kw_only=True)
class ProcessingDue:
    """Birds to process on a day; `day_id` and `starts_at` are of the plan made for it, None without one."""

    on: date
    birds: int
    day_id: int | None = None
    starts_at: time | None = None
    wait: str = ""
    """Why it may not be: the withdrawal time that the day lies inside; empty where there is none."""

    @property
    def feed_off(self) -> str:
        """Return when the feed is to go, in words."""
        least, most = WITHDRAWAL_HOURS
        if self.starts_at is None:
            said = _("{least} to {most} hours before the first bird; water stays")
            return said.format(least=least, most=most)
        first = datetime.combine(self.on, self.starts_at)
        early, late = (first - timedelta(hours=hours) for hours in (most, least))
        return _(
            "Between {early} and {late}, {least} to {most} hours before the first bird at {first}; water stays"
        ).format(
            early=f"{early:%H:%M}",
            late=f"{late:%H:%M}",
            least=least,
            most=most,
            first=f"{first:%H:%M}",
        )


def processings_due(
    birds: int,
    processing_on: date,
    planned: Iterable[ProcessingDue],
    *,
    done_on: date | None = None,
    wait: Callable[[date], str] = lambda on: "",
) -> tuple[ProcessingDue, ...]:
    """Return what is to be processed, by day.

    Parameters
    ----------
    birds : int
        Birds that live.
    planned : iterable of ProcessingDue
        The days planned.
    done_on : date, optional
        The day on which birds of the batch were last processed: plans up to it are settled.
    wait : callable
        Tells the withdrawal time that a day lies inside.
    """
    found: dict[date, ProcessingDue] = {}
    left = birds
    for due in sorted(planned, key=lambda due: due.on):
        if (done_on is None or due.on > done_on) and left:
            found[due.on] = _due(due, due.on, min(due.birds, left), wait)
            left -= found[due.on].birds
    if left:
        same = found.get(processing_on)
        more = left + (same.birds if same else 0)
        found[processing_on] = _due(same, processing_on, more, wait)
    return tuple(found[on] for on in sorted(found))


def _due(
    plan: ProcessingDue | None, on: date, birds: int, wait: Callable[[date], str]
) -> ProcessingDue:
    return ProcessingDue(
        on=on,
        birds=birds,
        day_id=plan.day_id if plan else None,
        starts_at=plan.starts_at if plan else None,
        wait=wait(on),
    )
