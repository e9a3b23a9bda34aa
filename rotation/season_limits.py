"""What is wanted of a season, and the days on which birds may be there.

Days are counted from the day on which the season is sized.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from flocks.headcount import birds_alive
from flocks.models import Batch
from flocks.ready import carcass_g
from flocks.survival import survivors
from garden.frost import next_on
from rotation.facts import GardenFacts

DAYS = 366
"""Days looked at: the planner's own longest [day]."""
WEEK = 7


@dataclass(frozen=True)
class Wish:
    """What a grower wants of a year; SI, None where nothing is set."""

    strain: str
    target_g: float
    brooder_days: int
    pens: tuple[int, ...]
    wanted_kg: float | None = None
    freezer_l: float | None = None
    in_freezer_kg: float = 0.0
    birds_at_once: int | None = None
    budget: float | None = None
    chick_price: float = 0.0
    feed_price_kg: float = 0.0
    other_price: float = 0.0
    off_days_a_batch: int = 0
    outdoors_from: str = ""
    outdoors_until: str = ""
    """Days of the year as ``MM-DD``, between which birds may be out; empty for all year."""
    away: tuple[tuple[date, date], ...] = ()
    """First and last day of each time when nobody is at home."""


def outdoors(on: date, first: str, until: str) -> tuple[bool, ...]:
    """Return by day whether it lies between two days of the year; always where one is not set."""
    if not (first and until):
        return (True,) * (DAYS + 1)
    days = (on + timedelta(days=day) for day in range(DAYS + 1))
    # Between the two the end comes sooner than the next beginning.
    return tuple(next_on(until, day) < next_on(first, day + timedelta(days=1)) for day in days)


def a_week_later(until: str, on: date) -> str:
    """Return a day of the year a week on."""
    later = next_on(until, on) + timedelta(days=WEEK)
    return "03-01" if (later.month, later.day) == (2, 29) else f"{later:%m-%d}"


def at_home(on: date, away: Sequence[tuple[date, date]]) -> tuple[bool, ...]:
    """Return by day whether somebody is there."""
    days = (on + timedelta(days=day) for day in range(DAYS + 1))
    return tuple(not any(first <= day <= last for first, last in away) for day in days)


def a_week_less(away: Sequence[tuple[date, date]]) -> list[tuple[date, date]]:
    """Return the times away with a week taken off the end of the longest."""
    *others, (first, last) = sorted(away, key=lambda span: span[1] - span[0])
    shorter = last - timedelta(days=WEEK)
    return [*others, (first, shorter)] if first <= shorter else others


def coming_meat_kg(facts: GardenFacts, batches: Iterable[Batch]) -> list[tuple[int, float]]:
    """Return the dressed meat that batches under way should bring, by processing day."""
    coming = []
    for batch in batches:
        live_g = facts.forecasts[batch.pk].weight_g(batch.processing_on).median
        first = max(batch.age_days(facts.on), 0)
        last = max(batch.age_days(batch.processing_on), first)
        left = survivors(birds_alive(batch, facts.on), first, last).expected
        day = max(0, (batch.processing_on - facts.on).days)
        coming.append((day, left * carcass_g(live_g) / 1000))
    return coming


def birds_there(on: date, batches: Iterable[Batch]) -> tuple[int, ...]:
    """Return by day the birds of batches under way, from hatching to processing."""
    there = [0] * (DAYS + 1)
    for batch in batches:
        first, end = max(0, (batch.hatch_on - on).days), max(1, (batch.processing_on - on).days)
        for day in range(first, min(end, DAYS + 1)):
            there[day] += birds_alive(batch, on)
    return tuple(there)
