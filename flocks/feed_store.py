"""What is left in the feed store: bought and counted, less what was given.

PURE. Every line carries a `moment` besides its day, for the order of two lines of one day.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from flocks.feed_buying import ANY, Lot

CRUMBS_KG = 0.005
"""Less than this is an empty bag [kg]. A choice."""


@dataclass(frozen=True)
class Bought:
    """Feed that came into the store."""

    on: date
    moment: Any
    feed: str
    kind: str
    mass_kg: float
    keeps_days: int


@dataclass(frozen=True)
class Counted:
    """All that was there of a feed, whatever the other lines say."""

    on: date
    moment: Any
    feed: str
    kind: str
    mass_kg: float
    keeps_days: int


@dataclass(frozen=True)
class Given:
    """Feed that went to birds in a phase; from one feed of the store where `feed` names it."""

    on: date
    moment: Any
    kind: str
    mass_kg: float
    feed: str = ""


@dataclass(frozen=True)
class StoredLot:
    """What is left of one purchase."""

    feed: str
    kind: str
    mass_kg: float
    stale_on: date
    """First day on which it is too old."""


def store_left(lines: Iterable[Bought | Counted | Given]) -> tuple[StoredLot, ...]:
    """Return what is left, the oldest first.

    Parameters
    ----------
    lines : iterable
        In any order. What was given is taken from the feed it names; where it names none, from feed of
        its own phase and then from feed for all ages; the oldest first. What was given beyond that never
        came through the store. Where a count shows less than the other lines, the oldest is gone; where
        more, the rest counts as new.
    """
    lots: list[StoredLot] = []
    for line in sorted(lines, key=lambda line: (line.on, line.moment)):
        if isinstance(line, Given):
            lots = _given(lots, line)
        elif isinstance(line, Bought):
            lots.append(_lot(line, line.mass_kg))
        else:
            lots = _counted(lots, line)
    return tuple(sorted(lots, key=lambda lot: (lot.stale_on, lot.feed)))


def _lot(line: Bought | Counted, mass_kg: float) -> StoredLot:
    stale_on = line.on + timedelta(days=line.keeps_days)
    return StoredLot(line.feed, line.kind, mass_kg, stale_on)


def _given(lots: list[StoredLot], line: Given) -> list[StoredLot]:
    if line.feed:
        return _less_of(lots, line.feed, line.mass_kg)
    own = [lot for lot in lots if lot.kind == line.kind]
    common = [lot for lot in lots if lot.kind == ANY != line.kind]
    others = [lot for lot in lots if lot.kind not in (line.kind, ANY)]
    return [*others, *_less([*_oldest(own), *_oldest(common)], line.mass_kg)]


def _counted(lots: list[StoredLot], line: Counted) -> list[StoredLot]:
    same = [lot for lot in lots if lot.feed == line.feed]
    more_kg = line.mass_kg - sum(lot.mass_kg for lot in same)
    if more_kg > CRUMBS_KG:
        return [*lots, _lot(line, more_kg)]
    return _less_of(lots, line.feed, -more_kg)


def _less_of(lots: list[StoredLot], feed: str, mass_kg: float) -> list[StoredLot]:
    """Take a mass from the lots of one feed, the oldest first."""
    same = [lot for lot in lots if lot.feed == feed]
    others = [lot for lot in lots if lot.feed != feed]
    return [*others, *_less(_oldest(same), mass_kg)]


def _oldest(lots: list[StoredLot]) -> list[StoredLot]:
    return sorted(lots, key=lambda lot: lot.stale_on)


def _less(lots: Iterable[StoredLot], mass_kg: float) -> Iterator[StoredLot]:
    """Take a mass from lots in their order."""
    for lot in lots:
        taken = min(lot.mass_kg, mass_kg)
        mass_kg -= taken
        if lot.mass_kg - taken > CRUMBS_KG:
            yield replace(lot, mass_kg=lot.mass_kg - taken)


def lots_on(left: Iterable[StoredLot], on: date) -> tuple[Lot, ...]:
    """Return what is still fresh on a day, for the buying plan that begins on it."""
    return tuple(
        Lot(lot.kind, lot.mass_kg, (lot.stale_on - on).days) for lot in left if lot.stale_on > on
    )
