"""What one plan costs more than another, in words.

PURE.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from garden.units import DISTANCE, NITROGEN, System
from garden.words import gettext as _
from garden.words import mark, ngettext
from rotation.engine.problem import CostItems, Costs

SMALL_WORDS = (
    mark("no"), mark("one"), mark("two"), mark("three"), mark("four"), mark("five"), mark("six"),
    mark("seven"), mark("eight"), mark("nine"),
)  # fmt: skip
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
        more = sign > 0
        off, moves = sign * self.off_bed_days, sign * self.moves
        if off > 0:
            said = (
                ngettext("{n} more day off the beds", "{n} more days off the beds", off)
                if more
                else ngettext("{n} day off the beds", "{n} days off the beds", off)
            )
            yield said.format(n=counted(off))
        if moves > 0:
            said = (
                ngettext("{n} more move", "{n} more moves", moves)
                if more
                else ngettext("{n} move", "{n} moves", moves)
            )
            yield said.format(n=counted(moves))
        if sign * self.carried_m >= LEAST_CARRIED_M:
            said = _("{way} more carrying") if more else _("{way} of carrying")
            yield said.format(way=DISTANCE.show(sign * self.carried_m, system))
        if sign * self.unused_g >= LEAST_NITROGEN_G:
            said = (
                _("{grams} of nitrogen that a crop wants and would not get")
                if more
                else _("{grams} of nitrogen that a crop elsewhere wants")
            )
            yield said.format(grams=NITROGEN.show(sign * self.unused_g, system))


def counted(number: int) -> str:
    """Write a small number as a word."""
    return _(SMALL_WORDS[number]) if number < len(SMALL_WORDS) else str(number)


def _in_units(cost: float, of_one: float) -> float:
    return cost / of_one if of_one else 0.0


def _joined(parts: Iterator[str]) -> str:
    *first, last = [*parts] or [""]
    return _(" and ").join([", ".join(first), last]) if first else last
