"""What one plan costs more than another, in words.

PURE.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from garden.units import DISTANCE, NITROGEN, System
from rotation.engine.problem import CostItems, Costs

SMALL_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
LEAST_CARRIED_M, LEAST_NITROGEN_G = 0.5, 0.5
"""Differences below these would be told as 0."""


@dataclass(frozen=True)
class Difference:
    """What another plan asks beyond this one, in the units of the work; below 0 what it saves."""

    off_bed_days: int
    moves: int
    carried_m: float
    unused_g: float
    """Nitrogen that crops want and would not get."""
    cost: float
    """All of it by the planner's reckoning."""

    @classmethod
    def between(cls, now: CostItems, other: CostItems, costs: Costs) -> "Difference":
        """Return what `other` costs more than `now`; what changes from the told plan is left out."""
        off_bed, moves = other.off_bed - now.off_bed, other.moves - now.moves
        carry = other.carry - now.carry
        unused = other.wanted_nitrogen - now.wanted_nitrogen
        return cls(
            off_bed_days=round(_in_units(off_bed, costs.off_bed_day)),
            moves=round(_in_units(moves, costs.move)),
            carried_m=_in_units(carry, costs.carry_per_metre),
            unused_g=_in_units(unused, costs.wanted_nitrogen_per_gram),
            cost=off_bed + moves + carry + unused,
        )

    def costs_words(self, system: System) -> str:
        """Say what it asks more: ``one more move and 12 m more carrying``; empty where nothing."""
        return _joined(self._parts(system, 1))

    def saves_words(self, system: System) -> str:
        """Say what it saves: ``one move and 5 m of carrying``; empty where nothing."""
        return _joined(self._parts(system, -1))

    def _parts(self, system: System, sign: int) -> Iterator[str]:
        more = " more" if sign > 0 else ""
        off, moves = sign * self.off_bed_days, sign * self.moves
        if off > 0:
            yield f"{counted(off)}{more} day{'s' if off > 1 else ''} off the beds"
        if moves > 0:
            yield f"{counted(moves)}{more} move{'s' if moves > 1 else ''}"
        if sign * self.carried_m >= LEAST_CARRIED_M:
            yield f"{DISTANCE.show(sign * self.carried_m, system)}{more or ' of'} carrying"
        if sign * self.unused_g >= LEAST_NITROGEN_G:
            grams = NITROGEN.show(sign * self.unused_g, system)
            yield (
                f"{grams} of nitrogen that a crop wants and would not get"
                if more
                else (f"{grams} of nitrogen that a crop elsewhere wants")
            )


def counted(number: int) -> str:
    """Write a small number as a word."""
    return SMALL_WORDS[number] if number < len(SMALL_WORDS) else str(number)


def _in_units(cost: float, of_one: float) -> float:
    return cost / of_one if of_one else 0.0


def _joined(parts: Iterator[str]) -> str:
    *first, last = [*parts] or [""]
    return f"{', '.join(first)} and {last}" if first else last
