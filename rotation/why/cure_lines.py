"""The kinds of single change that may save days off the beds, each as a line of sizes from the smallest on."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rotation.change_kinds import Change
from rotation.changed_plan import days_off_in
from rotation.facts import GardenFacts
from rotation.models import PlannedStay


@dataclass(frozen=True)
class Size:
    """One size of a change."""

    change: Change
    share: float
    """How large it is of what is tried at most; of two that help alike the lesser comes first."""
    note: str = ""
    """What to know of it beyond its words."""


@dataclass(frozen=True)
class Line:
    """One kind of change in `count` sizes; `coarse` as `rotation.why.ladder.next_size` takes it."""

    key: str
    count: int
    size: Callable[[int], Size]
    coarse: tuple[int, ...] = ()

    @classmethod
    def single(cls, key: str, size: Size) -> "Line":
        """Return a change that comes in one size."""
        return cls(key, 1, lambda _: size)


@dataclass(frozen=True)
class OffDays:
    """The days off the beds of a plan, from today on."""

    facts: GardenFacts
    stays: tuple[PlannedStay, ...]
    """Rows without a bed."""

    @property
    def count(self) -> int:
        """All of them, counted for each pen."""
        return days_off_in(self.stays, self.facts.on)

    @property
    def first_day(self) -> date:
        """The first of them."""
        return min(max(stay.first_day, self.facts.on) for stay in self.stays)

    @property
    def last_day(self) -> date:
        """The last of them."""
        return max(stay.end_day for stay in self.stays) - timedelta(days=1)

    def of_batch(self, batch_id: int) -> "OffDays":
        """Keep one batch's."""
        stays = tuple(stay for stay in self.stays if stay.batch_id == batch_id)
        return OffDays(self.facts, stays)

    @property
    def batches(self) -> list[int]:
        """The batches that have such days, those with most first."""
        ids = dict.fromkeys(stay.batch_id for stay in self.stays)
        return sorted(ids, key=lambda pk: -self.of_batch(pk).count)


def off_days(facts: GardenFacts, stays: Sequence[PlannedStay]) -> OffDays:
    """Return the days off the beds of some planned stays."""
    off = tuple(stay for stay in stays if stay.bed_id is None and stay.end_day > facts.on)
    return OffDays(facts, off)
