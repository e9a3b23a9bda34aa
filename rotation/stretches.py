"""Stretches of beds and who stands, stood or is to stand on them.

PURE.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from math import inf

SAME_PLACE_MM = 5.0
"""Stretches that share less than this along a bed do not share ground. Our choice."""


@dataclass(frozen=True)
class Stretch:
    """A part of a bed's length [mm]; pens on the same part are taken to share ground."""

    bed_id: int
    offset_mm: float
    length_mm: float
    across_mm: float = inf
    """How much of the bed's width the pen covers, clearances included; droppings lie on that only."""

    @property
    def id(self) -> str:
        """The engine's name of a spot here."""
        return f"bed-{self.bed_id}/{self.offset_mm:.0f}+{self.length_mm:.0f}"

    def shared_mm(self, other: "Stretch") -> float:
        """Return the length of ground that both cover [mm]."""
        if self.bed_id != other.bed_id:
            return 0.0
        end_mm = min(self.offset_mm + self.length_mm, other.offset_mm + other.length_mm)
        return max(0.0, end_mm - max(self.offset_mm, other.offset_mm))

    def share_of(self, other: "Stretch") -> float:
        """Return the share of another stretch that lies on this one [1]."""
        return self.shared_mm(other) / other.length_mm if other.length_mm else 0.0

    def overlaps(self, other: "Stretch") -> bool:
        """Say whether pens on both would touch the same ground."""
        return self.shared_mm(other) > SAME_PLACE_MM


@dataclass(frozen=True)
class Occupied:
    """A pen on a stretch on ``[first_day, end_day)``, past or already decided, and what it drops there [g]."""

    stretch: Stretch
    first_day: date
    end_day: date
    nitrogen_g: float


def on_bed(stays: Iterable[Occupied]) -> Mapping[int, list[Occupied]]:
    """Return stays by their bed, so that a place asks those of its own bed only; none for any other bed."""
    by_bed: defaultdict[int, list[Occupied]] = defaultdict(list)
    for stay in stays:
        by_bed[stay.stretch.bed_id].append(stay)
    return by_bed
